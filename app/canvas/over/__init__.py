"""What lies on top: previews, handles, the probe, the worst place."""
