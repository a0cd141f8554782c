"""The same jobs at the terminal."""
