"""A reference target in the picture, and what it shows of the camera."""
