"""From spectrum to XYZ, Lab and screen; adaptation, differences, plain names; arrays in, arrays out."""

from scumble.colour.adaptation import adapt_xyz
from scumble.colour.difference import delta_e_2000, delta_e_2000_metric
from scumble.colour.lab import lab_to_lch, lab_to_xyz, lch_to_lab, xyz_to_lab, xyz_to_lab_jacobian
from scumble.colour.munsell import munsell_notation, munsell_to_xyz, xyz_to_munsell
from scumble.colour.naming import name_colour, name_colours
from scumble.colour.renotation import luminance_to_value, value_to_luminance
from scumble.colour.screen import (
    decode_srgb,
    encode_srgb,
    linear_to_srgb,
    linear_weights,
    rgb_to_hex,
    srgb_to_xyz,
    xyz_to_srgb,
)
from scumble.colour.smoothest import smoothest_reflectance
from scumble.colour.spectrum import LIGHTS, OBSERVERS, reflectance_to_xyz, spectral_weights, white_point
from scumble.colour.upsample import upsample_colours

__all__ = [
    "LIGHTS",
    "OBSERVERS",
    "adapt_xyz",
    "decode_srgb",
    "delta_e_2000",
    "delta_e_2000_metric",
    "encode_srgb",
    "lab_to_lch",
    "lab_to_xyz",
    "lch_to_lab",
    "linear_to_srgb",
    "linear_weights",
    "luminance_to_value",
    "munsell_notation",
    "munsell_to_xyz",
    "name_colour",
    "name_colours",
    "reflectance_to_xyz",
    "rgb_to_hex",
    "smoothest_reflectance",
    "spectral_weights",
    "srgb_to_xyz",
    "upsample_colours",
    "value_to_luminance",
    "white_point",
    "xyz_to_lab",
    "xyz_to_lab_jacobian",
    "xyz_to_munsell",
    "xyz_to_srgb",
]
