"""Photographs under frozen conditions: reproducible, true to the card, and each fault visible in the picture."""

import io
from dataclasses import replace

import numpy as np
import pytest
from demo.camera import CAMERAS
from demo.colorimetry import weights
from demo.conditions import (
    FAULTS,
    MOST_TILT,
    Conditions,
    Falling,
    Glare,
    Mishaps,
    Recording,
    Session,
    Sharpness,
    View,
    draw_conditions,
    draw_session,
    spoil,
)
from demo.snapshot import PAPER_XYZ, photograph, tone_curve, true_colours
from PIL import Image

PLAIN = Conditions(
    Session("profile", "reference", (("D65", 1.0),), "wide", 0.0, 1.0, (480, 640)),
    View(5.0, 40.0, 0.0, 0.9, (0.0, 0.0), 0.0),
    Sharpness(0.0, 0.0, 0.0),
    Falling(0.0, 0.0, 0.0, (0.0, 0.0), (1.0, 1.0), 0.0, 0.0, None, None),
    Recording(0.9, 0.0, 1.0, 95),
    Mishaps(0, "", 0, 20.0),
)


def pictured(card, conditions, seed=1):
    taken = photograph(card, conditions, seed)
    with Image.open(io.BytesIO(taken.file)) as picture:
        return np.asarray(picture).astype(float), taken.projection, taken


def at(codes, projection, box_mm):
    """Mean linear light of the middle of a box of the card."""
    x, y, width, height = box_mm
    steps = np.linspace(0.35, 0.65, 9)
    grid = np.stack(np.meshgrid(x + width * steps, y + height * steps), axis=-1)
    place = np.round(projection.to_px(grid)).astype(int)
    share = codes[place[..., 1], place[..., 0]].reshape(-1, 3) / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def box(card, name):
    return next(area["box_mm"] for area in card.sheet.card_map["areas"] if area["area"] == name)


def test_same_conditions_and_seed_same_file(small_card):
    first, again, other = (photograph(small_card, PLAIN, seed).file for seed in (1, 1, 2))
    assert first == again != other


def test_a_plain_photograph_shows_the_true_colours(small_card):
    codes, projection, _ = pictured(small_card, PLAIN)
    white = at(codes, projection, box(small_card, "white")).mean(axis=0)
    for name, true in true_colours(small_card, inset_mm=6.0).items():
        seen = at(codes, projection, box(small_card, name)).mean(axis=0) / white
        expected = np.linalg.solve(CAMERAS["wide"].rgb_to_xyz(), true / 100)
        paper = np.linalg.solve(CAMERAS["wide"].rgb_to_xyz(), PAPER_XYZ / 100)
        np.testing.assert_allclose(seen, expected / paper, rtol=0.06, atol=0.004, err_msg=name)


def test_true_colours_are_those_of_the_films(small_card):
    true = true_colours(small_card)
    np.testing.assert_allclose(true["white"], PAPER_XYZ)
    red = true["full-white"]
    assert red[0] > 1.3 * red[1] and red[1] > true["black"][1]
    assert weights().sum(axis=0)[1] == pytest.approx(100)


def test_noise_grows_with_the_speed(small_card):
    scatter = []
    for iso in (50.0, 3200.0):
        codes, projection, _ = pictured(
            small_card, replace(PLAIN, recording=replace(PLAIN.recording, iso=iso))
        )
        light = at(codes, projection, box(small_card, "white"))[:, 1]
        scatter.append(light.std() / light.mean())
    assert scatter[1] > 3 * scatter[0]
    assert 0.01 < scatter[1] < 0.06


def test_defocus_softens_the_edge_of_the_black(small_card):
    steepest = []
    for defocus_mm in (0.0, 2.0):
        codes, projection, _ = pictured(small_card, replace(PLAIN, sharpness=Sharpness(defocus_mm, 0.0, 0.0)))
        x, y, _, height = box(small_card, "black")
        places = np.stack([x + np.linspace(-8, 8, 200), np.full(200, y + height / 2)], axis=-1)
        across, down = np.round(projection.to_px(places)).astype(int).T
        steepest.append(np.abs(np.diff(codes[down, across, 1])).max())
    assert steepest[1] < 0.4 * steepest[0]


def test_glare_adds_light_to_paint_and_little_to_paper(small_card):
    x, y, width, height = box(small_card, "full-black")
    falling = replace(PLAIN.falling, glare=Glare(0.8, (x + width / 2, y + height / 2), 9.0))
    _, _, taken = pictured(small_card, replace(PLAIN, falling=falling))
    assert taken.glare["full-black"] > 0.6
    assert taken.glare["white"] < 0.01
    plain, projection, _ = pictured(small_card, PLAIN)
    shining, _, _ = pictured(small_card, replace(PLAIN, falling=falling))
    place = box(small_card, "full-black")
    assert at(shining, projection, place).mean() > at(plain, projection, place).mean() + 0.15


