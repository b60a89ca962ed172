"""How the signal fares on each bus: inductance, notch, and where a snubber goes."""

from app.panels.answers.list_card import Answer, Question
from app.panels.lists import Entry
from app.panels.losses import FIRM_SPACE
from app.session.asking import Talk
from core.analysis.legs import LEAST_A, SNUBBER_FARAD, SNUBBER_OHM, Leg, describe_legs
from core.analysis.study import Study
from core.checks.rules.signal_notch import GOOD_SHARE, MOST_SHARE
from core.layout.queries import part_name
from core.materials.signal import HALF_BIT_ONE_S
from core.units.figures import show_amps, show_henry, show_seconds, show_watts
from core.units.length import show_length
from core.units.si import Metre

WAITING = "Working out each bus…"
NO_LEG = "No bus is fed yet."


def legs_question() -> Question:
    """Return the question for a card in the Prove stage."""
    return Question("The signal on each bus", WAITING, tell_legs)


def tell_legs(study: Study, _: Talk) -> Answer:
    """Return a row for each bus, the one with the longest notch first."""
    legs = sorted(describe_legs(study), key=lambda leg: (-leg.notch_s, -leg.henry))
    if not legs:
        return Answer((), NO_LEG)
    good = show_seconds(GOOD_SHARE * HALF_BIT_ONE_S).replace(" ", FIRM_SPACE)
    return Answer(
        tuple(_entry(study, leg) for leg in legs),
        "Whenever the current turns, the rails cross over for as long as the notch "
        f"says: up to {good} is good. Twisting and shorter legs help.",
    )


def _entry(study: Study, leg: Leg) -> Entry:
    length = show_length(Metre(leg.length_m), study.layout.settings.lengths)
    first = f"{length}, no load on it"
    if leg.shorted:
        first = f"{length}; its booster is shorted, so its load is not told"
    elif leg.amps_a >= LEAST_A:
        amps, notch = show_amps(leg.amps_a), show_seconds(leg.notch_s)
        first = f"{length}, {amps}: notch {notch}"
    lines = [first, *_snubber(leg)]
    return Entry(
        (leg.bus,),
        part_name(study.layout, leg.bus),
        show_henry(leg.henry),
        "\n".join(lines),
        wrong=leg.notch_s > MOST_SHARE * HALF_BIT_ONE_S,
    )


def _snubber(leg: Leg) -> list[str]:
    if leg.snubber_w is None:
        return []
    if leg.behind is not None:
        return [f"no snubber at its end: {leg.behind} would see it"]
    farad = f"{SNUBBER_FARAD * 1e6:.1f} µF"
    watts = show_watts(leg.snubber_w)
    parts = f"{SNUBBER_OHM:.0f} Ω + {farad}"
    return [f"if its end rings: {parts}, {watts}; take {leg.resistor_w:g} W"]
