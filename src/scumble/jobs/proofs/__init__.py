"""Proofs: predictions that are kept, painted, read back and held to their word."""
