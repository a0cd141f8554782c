"""Light in layers: surfaces, quadrature, films and stacks, Kubelka-Munk, particles; arrays in, arrays out."""
