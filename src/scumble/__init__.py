"""Scumble: paint one card per tube, compute what the paint does in a film."""

__version__ = "0.1.0"
