"""Panels beside the canvas: they show state and report what was done."""
