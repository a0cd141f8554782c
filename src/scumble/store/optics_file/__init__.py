"""A paint's optics in open files, and back."""
