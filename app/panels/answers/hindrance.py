"""Why a question about the layout has no answer yet, and what answers leave out."""

from app.session.session import Session
from core.analysis.sound import say_short, shorted_boosters
from core.checks.words import left_out

NOT_YET = "The figures are being worked out."
NOTHING_FED = "No track is fed yet."


def hindrance(session: Session) -> str:
    """Return why the last study has no answer; "" where it has.

    Track of boosters that are not shorted has one, whatever else is shorted.
    """
    result = session.result
    if result is None:
        return NOT_YET
    if result.sound.worst_volts is not None:
        return ""
    for booster in shorted_boosters(result.study):
        return (
            f"{say_short(result.study, booster)}: cure that first. Until then there is "
            "nothing to learn here."
        )
    return NOTHING_FED


def omission(session: Session) -> str:
    """Return what the answers leave out, and why; "" where they tell of all."""
    result = session.result
    if result is None or hindrance(session):
        return ""
    return left_out(shorted_boosters(result.study))
