"""Teach: trainees foretell swatches of this shelf before they are painted."""
