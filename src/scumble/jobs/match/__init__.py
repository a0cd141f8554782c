"""A colour reached, a tube replaced, a batch put right, a class supplied."""
