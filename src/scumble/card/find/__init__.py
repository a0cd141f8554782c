"""The card in its picture: marks, code, lens and place."""
