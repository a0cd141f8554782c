"""Faces against closed forms and published values."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.optics.fresnel import (
    diffuse_reflectance_inside,
    diffuse_reflectance_outside,
    inside_reflectance,
    mirror_reflectance,
)

# Walsh (1926) / Duntley (1942) closed form, confirmed by 30-digit quadrature; iadpython 0.5.3 agrees to 1e-6.
DIFFUSE = [
    (1.333, 0.0664058, 0.4745906),
    (1.48, 0.0888294, 0.5840163),
    (1.5, 0.091778, 0.5963458),
    (1.6, 0.1062456, 0.6508772),
]


@pytest.mark.parametrize(("index", "outside", "inside"), DIFFUSE)
def test_diffuse_reflectance(index: float, outside: float, inside: float) -> None:
    assert diffuse_reflectance_outside(index) == pytest.approx(outside, abs=1e-6)
    assert diffuse_reflectance_inside(index) == pytest.approx(inside, abs=1e-6)


# Fresnel's equations for n = 1.5 by outside angle in degrees, from independent quadrature.
@pytest.mark.parametrize(
    ("angle", "reflectance"),
    [(0, 0.04), (30, 0.041523), (45, 0.05024), (60, 0.089187), (75, 0.253061), (85, 0.6128)],
)
def test_reflectance_by_angle(angle: float, reflectance: float) -> None:
    inside = np.sqrt(1 - (np.sin(np.radians(angle)) / 1.5) ** 2)
    assert inside_reflectance(inside, 1.5).item() == pytest.approx(reflectance, abs=1e-5)


def test_mirror_reflectance_is_fresnel_at_normal_incidence() -> None:
    assert mirror_reflectance(1.5) == pytest.approx(inside_reflectance(1.0, 1.5).item(), abs=1e-15)
