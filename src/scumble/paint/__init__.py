"""The words of the trade as frozen values, how they will look and how they behave."""

from scumble.optics.face import Face
from scumble.paint.film import Film
from scumble.paint.ground import PAPERS, Ground, GroundFace, ground_of_colour, paper_ground
from scumble.paint.layering import Layering
from scumble.paint.look import Look, interval_de00, predict_look, predict_reflectance
from scumble.paint.paint import Binder, Optics, Paint, Provenance
from scumble.paint.reading import BARE, CardReadings, Quantity, Reading

__all__ = [
    "BARE",
    "PAPERS",
    "Binder",
    "CardReadings",
    "Face",
    "Film",
    "Ground",
    "GroundFace",
    "Layering",
    "Look",
    "Optics",
    "Paint",
    "Provenance",
    "Quantity",
    "Reading",
    "ground_of_colour",
    "interval_de00",
    "paper_ground",
    "predict_look",
    "predict_reflectance",
]
