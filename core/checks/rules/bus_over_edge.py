"""W509: a bus in one piece over the edge of a lift-out, a gate or a board's joint."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.checks.words import count_of, list_names
from core.layout.openings import edges_of
from core.layout.parts import Opening
from core.layout.passing import REACH_MM, Passing, plugs_needed
from core.layout.queries import part_name
from core.units.length import show_length

_CANNOT = {
    "lift-out": "it cannot be lifted out",
    "gate": "it cannot be swung open",
    "board joint": "the boards cannot be parted",
}


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each opening that a bus holds fast."""
    for opening in study.layout.of_kind(Opening):
        if opening.buses == "whole":
            passings = plugs_needed(study.layout, opening)
            if passings:
                yield _finding(study, opening, passings)


def _finding(study: Study, opening: Opening, passings: tuple[Passing, ...]) -> Finding:
    layout = study.layout
    buses = list(dict.fromkeys(passing.bus for passing in passings))
    one = len(buses) == 1
    loop = f"bring {'it' if one else 'them'} over the hinge in a loose loop; or "
    return RULE.finding(
        f"{list_names(buses)} {'runs' if one else 'run'} over the edge of "
        f"{part_name(layout, opening.id)} in one piece: {_CANNOT[opening.use]}.",
        f"{list_names([_place(study, p) for p in passings])}; an edge counts to "
        f"{show_length(REACH_MM / 1000.0, layout.settings.lengths)} beyond its tracks; "
        f"{count_of(len(passings), 'plug')} needed, 0 said to be there",
        f"Part {'it' if one else 'each'} there by a plug that cannot be turned round; "
        f"or {loop if opening.use == 'gate' else ''}say of {opening.id} that buses "
        "pass clear of it.",
        parts=(opening.id, *buses),
        place=next((edge.on for edge in edges_of(layout, opening)), None),
        size=float(len(passings)),
        fix=refit(
            layout,
            (opening.id,),
            f"Put plugs in {list_names(buses, most=3)} at {opening.id}",
            buses="plugs",
        ),
    )


def _place(study: Study, passing: Passing) -> str:
    system = study.layout.settings.lengths
    where = show_length(passing.position_m, system)
    return f"{passing.bus} {where} from its start, {passing.side} side"


RULE = Rule(
    "W509",
    Severity.FAULT,
    "Bus holds an opening shut",
    source="Each wire that crosses parts by a plug (common practice, no source).",
    check=check,
)
