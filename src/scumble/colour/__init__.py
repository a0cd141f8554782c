"""From spectrum to XYZ, Lab and screen; adaptation, differences, plain names; arrays in, arrays out."""
