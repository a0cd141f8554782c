"""Adjusting a batch: what was left out is found again, additions are small, and faults of the model are taken out."""

from __future__ import annotations

import json

import numpy as np
import pytest

from scumble.colour import delta_e_2000
from scumble.errors import InputError
from scumble.jobs.match.adjust import AdjustRequest, adjust_batch, say_adjusted
from scumble.paint import Film, Layering, paper_ground, predict_look
from scumble.paint.pigment import starter_shelf
from scumble.solve.adjust import Batch, blend, estimate_batch, find_additions
from scumble.solve.recipe.target import Target, target_of_lab

KEYS = {paint.key: paint for paint in starter_shelf()}
WHITE = paper_ground("white")
TUBES = tuple(
    KEYS[key]
    for key in ("titanium-white", "cadmium-yellow", "pyrrole-red", "ultramarine-blue", "burnt-sienna", "bone-black")
)  # fmt: skip


def colour_of(**parts: float) -> np.ndarray:
    film = Film(tuple((KEYS[key.replace("_", "-")], part) for key, part in parts.items()), 4.0)
    return predict_look(Layering(WHITE, (film,))).lab


def wanted(**parts: float) -> Target:
    return target_of_lab(colour_of(**parts))


def batch_of(read: np.ndarray | None = None, **parts: float) -> Batch:
    return Batch(tuple((KEYS[key.replace("_", "-")], part) for key, part in parts.items()), read)


def test_a_blend_is_its_film() -> None:
    whole = blend(batch_of(titanium_white=3.0, burnt_sienna=1.0).parts)
    look = predict_look(Layering(WHITE, (Film(((whole, 1.0),), 4.0),)))
    assert look.lab == pytest.approx(colour_of(titanium_white=3.0, burnt_sienna=1.0), abs=1e-9)


@pytest.mark.parametrize(
    ("batch", "aim", "missing", "part"),
    [({"titanium_white": 6.0, "burnt_sienna": 4.0}, {"titanium_white": 6.0, "burnt_sienna": 6.0}, "burnt-sienna", 2.0),
     ({"titanium_white": 8.0, "pyrrole_red": 2.0},
      {"titanium_white": 8.0, "pyrrole_red": 2.0, "ultramarine_blue": 1.0}, "ultramarine-blue", 1.0),
     ({"cadmium_yellow": 9.0, "pyrrole_red": 1.0},
      {"cadmium_yellow": 14.0, "pyrrole_red": 1.0}, "cadmium-yellow", 5.0)],
)  # fmt: skip
def test_what_was_left_out_is_added(
    batch: dict[str, float], aim: dict[str, float], missing: str, part: float
) -> None:
    best, *_ = find_additions(batch_of(**batch), wanted(**aim), TUBES, WHITE)
    assert best.difference < 0.3 < best.before
    assert [paint.key for paint, _ in best.added] == [missing]
    assert best.added[0][1] == pytest.approx(part, rel=0.26)
    assert best.growth == pytest.approx(best.added[0][1] / 10.0)


def test_nothing_is_ever_taken_out() -> None:
    """Too much of a strong colour: all answers add, and more white is the way."""
    answers = find_additions(
        batch_of(titanium_white=5.0, pyrrole_red=5.0),
        wanted(titanium_white=8.0, pyrrole_red=2.0),
        TUBES,
        WHITE,
    )
    assert answers
    assert all(part > 0.0 for each in answers for _, part in each.added)
    assert [paint.key for paint, _ in answers[0].added] == ["titanium-white"]
    assert answers[0].added[0][1] == pytest.approx(15.0, rel=0.35)


def test_a_smaller_addition_goes_before_a_larger_one_as_near() -> None:
    answers = find_additions(
        batch_of(titanium_white=9.0, bone_black=1.0), wanted(titanium_white=9.0, bone_black=1.5), TUBES, WHITE
    )
    near = [each for each in answers if each.difference < 0.5 and len(each.added) == 1]
    assert [each.growth for each in near] == sorted(each.growth for each in near)


