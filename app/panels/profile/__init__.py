"""Figures along a route as a plot, with a train that can be dragged along it."""
