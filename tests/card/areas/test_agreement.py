"""Areas that no paint could make: glare all over one."""

import numpy as np
import pytest

from scumble.card.areas.agreement import find_contradictions
from scumble.card.sheet.geometry import card_geometry

AREAS = card_geometry("full").areas
GROUNDS = {
    "white": (1.0, 1.0, 1.0),
    "black": (0.05, 0.05, 0.05),
    "yellow": (0.9, 0.8, 0.1),
    "cyan": (0.1, 0.5, 0.8),
    "red": (0.7, 0.1, 0.08),
    "magenta": (0.7, 0.1, 0.4),
}
HIDES = {"full": 0.97, "thin1": 0.55, "thin2": 0.25, "tint1": 0.98, "tint4": 0.97, "tint19": 0.95}
WHITE = {"full": 0.0, "thin1": 0.0, "thin2": 0.0, "tint1": 0.3, "tint4": 0.6, "tint19": 0.9}


def light_of(own):
    light = {}
    for area in AREAS:
        ground = np.array(GROUNDS[area.ground])
        if area.is_bare:
            light[area.name] = ground
            continue
        body = np.array(own) ** (1 - WHITE[area.film]) * 0.95 ** WHITE[area.film]
        light[area.name] = ground + HIDES[area.film] * (body - ground)
    return light


@pytest.mark.parametrize("own", [(0.4, 0.1, 0.05), (0.02, 0.05, 0.3), (0.03, 0.03, 0.03), (0.95, 0.95, 0.93)])
def test_a_good_card_has_no_contradiction(own):
    assert find_contradictions(AREAS, light_of(own)) == {}


@pytest.mark.parametrize(
    "area",
    ["full-white", "full-black", "thin1-red", "thin1-white", "thin2-black", "tint1-white", "tint19-black"],
)
def test_glare_over_all_of_an_area_is_named(area):
    light = light_of((0.4, 0.1, 0.05))
    light[area] = light[area] + 0.45
    found = find_contradictions(AREAS, light)
    assert found[area].kind == "glare"
    assert found[area].trust == 0.0


def test_areas_that_cannot_be_used_are_not_asked():
    light = light_of((0.4, 0.1, 0.05))
    light = {name: value for name, value in light.items() if name in ("white", "full-white")}
    assert find_contradictions(AREAS, light) == {}
