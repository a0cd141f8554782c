"""From a wanted colour to films: searched, bounded, rounded to parts and said."""
