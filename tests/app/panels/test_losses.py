"""The sum on the probe card comes out to the cent."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from app.panels.losses import sum_of
from core.analysis.study import Loss, Probe


def probe(source: float, *losses: float) -> Probe:
    kinds = ("supply", "breaker", "bus", "contact", "drop", "joint", "rail")
    blank: dict[str, Any] = dict.fromkeys(Probe.__dataclass_fields__)
    blank.update(
        source_v=source,
        volts_v=source - sum(losses),
        breakdown=tuple(Loss(k, v, ()) for k, v in zip(kinds, losses, strict=False)),
    )
    return Probe(**blank)


@given(
    st.floats(8, 22),
    st.lists(st.floats(-0.05, 2.0), min_size=1, max_size=7),
)
def test_the_rows_add_up_to_the_cent(source: float, losses: list[float]) -> None:
    shown = sum_of(probe(source, *losses))
    rows = sum(share.cents for share in shown.shares)
    assert shown.source_cents - rows == shown.volts_cents


@given(st.lists(st.floats(0.0, 2.0), min_size=1, max_size=7))
def test_no_row_is_off_by_more_than_a_cent(losses: list[float]) -> None:
    shown = sum_of(probe(15.0, *losses))
    for share, exact in zip(shown.shares, losses, strict=True):
        assert abs(share.cents - exact * 100) <= 1.0 + 1e-9


def test_the_sentence_is_the_sum() -> None:
    # 15.00 − 0.45 − 0.63 − 0.05 = 13.87
    said = sum_of(probe(15.0, 0.45, 0.0, 0.63, 0.0, 0.05)).sentence()
    assert (
        said.replace("\N{NO-BREAK SPACE}", " ")
        == "15.00 − 0.45 booster − 0.63 bus − 0.05 drop = 13.87 V"
    )
