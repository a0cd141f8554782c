"""A picture file and what its numbers mean."""
