"""W504: a strip's way that is not there, or has too many wires on it."""

from collections import defaultdict
from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Attachment, Bus, Drop, Inline, Strip, ToStrip
from core.layout.queries import part_name

MOST_WIRES = 2
"""Wires under one screw. [1] Common practice, no source."""


def check(study: Study) -> Iterator[Finding]:
    """Yield findings on ways beyond a strip's last and on crowded ones."""
    layout = study.layout
    taken: defaultdict[tuple[PartId, int], list[PartId]] = defaultdict(list)
    for part, to in _attachments(layout):
        if isinstance(to, ToStrip):
            taken[to.part, to.way].append(part)
    for (strip_id, way), parts in taken.items():
        strip = layout.get(strip_id, Strip)
        if strip is None:
            continue
        if way > strip.ways:
            yield _beyond(layout, strip, way, parts)
        elif len(parts) > MOST_WIRES:
            yield _crowded(layout, strip, way, parts)


def _beyond(layout: Layout, strip: Strip, way: int, parts: list[PartId]) -> Finding:
    return RULE.finding(
        f"{list_names(parts)} is to end on way {way} of "
        f"{part_name(layout, strip.id)}, which has {strip.ways}.",
        f"{way} > {strip.ways}",
        "Choose a free way, or a longer strip.",
        parts=(*parts, strip.id),
        size=way / strip.ways,
    )


def _crowded(layout: Layout, strip: Strip, way: int, parts: list[PartId]) -> Finding:
    return RULE.finding(
        f"{list_names(parts)} all end on way {way} of {part_name(layout, strip.id)}.",
        f"{len(parts)} wires under a screw > {MOST_WIRES}",
        "Spread them over free ways, or join two of them with a splice.",
        parts=(*parts, strip.id),
        severity=Severity.ADVICE,
        size=len(parts) / MOST_WIRES,
    )


def _attachments(layout: Layout) -> Iterator[tuple[PartId, Attachment | None]]:
    for drop in layout.of_kind(Drop):
        yield drop.id, drop.to
    for bus in layout.of_kind(Bus):
        yield bus.id, bus.start
        yield bus.id, bus.end
    for device in layout.of_kind(Inline):
        yield device.id, device.feed


RULE = Rule(
    "W504",
    Severity.FAULT,
    "Screw missing or crowded",
    source="The strip's number of ways; two wires a screw: common practice, no source.",
    check=check,
)
