"""Quantities in SI, and the people's units at the doors."""
