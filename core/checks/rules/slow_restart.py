"""W304: a breaker that cannot restart what stands behind it."""

from collections.abc import Iterator

from core.analysis.restart import plan_restart
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import count_of
from core.layout.queries import part_name
from core.units.figures import show_seconds


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each device whose stores charge longer than it waits."""
    for restart in plan_restart(study):
        if restart.stores == 0 or restart.charge_s <= restart.trip_s:
            continue
        millifarad = restart.farad * 1e3
        name = part_name(study.layout, restart.part)
        yield RULE.finding(
            f"{name} will not restart with {count_of(restart.stores, 'sound engine')} "
            f"behind it: charging takes {show_seconds(restart.charge_s)}, it waits "
            f"{show_seconds(restart.trip_s)}.",
            f"{millifarad:.3g} mF · V / (trip − {restart.idle_a:.2f} A idle) = "
            f"{show_seconds(restart.charge_s)} > {show_seconds(restart.trip_s)}",
            f"Keep {restart.most} at most in that district, or let {restart.part} wait "
            f"{show_seconds(1.2 * restart.charge_s)}; and bring districts back one "
            "after the other.",
            parts=(restart.part,),
            size=restart.charge_s / restart.trip_s if restart.trip_s else 1e3,
        )


RULE = Rule(
    "W304",
    Severity.FAULT,
    "Will not restart",
    source="Charge of the stores by what the trip leaves over: C·V/(I − I_idle).",
    check=check,
)
