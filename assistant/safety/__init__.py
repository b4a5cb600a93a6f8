"""Hazards, the stop, what may be asked of whom, what keeps a case open."""
