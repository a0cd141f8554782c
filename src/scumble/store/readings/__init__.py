"""Readings of a card or a target in the files that instruments and people write."""
