"""Why a question about the layout has no answer yet."""

from app.session.session import Session
from core.analysis.study import Study

NOT_YET = "The figures are being worked out."
NOTHING_FED = "No track is fed yet."


def hindrance(session: Session) -> str:
    """Return why the last study has no answer; "" where it has."""
    result = session.result
    if result is None:
        return NOT_YET
    return _shorted(result.study) or ("" if result.study.worst_volts else NOTHING_FED)


def _shorted(study: Study) -> str:
    if not study.shorts:
        return ""
    which = study.shorts[0].booster
    return (
        f"{which} is shorted, A joined to B: cure that first. Until then there is "
        "nothing to learn here."
    )
