"""Charts for the wall, the hand and the shelf, and blank ones to paint."""
