"""The shelf: what hangs on the wall, what is known of each tube, and how it travels."""
