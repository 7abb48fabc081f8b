"""Wits: the control board's program. It knows the world only through its terminals."""
