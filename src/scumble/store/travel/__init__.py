"""A whole shelf in a file, and back."""
