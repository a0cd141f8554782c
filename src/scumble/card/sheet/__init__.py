"""The printed card: where everything lies on it and what it says."""
