"""From the picture of a sample card to readings."""
