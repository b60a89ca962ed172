"""Canvas tools as small state charts; no Qt here."""
