"""Builders of changes: they read a layout and return a Change."""
