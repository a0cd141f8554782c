"""Charts that somebody painted by hand, read from boxes drawn over their pictures."""
