"""The areas of a card: film, flaws, and whether they are to be believed."""
