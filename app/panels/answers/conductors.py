"""What each conductor stands, against what protects it."""

from app.panels.answers.list_card import Answer, Question
from app.panels.lists import Entry
from app.session.asking import Talk
from core.analysis.study import Study
from core.checks.holding import (
    HoldRow,
    conductor_name,
    hold_rows,
    told_rows,
    verdict_words,
)
from core.checks.words import count_of
from core.units.figures import show_amps

WAITING = "Comparing each conductor with what protects it…"
NOTHING = "No conductor has power yet."


def conductors_question() -> Question:
    """Return the question for a card in the Prove stage."""
    return Question("What each conductor stands", WAITING, tell_conductors)


def tell_conductors(study: Study, _: Talk) -> Answer:
    """Return what fails, the worst first, then what holds, a row a kind and size."""
    rows = hold_rows(study)
    if not rows:
        return Answer((), NOTHING)
    told = told_rows(rows)
    bad = sum(row.worst.verdict != "holds" for row in rows)
    what = "One kind of conductor stands" if bad == 1 else f"{bad} kinds stand"
    return Answer(
        tuple(_entry(study, row, more) for row, more in told),
        f"{what} less than what protects it lets through."
        if bad
        else "Every conductor stands what its device lets flow for good, and in a "
        "short. The weakest of each kind:",
    )


def _entry(study: Study, row: HoldRow, more: int) -> Entry:
    own = row.worst
    lines = [f"{own.size}, behind {own.by.part}", *verdict_words(own).split("; ")]
    if more:
        lines.append(f"so behind {count_of(more, 'more device')}")
    return Entry(
        (own.part,),
        f"{own.kind.capitalize()} {conductor_name(study.layout, own)}",
        show_amps(own.amps_a),
        "\n".join(lines),
        wrong=own.verdict != "holds",
        place=own.place,
    )
