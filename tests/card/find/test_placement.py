"""Placing a card from its tags: exact where they are exact, honest about how well, and refused when too loose."""

import numpy as np
import pytest

from scumble.card.find.fiducials import CELLS, FoundTag, tag_cells
from scumble.card.find.lens import lens_of_picture
from scumble.card.find.placement import place_card
from scumble.card.sheet.geometry import card_geometry
from scumble.card.sheet.layouts import PLANS
from scumble.errors import CardError

LENS = np.array([[9.0, -1.2, 300.0], [1.0, 8.5, 150.0], [1e-4, -4e-4, 1.0]])


def through(matrix, points):
    mapped = np.c_[points, np.ones(len(points))] @ matrix.T
    return mapped[:, :2] / mapped[:, 2:]


def tags_of(layout="full", *, keep=None, noise_px=0.0, seed=0):
    rng = np.random.default_rng(seed)
    tags = []
    for fiducial in card_geometry(layout).fiducials:
        if keep is None or fiducial.number in keep:
            corners = through(LENS, np.array(fiducial.box.corners_mm))
            tags.append(FoundTag(fiducial.number, corners + noise_px * rng.standard_normal((4, 2))))
    return tags


@pytest.mark.parametrize("layout", PLANS)
def test_exact_tags_place_the_card_exactly(layout):
    placement = place_card(tags_of(layout))
    assert placement.geometry == card_geometry(layout)
    box = placement.geometry.areas[-1].box
    np.testing.assert_allclose(placement.outline_px(box), through(LENS, np.array(box.corners_mm)), atol=1e-6)
    np.testing.assert_allclose(placement.to_mm(placement.outline_px(box)), box.corners_mm, atol=1e-9)


def test_scale_is_points_per_millimetre():
    placement = place_card(tags_of())
    block = placement.geometry.block
    middle = np.array([[block.x_mm + block.width_mm / 2, block.y_mm + block.height_mm / 2]])
    steps = [through(LENS, middle + step) - through(LENS, middle) for step in ([1e-3, 0], [0, 1e-3])]
    area = abs(np.linalg.det(np.concatenate(steps))) / 1e-6
    assert placement.px_per_mm == pytest.approx(np.sqrt(area), rel=0.01)


@pytest.mark.parametrize("keep", [None, {40, 43, 46, 47}, {40, 41, 42, 44, 46}])
def test_the_error_it_claims_is_the_error_it_has(keep):
    """Over many noisy cards the worst corner mostly lies within the claim, and the claim is not idle."""
    geometry = card_geometry("full")
    corners = np.array([area.box.corners_mm for area in geometry.areas]).reshape(-1, 2)
    true = through(LENS, corners)
    errors, claims = [], []
    for seed in range(60):
        placement = place_card(tags_of(keep=keep, noise_px=0.3, seed=seed))
        errors.append(np.linalg.norm(placement.to_mm(true) - corners, axis=1).max())
        claims.append(placement.error_mm)
    within = np.mean(np.array(errors) <= np.array(claims))
    assert within >= 0.85
    assert np.mean(claims) < 3.5 * np.mean(errors)


def test_tags_on_one_side_place_nothing():
    with pytest.raises(
        CardError, match=r"Only 4 of 8 corner marks can be used; areas would be placed no better"
    ):
        place_card(tags_of(keep={40, 42, 44, 46}, noise_px=0.3))
    with pytest.raises(CardError, match="Only 1 of 8 corner marks"):
        place_card(tags_of(keep={45}))


def test_a_tag_that_disagrees_is_left_out():
    tags = tags_of()
    tags[3] = FoundTag(tags[3].number, tags[3].corners_px + 80.0)
    placement = place_card(tags)
    assert {tag.number for tag in placement.tags} == {40, 41, 42, 44, 45, 46, 47}
    assert placement.error_mm < 0.2


def test_strange_tags_are_passed_over():
    stranger = FoundTag(400, np.array([[0.0, 0.0], [50.0, 0.0], [50.0, 50.0], [0.0, 50.0]]))
    assert len(place_card([*tags_of(), stranger]).tags) == 8
    with pytest.raises(CardError, match="No sample card was found"):
        place_card([stranger])
    with pytest.raises(CardError, match="No sample card was found"):
        place_card([])


def test_the_same_tag_twice_is_two_cards():
    with pytest.raises(CardError, match="more than one sample card"):
        place_card([*tags_of(), tags_of()[0]])


def test_tag_cells_have_a_black_frame():
    for number in (0, 7, 22, 586):
        cells = np.array(tag_cells(number))
        assert cells.shape == (CELLS, CELLS)
        assert cells[[0, -1]].all() and cells[:, [0, -1]].all()


def test_codes_in_use_are_far_apart():
    """Any two in every rotation differ in at least 11 bits (Olson 2011, family 36h11)."""
    numbers = [fiducial.number for layout in PLANS for fiducial in card_geometry(layout).fiducials]
    codes = [np.array(tag_cells(number))[1:-1, 1:-1] for number in numbers]
    for first, one in enumerate(codes):
        for second, other in enumerate(codes):
            for turns in range(4):
                if first != second or turns:
                    assert (one != np.rot90(other, turns)).sum() >= 11


@pytest.mark.parametrize("bend", [-0.03, 0.0, 0.03])
@pytest.mark.parametrize("keep", [None, {40, 42, 43, 45, 46, 47}])
def test_the_bend_of_a_lens_is_taken_off(bend, keep):
    """A lens that bends by 3 % at the corners moves areas by millimetres; they are found within a fifth of one."""
    lens = lens_of_picture((2500, 3200), bend)
    tags = [
        FoundTag(tag.number, lens.curve(tag.corners_px)) for tag in tags_of(keep=keep, noise_px=0.2, seed=3)
    ]
    placement = place_card(tags, size_px=(2500, 3200))
    corners = np.array([area.box.corners_mm for area in placement.geometry.areas]).reshape(-1, 2)
    missed = np.linalg.norm(placement.to_mm(lens.curve(through(LENS, corners))) - corners, axis=1).max()
    assert missed < 0.2
    assert missed < 1.5 * placement.error_mm
    assert placement.lens.bend == pytest.approx(bend, abs=0.003)
