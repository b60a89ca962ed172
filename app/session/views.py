"""What the track can be shown by: a quantity, its rails' poles, or what feeds it."""

from typing import Literal, get_args

from core.analysis.study import Quantity

View = Quantity | Literal["poles", "districts"]
"""What the track is shown by; None where one is asked for: plain track."""


def quantity_of(view: View | None) -> Quantity | None:
    """Return the quantity that a view shows along the track; None for the others."""
    quantity: Quantity
    for quantity in get_args(Quantity):
        if view == quantity:
            return quantity
    return None
