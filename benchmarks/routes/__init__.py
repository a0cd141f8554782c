"""How far colours are off by each route from a photograph to them."""
