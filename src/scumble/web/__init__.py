"""Pages at the counter."""
