"""The planner without a window: layout, circuit, analysis, checks, sheet."""
