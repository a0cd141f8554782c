"""Light on the card and in the lens, and the way from light to colour without a target."""
