"""W505: a connector that does not fit the wires it joins."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Bus, Drop, ToBus
from core.materials.joints import JOINTS, Fit, joint
from core.materials.wires import wire

Kind = tuple[str, str, str]
"""A connector, the wire that goes on, and the one that branches off."""

INSTEAD = ("tap-light", "tap-step", "tap-heavy", "lever", "solder-joint")
"""What is offered instead, the first that fits; solder always does."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for all drops of the same wires in the same connector.

    Connectors whose sizes are not known are passed over, as are drops that do not
    end along a bus.
    """
    kinds: dict[Kind, list[PartId]] = {}
    for drop in study.layout.of_kind(Drop):
        fits = joint(drop.contact).fits
        if fits is None or not isinstance(drop.to, ToBus):
            continue
        bus = study.layout.get(drop.to.part, Bus)
        if bus is not None and not _holds(fits, bus.wire, drop.wire):
            kinds.setdefault((drop.contact, bus.wire, drop.wire), []).append(drop.id)
    for kind, drops in kinds.items():
        yield _finding(study, kind, drops)


def _holds(fits: Fit, run: str, tap: str) -> bool:
    return fits.holds_run(wire(run).area_mm2) and fits.holds_tap(wire(tap).area_mm2)


def _finding(study: Study, kind: Kind, drops: list[PartId]) -> Finding:
    contact, run, tap = kind
    fits = joint(contact).fits
    assert fits is not None, "only connectors whose sizes are known come here"
    one = len(drops) == 1
    better = joint(_instead(run, tap))
    sums = [
        _sum("bus", run, fits.run, holds=fits.holds_run(wire(run).area_mm2)),
        _sum("drop", tap, fits.tap, holds=fits.holds_tap(wire(tap).area_mm2)),
    ]
    return RULE.finding(
        f"{list_names(drops)} {'hangs' if one else 'hang'} on a "
        f"{joint(contact).label}: it does not fit a bus of {wire(run).label} with a "
        f"drop of {wire(tap).label}.",
        "; ".join(s for s in sums if s),
        f"Take a {better.label} instead.",
        parts=tuple(drops),
        place=study.layout.need(drops[0], Drop).on,
        fix=refit(
            study.layout, drops, f"Join {list_names(drops)} anew", contact=better.id
        ),
    )


def _sum(what: str, name: str, ends: tuple[float, float], *, holds: bool) -> str:
    area = wire(name).area_mm2
    if holds:
        return ""
    beyond = f"< {ends[0]:g}" if area < ends[0] else f"> {ends[1]:g}"
    return f"{what} {area:.3g} mm² {beyond} mm²"


def _instead(run: str, tap: str) -> str:
    """Return the first connector that fits two wires."""
    for name in INSTEAD[:-1]:
        fits = JOINTS[name].fits
        if fits is not None and _holds(fits, run, tap):
            return name
    return INSTEAD[-1]


RULE = Rule(
    "W505",
    Severity.FAULT,
    "Connector does not fit",
    source="Tap connectors bite only the sizes they are made for: common practice, no "
    "source.",
    check=check,
)