def test_flare_lifts_the_black(small_card):
    lifted = replace(PLAIN, falling=replace(PLAIN.falling, flare=0.05))
    light = [
        at(*pictured(small_card, conditions)[:2], box(small_card, "black")).mean()
        for conditions in (PLAIN, lifted)
    ]
    assert light[1] > light[0] + 0.02


def test_clipping_clips_its_share_of_the_card(small_card):
    recording, falling = replace(PLAIN.recording, clipped_share=0.5), replace(PLAIN.falling, slope=0.4)
    clipped = replace(PLAIN, recording=recording, falling=falling)
    codes, projection, _ = pictured(small_card, clipped)
    steps = np.linspace(0.03, 0.97, 40)
    grid = np.stack(np.meshgrid(90 * steps, 70 * steps), axis=-1)
    place = np.round(projection.to_px(grid)).astype(int)
    share = np.mean(codes[place[..., 1], place[..., 0]].max(axis=-1) >= 254)
    assert 0.4 < share < 0.65


def test_a_phone_writes_no_profile_and_bends_its_curve(small_card):
    phone = replace(PLAIN, session=replace(PLAIN.session, route="phone", space="srgb", contrast=0.3))
    with Image.open(io.BytesIO(photograph(small_card, phone, 1).file)) as picture:
        assert "icc_profile" not in picture.info
    straight, bent = tone_curve(np.linspace(0, 1, 11), 0.0), tone_curve(np.linspace(0, 1, 11), 0.3)
    assert bent[0] == 0 and bent[-1] == pytest.approx(1)
    middle = straight > 0.5
    assert np.all(bent[middle][:-1] > straight[middle][:-1])
    assert bent[1] < straight[1]


def test_two_lamps_colour_the_two_sides(small_card):
    session = replace(PLAIN.session, blend=(("D65", 0.6), ("A", 0.4)))
    mixed = replace(PLAIN, session=session, falling=replace(PLAIN.falling, lamp_slope=0.3))
    codes, projection, _ = pictured(small_card, mixed)
    left, right = (at(codes, projection, (x, 1, 8, 6)).mean(axis=0) for x in (1, 81))
    # The lamp is on the left, where the paper is redder.
    assert left[0] / left[2] > 1.15 * right[0] / right[2]


def test_a_torn_corner_shows_the_desk_and_splashes_show_paint(small_card):
    plain, projection, _ = pictured(small_card, PLAIN)
    torn, _, _ = pictured(small_card, replace(PLAIN, mishaps=Mishaps(0, "torn", 0, 20.0)))
    corner = (0.5, 0.5, 5, 5)
    assert at(torn, projection, corner).mean() < 0.6 * at(plain, projection, corner).mean()
    splashed, _, _ = pictured(small_card, replace(PLAIN, mishaps=Mishaps(40, "", 0, 20.0)))
    assert np.mean(np.abs(splashed - plain).max(axis=-1) > 60) > 2e-3


def test_every_fault_changes_what_it_is_named_after():
    rng = np.random.default_rng(5)
    session = draw_session("phone", rng)
    acceptable = draw_conditions(session, (210.0, 297.0), rng)
    spoilt = {fault: spoil(acceptable, fault, (100.0, 100.0, 23.0), rng) for fault in FAULTS}
    assert all(conditions.fault == fault for fault, conditions in spoilt.items())
    assert 0.4 <= spoilt["clipped"].recording.clipped_share <= 0.6
    assert spoilt["glare"].falling.glare.place_mm == (100.0, 100.0)
    assert spoilt["blurred"].sharpness.defocus_mm >= 2
    assert spoilt["too small"].view.fill < 0.15
    assert max(np.abs(spoilt["cut off"].view.shift)) > 0.4
    with pytest.raises(ValueError, match="fault 'scratched' is none of clipped, glare"):
        spoil(acceptable, "scratched", (0.0, 0.0, 1.0), rng)


def test_acceptable_conditions_stay_within_what_is_promised():
    for seed in range(200):
        rng = np.random.default_rng(seed)
        session = draw_session(("phone", "profile", "scan")[seed % 3], rng)
        drawn = draw_conditions(session, (210.0, 297.0), rng)
        assert drawn == drawn and not drawn.fault
        assert 0 <= drawn.view.tilt_degree <= MOST_TILT
        assert 60 <= drawn.recording.quality <= 95 and drawn.recording.iso <= 3200
        assert sum(share for _, share in session.blend) == pytest.approx(1)
        again = np.random.default_rng(seed)
        assert draw_conditions(draw_session(session.route, again), (210.0, 297.0), again) == drawn
