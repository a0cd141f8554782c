"""The layer bench and the films laid on a picture: what lies over what, and how it looks."""
