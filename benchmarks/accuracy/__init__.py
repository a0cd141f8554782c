"""How far a fitted paint's predictions are from the truth, over paints and cards invented at random."""
