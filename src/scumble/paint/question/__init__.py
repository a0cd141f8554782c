"""Questions that are answered before the swatch is seen: made from the optics, with the truth they are judged by."""
