"""What happens when power comes back: who restarts, and in which order."""

from math import isinf

from app.panels.answers.list_card import Answer, Question
from app.panels.lists import Entry
from app.session.asking import Talk
from core.analysis.returning import Return, Together, plan_together, returns
from core.analysis.study import Study
from core.checks.words import count_of, list_names
from core.layout.layout import Layout
from core.layout.parts import Load
from core.layout.queries import part_name
from core.units.figures import show_amps, show_seconds

WAITING = "Working out the restart…"
NO_STORES = "No engine here stores energy, so nothing stands in the way of a restart."
SAYS = (
    "When power comes back every sound engine charges at once, and the breaker takes "
    "that for a short."
)
IN_TURN = "Bring the districts back one after the other, as told below each."


def restarts_question() -> Question:
    """Return the question for a card in the Prove stage."""
    return Question("When power comes back", WAITING, tell_restarts)


def has_stores(layout: Layout) -> bool:
    """Return whether any engine stores energy."""
    return any(load.active and load.store_uf > 0.0 for load in layout.of_kind(Load))


def tell_restarts(study: Study, _: Talk) -> Answer:
    """Return a row for each device with energy stores behind it, the slowest first.

    Those that stand above others and trip when all close at once come before.
    """
    found = [turn for turn in returns(study) if turn.restart.stores]
    if not found:
        return Answer((), NO_STORES)
    found.sort(key=lambda turn: -turn.restart.charge_s)
    in_turn = len(found) > 1
    entries = tuple(_entry(study, turn, in_turn=in_turn) for turn in found)
    above = [together for together in plan_together(study) if together.is_news]
    above.sort(key=lambda together: together.holds)
    first = tuple(_together(study, together) for together in above)
    return Answer((*first, *entries), f"{SAYS} {IN_TURN}" if in_turn else SAYS)


def _together(study: Study, together: Together) -> Entry:
    engines = count_of(together.stores, "engine")
    below = list_names(together.below, most=6)
    if isinf(together.charge_s):
        lines = [f"{below} at once: standing still takes all it lets through"]
    else:
        takes, waits = map(show_seconds, (together.charge_s, together.trip_s))
        lines = [f"{below} at once, {engines}: {takes} to charge, it waits {waits}"]
    if together.holds:
        lines = [f"{below} may close at once, {engines}"]
    elif together.holds_in_turn:
        peak = show_amps(together.peak_a)
        lines.append(f"one after the other it gives {peak} at most, and stays on")
    return Entry(
        (together.part, *together.below),
        part_name(study.layout, together.part),
        "restarts" if together.holds else "trips again",
        "\n".join(lines),
        wrong=not together.holds,
    )


def _entry(study: Study, turn: Return, *, in_turn: bool) -> Entry:
    restart = turn.restart
    sound = restart.charge_s <= restart.trip_s
    engines = count_of(restart.stores, "engine")
    wait = show_seconds(restart.trip_s)
    if isinf(restart.charge_s):
        first = f"{engines}: they draw all it lets through"
    else:
        need = "needs" if restart.stores == 1 else "need"
        first = f"{engines} {need} {show_seconds(restart.charge_s)}, it waits {wait}"
    lines = [first]
    if not sound:
        lines.append(f"{restart.most or 'none'} at once would restart")
    if in_turn:
        lines.append(f"close it {show_seconds(restart.close_after_s)} after power")
    gives = f"{turn.booster.id} then gives {show_amps(turn.peak_a)}"
    if not turn.holds:
        gives += f", and trips at {show_amps(turn.booster.trip_a)}"
    lines.append(gives)
    return Entry(
        (restart.part,),
        part_name(study.layout, restart.part),
        "restarts" if sound else "trips again",
        "\n".join(lines),
        wrong=not sound or not turn.holds,
    )
