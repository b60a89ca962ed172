"""Answers about a circuit: volts, loops, shorts, losses."""
