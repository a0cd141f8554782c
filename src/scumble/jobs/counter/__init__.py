"""At the counter: what a customer asks, and the tubes that answer it."""
