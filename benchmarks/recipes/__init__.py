"""Recipes scored: hidden ones found again, rounded ones, a rival, and the time it all takes."""
