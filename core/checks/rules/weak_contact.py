"""W307: a change-over contact or frog lead that cannot carry a short."""

from collections.abc import Iterator
from dataclasses import dataclass

from core.analysis.probe import find_point
from core.analysis.sound import sound_segments
from core.analysis.study import Clearing, Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.parts import Crossing, OnRun, Turnout
from core.materials.contacts import USUAL, contact_needed, least_contact
from core.materials.heat import K_PVC, let_through_limit
from core.materials.wires import wire
from core.units.figures import show_amps, show_seconds


@dataclass(frozen=True, slots=True)
class LiveContact:
    """A switched crossing and what a short across it would do.

    `amps` is the short by resistance, or what the booster can push. [A]
    """

    part: Turnout | Crossing
    on: OnRun
    by: Clearing
    amps: float

    @property
    def passed(self) -> float:
        """I²·t until the device lets go; nothing where it does not trip. [A²s]"""
        return self.amps**2 * self.by.trip_s if self.amps >= self.by.trip_a else 0.0

    @property
    def rating(self) -> float:
        """What its contact carries. [A]"""
        said = self.part.contact_a
        return USUAL.amps_a if said is None else said

    @property
    def needed(self) -> float:
        """What its contact should carry. [A]"""
        return contact_needed(self.by.trip_a, self.passed)


def check(study: Study) -> Iterator[Finding]:
    """Yield a finding for the contacts of one rating, and for the leads of one wire.

    Current up to the trip flows for good; a short flows until the device lets go.
    """
    contacts: dict[tuple[str, float], list[LiveContact]] = {}
    leads: dict[tuple[str, str], list[LiveContact]] = {}
    for live in live_contacts(study):
        if live.needed > live.rating * (1.0 + 1e-9):
            contacts.setdefault((live.by.part, live.rating), []).append(live)
        spool = wire(live.part.frog_wire)
        thin = live.by.trip_a > spool.amps_a
        if thin or live.passed > let_through_limit(spool.area_mm2):
            leads.setdefault((live.by.part, spool.id), []).append(live)
    for found in contacts.values():
        yield _weak_contact(found)
    for found in leads.values():
        yield _thin_lead(found)


def live_contacts(study: Study) -> Iterator[LiveContact]:
    """Yield each switched crossing that has power and something that trips."""
    sound = sound_segments(study)
    for part, on in _switched(study):
        if on.run not in study.circuit.on_run:
            continue
        point = find_point(study, on)
        by = study.clearing[point.segment]
        if by is None or not sound[point.segment]:
            continue
        amps = study.plain_short_at(point.segment, point.t)
        amps = amps if by.limit_a is None else min(amps, by.limit_a)
        yield LiveContact(part, on, by, amps)


def _switched(study: Study) -> Iterator[tuple[Turnout | Crossing, OnRun]]:
    """Yield what has change-over contacts for its crossings, and where."""
    for turnout in study.layout.of_kind(Turnout):
        if turnout.frog == "switched":
            yield turnout, turnout.on
    for crossing in study.layout.of_kind(Crossing):
        if crossing.frog == "switched":
            yield crossing, crossing.a


def _weak_contact(found: list[LiveContact]) -> Finding:
    worst = max(found, key=lambda live: live.needed)
    by, one = worst.by, len(found) == 1
    names = list_names([live.part.id for live in found])
    said = all(live.part.contact_a is not None for live in found)
    guess = "" if said else f" (not looked up: a {USUAL.label} is assumed)"
    better = least_contact(worst.needed)
    such = f", such as a {better.label}" if better is not None else ""
    return RULE.finding(
        f"The change-over {'contact' if one else 'contacts'} of {names} "
        f"{'is' if one else 'are'} good for {show_amps(worst.rating)}{guess}; "
        f"{by.part} lets {show_amps(by.trip_a)} flow for good, and a short of "
        f"{show_amps(worst.amps)} for {show_seconds(by.trip_s)}.",
        _sums(worst),
        f"Take a contact for {show_amps(worst.needed)} or more{such}, or a device "
        f"before it that trips at {show_amps(worst.rating)} and sooner.",
        parts=(*(live.part.id for live in found), by.part),
        place=worst.on,
        size=worst.needed / worst.rating,
    )


def _sums(worst: LiveContact) -> str:
    sums = []
    if worst.by.trip_a > worst.rating:
        sums.append(f"{show_amps(worst.by.trip_a)} > {show_amps(worst.rating)}")
    bears = contact_needed(0.0, worst.passed)
    if bears > worst.rating:
        sums.append(
            f"√(I²·t / 10 s) = √({worst.passed:.3g} A²s / 10 s) = {show_amps(bears)} > "
            f"{show_amps(worst.rating)}"
        )
    return "; ".join(sums)


def _thin_lead(found: list[LiveContact]) -> Finding:
    worst = max(found, key=lambda live: live.passed)
    by, spool = worst.by, wire(worst.part.frog_wire)
    names = list_names([live.part.id for live in found])
    bears = let_through_limit(spool.area_mm2)
    sums = []
    if by.trip_a > spool.amps_a:
        sums.append(f"{show_amps(by.trip_a)} > {show_amps(spool.amps_a)}")
    if worst.passed > bears:
        sums.append(
            f"I²·t = {worst.passed:.3g} A²s > ({K_PVC:.0f} × {spool.area_mm2:.3g} "
            f"mm²)² = {bears:.3g} A²s"
        )
    return RULE.finding(
        f"The frog {'lead' if len(found) == 1 else 'leads'} of {names}, "
        f"{spool.label}, cannot carry what {by.part} lets through: "
        f"{show_amps(by.trip_a)} for good, {show_amps(worst.amps)} for "
        f"{show_seconds(by.trip_s)}.",
        "; ".join(sums),
        f"Take a wire that is good for {show_amps(by.trip_a)} or more.",
        parts=(*(live.part.id for live in found), by.part),
        place=worst.on,
        severity=Severity.HAZARD,
        size=max(by.trip_a / spool.amps_a, worst.passed / bears),
    )


RULE = Rule(
    "W307",
    Severity.ADVICE,
    "Frog contact too weak",
    source="Leads: I²·t ≤ (k·S)², k = 115 for copper in PVC (IEC 60364-5-54). "
    "Contacts: ten times their rating for 0.1 s, house choice.",
    check=check,
)
