"""The database itself: opened, brought up to date, visited, copied."""
