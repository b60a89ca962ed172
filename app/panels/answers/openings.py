"""What happens when one connection opens: which of them the layout hangs on."""

from app.panels.answers.list_card import Answer, Question
from app.panels.lists import Entry
from app.session.asking import Talk
from core.analysis.failure import (
    Opening,
    connection_name,
    matters,
    open_side,
    rank_openings,
    worst_by_connection,
)
from core.analysis.sound import sound_part
from core.analysis.study import Study
from core.layout.queries import place_name
from core.units.figures import show_volts
from core.units.length import show_length
from core.units.si import Metre

MOST = 10
"""How many connections are listed."""

TRYING = "Trying each drop and each joint with one side of it open…"
NO_CONNECTIONS = "There is no drop and no joint that could open."
ROUNDING_M = 1e-6
"""Lengths of track that differ by less are one length. [m]"""


def openings_question() -> Question:
    """Return the question for a card in the Prove stage."""
    return Question("If one connection opens", TRYING, rank)


def rank(study: Study, talk: Talk) -> Answer:
    """Return the connections that matter and a sentence on all of them."""
    study = sound_part(study)
    every = worst_by_connection(rank_openings(study, go_on=talk.goes_on))
    if not every:
        return Answer((), NO_CONNECTIONS)
    bad = [opening for opening in every if matters(study, opening)]
    entries = tuple(_entry(study, opening) for opening in bad[:MOST])
    if bad:
        return Answer(entries, _on_the_rest(len(bad), len(every) - len(bad)))
    lowest = show_volts(min(opening.volts_v for opening in every))
    return Answer(
        (),
        f"Any one of the {len(every)} drops and joints may open: no track goes dead, "
        f"and the lowest volts are still {lowest}.",
    )


def _entry(study: Study, opening: Opening) -> Entry:
    layout = study.layout
    name = connection_name(layout, opening)
    side = open_side(opening)
    if opening.dead_m:
        figure = _dead(study, opening.dead_m)
        more = f"{side} open: nothing else feeds it"
    else:
        figure = show_volts(max(opening.volts_v, 0.0))
        more = f"{side} open: lowest at {place_name(layout, opening.worst)}"
    dead = opening.dead_m > 0.0
    return Entry((opening.part,), name, figure, more, wrong=dead, place=opening.place)


def _dead(study: Study, dead_m: float) -> str:
    fed = zip(study.circuit.segments, study.scan.fed, strict=True)
    whole = sum(segment.end_m - segment.start_m for segment, is_fed in fed if is_fed)
    if dead_m > whole - ROUNDING_M:
        return "all dead"
    return f"{show_length(Metre(dead_m), study.layout.settings.lengths)} dead"


def _on_the_rest(bad: int, rest: int) -> str:
    if bad > MOST:
        first = f"These matter most, and {bad - MOST} more matter."
    else:
        first = "This one matters." if bad == 1 else f"These {bad} matter."
    care = "Wire them with care, and look here first when a train stalls."
    if not rest:
        return f"{first} No connection may open unnoticed. {care}"
    return f"{first} {care} The other {rest} {'does' if rest == 1 else 'do'} not."
