"""What small scales stand: figures that several rules share."""

SMALL = ("Z", "N", "TT", "HO", "OO")
"""Scales whose wheels and trucks 5 A can already melt."""

MOST_TRIP_A = 5.0
"""Trip current before track of a small scale. [A] Common practice, strong."""
