"""W304: a breaker that cannot restart what stands behind it."""

from collections.abc import Iterator
from math import isinf

from core.analysis.restart import Restart, plan_restart
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import count_of
from core.layout.parts import Booster
from core.layout.queries import part_name
from core.units.figures import show_amps, show_seconds, show_volts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each device whose stores charge longer than it waits."""
    for restart in plan_restart(study):
        if restart.stores > 0 and restart.charge_s > restart.trip_s:
            yield _finding(study, restart)


def _finding(study: Study, restart: Restart) -> Finding:
    device = study.clearing_of(restart.part)
    assert device is not None, "only devices that trip are asked"
    volts = study.layout.need(study.feeds.chain(restart.part)[-1], Booster).volts_v
    engines = count_of(restart.stores, "sound engine")
    trip, idle = show_amps(device.trip_a), show_amps(restart.idle_a)
    store = f"{restart.farad * 1e3:.3g} mF · {show_volts(volts)}"
    waits = show_seconds(restart.trip_s)
    if isinf(restart.charge_s):
        how = f"standing still alone takes {idle} of the {trip} it lets through"
        sum_ = f"{trip} − {idle} idle leaves nothing to charge {store} with"
    else:
        takes = show_seconds(restart.charge_s)
        how = f"charging takes {takes}, it waits {waits}"
        sum_ = f"{store} / ({trip} − {idle} idle) = {takes} > {waits}"
    return RULE.finding(
        f"{part_name(study.layout, restart.part)} will not restart with {engines} "
        f"behind it: {how}.",
        sum_,
        _remedy(restart),
        parts=(restart.part,),
        size=restart.charge_s / restart.trip_s if restart.trip_s else 1e3,
    )


def _remedy(restart: Restart) -> str:
    fewer = "Keep none of them in that district"
    if restart.most:
        fewer = f"Keep {restart.most} at most in that district"
    if isinf(restart.charge_s):
        return f"{fewer}, or part it among more breakers."
    return (
        f"{fewer}, or let {restart.part} wait {show_seconds(1.2 * restart.charge_s)}; "
        "and bring districts back one after the other."
    )


RULE = Rule(
    "W304",
    Severity.FAULT,
    "Will not restart",
    source="Charge of the stores by what the trip leaves over: C·V/(I − I_idle).",
    check=check,
)
