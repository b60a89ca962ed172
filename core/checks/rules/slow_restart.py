"""W304: a breaker or booster that cannot restart what stands behind it."""

from collections.abc import Iterator
from math import isinf

from core.analysis.restart import Restart, plan_restart
from core.analysis.returning import Return, Together, plan_together
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import count_of, list_names
from core.layout.ids import PartId
from core.layout.parts import Booster
from core.layout.queries import part_name
from core.units.figures import show_amps, show_seconds, show_volts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each device whose stores charge longer than it waits.

    By what hangs on it right away; then, of those that stand above others, by all
    behind them, since at power-up all close at once.
    """
    told: set[PartId] = set()
    for together in plan_together(study):
        if not together.holds:
            told.add(together.part)
            yield _at_once(study, together)
    for restart in plan_restart(study):
        slow = restart.stores > 0 and restart.charge_s > restart.trip_s
        if slow and restart.part not in told:
            yield _finding(study, restart)


def _at_once(study: Study, together: Together) -> Finding:
    volts = study.layout.need(study.feeds.chain(together.part)[-1], Booster).volts_v
    engines = count_of(together.stores, "sound engine")
    trip, idle = show_amps(together.trip_a), show_amps(together.idle_a)
    waits, store = show_seconds(together.trip_s), f"{together.farad * 1e3:.3g} mF"
    if isinf(together.charge_s):
        how = f"standing still alone takes {idle} of the {trip} it lets through"
        sum_ = f"{trip} − {idle} idle leaves nothing to charge {store} with"
    else:
        takes = show_seconds(together.charge_s)
        how = f"charging takes {takes}, it waits {waits}"
        sum_ = (
            f"{store} · {show_volts(volts)} / ({trip} − {idle} idle) = {takes} > "
            f"{waits}"
        )
    if not isinf(together.asked_a):
        sum_ += f"; they would take {show_amps(together.asked_a)} together"
    close = f"{list_names(together.below, most=4)} close at once"
    if len(together.below) == 1:
        close = f"{together.below[0]} closes"
    return RULE.finding(
        f"{part_name(study.layout, together.part)} will not restart when {close}, "
        f"with {engines} behind: {how}.",
        sum_,
        _in_turn(study, together),
        parts=(together.part, *together.below),
        size=together.charge_s / together.trip_s if together.trip_s else 1e3,
    )


def _in_turn(study: Study, together: Together) -> str:
    top = study.feeds.chain(together.part)[-1]
    wait = show_seconds(1.2 * together.charge_s)
    if together.holds_in_turn and len(together.turns) > 1:
        plan = list_names([turn_words(turn) for turn in together.turns], most=8)
        peak = show_amps(together.peak_a)
        said = f"Bring them back one after the other: {plan}; {top} gives {peak} then."
        return said if isinf(together.charge_s) else f"{said} Or let it wait {wait}."
    if isinf(together.charge_s):
        return "Give part of its track to another booster."
    return f"Let {together.part} wait {wait}, or part its track among more boosters."


def turn_words(turn: Return) -> str:
    """Return "CB1 after 0.5 s"."""
    return f"{turn.restart.part} after {turn.restart.close_after_s:.1f} s"


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