def test_what_was_read_moves_the_aim() -> None:
    """A batch that reads off what the model says: the addition is judged from what was read."""
    parts = {"titanium_white": 6.0, "burnt_sienna": 4.0}
    off = np.array([1.5, -1.0, 2.0])
    read = colour_of(**parts) + off
    target = target_of_lab(colour_of(titanium_white=6.0, burnt_sienna=6.0) + off)
    best, *_ = find_additions(batch_of(read, **parts), target, TUBES, WHITE)
    assert best.before == pytest.approx(float(delta_e_2000(target.lab, read)), abs=1e-9)
    assert [paint.key for paint, _ in best.added] == ["burnt-sienna"]
    assert best.difference < 0.3
    assert best.difference == pytest.approx(float(delta_e_2000(target.lab, best.look.lab + off)), abs=1e-6)


def test_amounts_are_worked_out_from_the_colour() -> None:
    read = colour_of(titanium_white=7.0, pyrrole_red=2.0, burnt_sienna=1.0)
    unknown = Batch(
        tuple((KEYS[key], 1.0) for key in ("titanium-white", "pyrrole-red", "burnt-sienna")), read, False
    )
    estimated, misses = estimate_batch(unknown, WHITE)
    assert misses < 0.3
    assert [part for _, part in estimated.parts] == pytest.approx([7.0, 2.0, 1.0], abs=0.4)


def ask(**changes: object) -> object:
    given = {"colour": "lab 60 20 30", "batch": ("titanium-white=6", "burnt-sienna=4"), **changes}
    return adjust_batch(AdjustRequest(**given), TUBES)  # type: ignore[arg-type]


def test_words_and_data() -> None:
    lab = colour_of(titanium_white=6.0, burnt_sienna=6.0)
    colour = f"lab {lab[0]:.3f} {lab[1]:.3f} {lab[2]:.3f}"
    found = adjust_batch(AdjustRequest(colour, ("titanium-white=6", "burnt-sienna=4"), batch_ml=50.0), TUBES)
    assert json.loads(json.dumps(found.as_data()))["answers"]
    said = "\n".join(say_adjusted(found))
    assert "To 10 parts of the batch add 2 parts Burnt sienna (10 ml)" in said
    assert "brings it within dE00" in said and "Add half of it first" in said
    same = adjust_batch(AdjustRequest(colour, ("titanium-white=6", "burnt-sienna=6"), colour), TUBES)
    assert "leave it as it is" in same.words
    vivid = adjust_batch(AdjustRequest("lab 60 70 60", ("bone-black=6", "burnt-sienna=4")), TUBES)
    assert "nothing can be taken out" in vivid.words
    odd = adjust_batch(AdjustRequest("lab 60 10 10", ("bone-black", "titanium-white"), "lab 60 40 40"), TUBES)
    assert "something else is in the batch" in odd.words and odd.estimated


@pytest.mark.parametrize(
    ("changes", "said"),
    [({"batch": ()}, "batch: saw 'nothing'; allowed is the tubes in it"),
     ({"batch": ("titanium-white=6", "burnt-sienna")}, "amounts of all tubes or of none"),
     ({"batch": ("titanium-white",)}, "amounts, or the colour it was read at"),
     ({"batch": ("titanium-white=0",)}, "parts above 0"), ({"batch": ("mauve=1",)}, "paint: saw 'mauve'"),
     ({"batch": ("a = b = c",)}, "NAME=PARTS or NAME"), ({"batch_ml": 0.0}, "millilitres above 0"),
     ({"colour": "lab 120 0 0"}, "a lightness from 0 to 100")],
)  # fmt: skip
def test_what_cannot_be_used_is_named(changes: dict[str, object], said: str) -> None:
    with pytest.raises(InputError, match=said):
        ask(**changes)
