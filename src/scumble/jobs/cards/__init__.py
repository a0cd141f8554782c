"""Sample cards: printed, photographed, read, judged and kept."""
