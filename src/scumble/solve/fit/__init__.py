"""From readings to optics: the estimator, cards solved together, and proofs that sharpen a paint."""
