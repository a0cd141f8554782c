"""Reading photographs of cards: where the areas lie, what colour they have, and what is wrong with them."""

import dataclasses
import io

import cv2
import numpy as np
import pytest
from demo.camera import CAMERAS
from PIL import Image
from tests.card.photographs import (
    BLACK,
    PAPER_Y,
    SRGB_TO_XYZ,
    Painted,
    Shot,
    decode,
    jpeg,
    lens,
    paint,
    photograph,
    save,
    save_deep,
    to_px,
)

from scumble.card import read_photograph
from scumble.card.sheet.geometry import card_geometry
from scumble.colour import delta_e_2000, white_point, xyz_to_lab
from scumble.errors import CardError
from scumble.paint.reading import Quantity

WHITE = white_point("D65", 2)


@pytest.fixture(scope="module")
def card():
    return paint()


@pytest.fixture(scope="module")
def picture(card):
    return photograph(card)


def differences(read, card):
    """Colour differences of all areas, by name."""
    return {
        r.area: float(delta_e_2000(xyz_to_lab(r.values, WHITE), xyz_to_lab(card.true[r.area], WHITE)))
        for r in read.readings.readings
    }


def placement_error_mm(read, card, matrix):
    """How far the worst corner of an area is from where it lies."""
    px_per_mm = np.sqrt(abs(np.linalg.det(np.diff(to_px(matrix, [105, 148, 1, 1])[[3, 0, 1]], axis=0))))
    missed = [
        np.linalg.norm(np.array(outline) - to_px(matrix, card.box(area)), axis=1).max()
        for area, outline in read.outlines.items()
    ]
    return max(missed) / px_per_mm


def expect_well_read(read, card, matrix, *, mean=1.1, worst=2.2):
    """Near the truth: no veil lies over these pictures, and what is taken off for one darkens the black a little."""
    found = differences(read, card)
    assert placement_error_mm(read, card, matrix) < 0.5
    assert np.mean(list(found.values())) < mean
    assert max(found.values()) < worst, found


def fault_kinds(read, area):
    return [fault.kind for seen in read.areas if seen.reading.area == area for fault in seen.faults]


def test_a_plain_photograph_is_read(card, picture):
    steps = []
    read = read_photograph(jpeg(picture[0]), progress=lambda words, share: steps.append((words, share)))
    expect_well_read(read, card, picture[1])
    assert read.layout == "full"
    assert read.readings.quantity is Quantity.XYZ
    assert (read.readings.light, read.readings.observer) == ("D65", 2)
    assert read.missing_marks == ()
    assert read.warnings == ()
    assert all(area.verdict == "good" and area.reading.weight == 1.0 for area in read.areas)
    assert [share for _, share in steps] == sorted(share for _, share in steps)
    assert steps[-1] == ("done", 1.0)
    # The furrows painted were 5 %; tiles of 2 mm average some of that.
    assert 0.001 < np.median([area.scatter for area in read.areas if not area.reading.is_bare]) < 0.05


def test_what_was_taken_for_granted_is_said(picture):
    read = read_photograph(jpeg(picture[0]))
    assert read.remarks == (
        "The picture carries no colour profile: taken as sRGB.",
        "The paper is taken to be a neutral white of Y 86.",
    )


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_a_picture_may_lie_on_any_side(card, picture, turns):
    turned = np.rot90(picture[0], turns)
    height, width = picture[0].shape[:2]
    # A quarter turn to the left takes the point x, y to y, width - 1 - x.
    left = np.array([[0, 1, 0], [-1, 0, width - 1], [0, 0, 1]], float)
    twice = np.array([[-1, 0, width - 1], [0, -1, height - 1], [0, 0, 1]], float)
    right = np.array([[0, -1, height - 1], [1, 0, 0], [0, 0, 1]], float)
    matrix = {1: left, 2: twice, 3: right}[turns] @ picture[1]
    expect_well_read(read_photograph(jpeg(turned)), card, matrix)


@pytest.mark.parametrize(("orientation", "turns"), [(3, 2), (6, 1), (8, 3)])
def test_a_camera_held_upright_is_believed(card, picture, orientation, turns):
    exif = Image.Exif()
    exif[274] = orientation
    read = read_photograph(jpeg(np.rot90(picture[0], turns), exif=exif))
    expect_well_read(read, card, picture[1])
    assert read.size_px == picture[0].shape[1::-1]


def test_a_mirroring_orientation_is_undone(card, picture):
    exif = Image.Exif()
    for orientation, laid in (
        (2, picture[0][:, ::-1]),
        (4, picture[0][::-1]),
        (5, picture[0].transpose(1, 0, 2)),
        (7, np.rot90(picture[0].transpose(1, 0, 2), 2)),
    ):
        exif[274] = orientation
        expect_well_read(read_photograph(jpeg(laid, exif=exif)), card, picture[1])


@pytest.mark.parametrize("shot", [
    Shot(tilt=0.3, turn_degree=-11, fill=0.95),
    Shot(gradient=0.6, noise=0.02),
    Shot(blur=1.6),
    Shot(noise=0.04),
    Shot(exposure=0.3),
    Shot(long_side=1100, blur=0.5),
    Shot(fill=0.55),
], ids=["aslant", "uneven light", "out of focus", "grainy", "dark", "small", "far away"])  # fmt: skip
def test_poorer_photographs_are_read_too(card, shot):
    picture, matrix = photograph(card, shot)
    expect_well_read(read_photograph(jpeg(picture)), card, matrix, mean=0.8, worst=2.5)


def test_strong_compression_is_borne(card, picture):
    expect_well_read(read_photograph(jpeg(picture[0], quality=60)), card, picture[1], mean=0.8, worst=2.5)


@pytest.mark.parametrize(("layout", "page"), [("quick", "A4"), ("quick", "Letter"), ("full", "Letter")])
def test_every_card_is_read(layout, page):
    card = paint(layout, page, seed=3)
    picture, matrix = photograph(card)
    read = read_photograph(jpeg(picture))
    assert read.layout == layout
    found = differences(read, card)
    assert np.mean(list(found.values())) < 0.8
    assert max(found.values()) < 1.9
    # Outlines do not depend on which page was printed.
    assert placement_error_mm(read, card, matrix) < 0.5


@pytest.mark.parametrize("corner", range(4))
def test_a_covered_corner_is_borne(card, corner):
    covered = dataclasses.replace(card, light=card.light.copy())
    rows, columns = (
        (slice(0, 260), slice(-260, None))[corner // 2],
        (slice(0, 200), slice(-200, None))[corner % 2],
    )
    covered.light[rows, columns] = (0.3, 0.25, 0.2)
    picture, matrix = photograph(covered)
    read = read_photograph(jpeg(picture))
    assert len(read.missing_marks) >= 1
    expect_well_read(read, card, matrix)


def test_other_files_hold_the_same_colours(card, picture):
    for file in (
        save(picture[0], "PNG"),
        save(picture[0], "TIFF"),
        save_deep(picture[0], ".png"),
        save_deep(picture[0], ".tiff"),
    ):
        expect_well_read(read_photograph(file), card, picture[1])


def test_sixteen_bits_are_used(card):
    shot = Shot(exposure=0.02, noise=0.0)
    picture, _ = photograph(card, shot)
    deep, eight = (
        np.mean(list(differences(read_photograph(file, black_share=BLACK), card).values()))
        for file in (save_deep(picture, ".png"), save(picture, "PNG"))
    )
    assert deep < 0.6 * eight


def test_a_path_is_as_good_as_its_content(tmp_path, picture):
    file = tmp_path / "card.jpg"
    file.write_bytes(jpeg(picture[0]))
    assert read_photograph(file).outlines == read_photograph(file.read_bytes()).outlines


@pytest.mark.parametrize("camera", ["phone", "wide"])
def test_the_colour_profile_of_the_file_is_used(card, picture, camera):
    """The same scene in other primaries, with the profile that says so."""
    to_camera = np.linalg.inv(CAMERAS[camera].rgb_to_xyz()) @ SRGB_TO_XYZ
    codes = CAMERAS[camera].encode(decode(picture[0]) @ to_camera.T)
    read = read_photograph(jpeg(codes, icc_profile=CAMERAS[camera].profile()))
    expect_well_read(read, card, picture[1], mean=0.9, worst=2.5)
    assert len(read.assumptions) == 1
    assert read.colour_space == CAMERAS[camera].name
    unaware = read_photograph(jpeg(codes))
    assert np.mean(list(differences(unaware, card).values())) > 1.8


def test_known_paper_and_black_are_used(picture):
    paper = 0.80 * np.array([95.0, 100.0, 104.0])
    read = read_photograph(jpeg(picture[0]), paper_xyz=paper, black_share=BLACK)
    bare = read.readings.bare()
    np.testing.assert_allclose(bare["white"].values, paper, rtol=0.01)
    assert bare["black"].values[1] / bare["white"].values[1] == pytest.approx(BLACK, rel=0.1)
    assert read.assumptions == ("The picture carries no colour profile: taken as sRGB.",)


def test_veiling_light_is_taken_off_and_said(card):
    veiled = dataclasses.replace(card, light=card.light + 0.15)
    picture, _ = photograph(veiled)
    read = read_photograph(jpeg(picture))
    assert read.flare > 0.05
    assert any("veiling light was taken off" in remark for remark in read.remarks)
    known = read_photograph(jpeg(picture), black_share=BLACK)
    assert np.mean(list(differences(known, card).values())) < 0.6


def seen_as(card, shot=None):
    picture, _ = photograph(card, shot)
    return read_photograph(jpeg(picture))


def changed(card, area, colour, part=1.0):
    """The card with some of one area in another colour."""
    other = dataclasses.replace(card, light=card.light.copy(), true=dict(card.true))
    rows, columns = other.window(area)
    middle = round((rows.stop - rows.start) * (1 - part) / 2)
    other.light[rows.start + middle : rows.stop - middle, columns] = colour
    return other


def test_glare_is_noticed(card):
    read = seen_as(changed(card, "full-black", 1.5, part=0.4), Shot(exposure=0.6))
    assert fault_kinds(read, "full-black") == ["glare"]
    weights = {r.area: r.weight for r in read.readings.readings}
    assert weights.pop("full-black") == 0.0
    assert set(weights.values()) == {1.0}


def test_a_small_glint_leaves_the_colour_alone(card):
    read = seen_as(changed(card, "full-black", 0.95, part=0.15))
    assert differences(read, card)["full-black"] < 1.0


def test_a_blot_is_noticed_and_left_out(card):
    light = changed(card, "thin1-yellow", 0.5)
    light.true["thin1-yellow"] = 50 * PAPER_Y * SRGB_TO_XYZ @ np.ones(3)
    read = seen_as(changed(light, "thin1-yellow", 0.02, part=0.12))
    assert fault_kinds(read, "thin1-yellow")[0] == "drip"
    assert "left out of the average" in next(
        seen.verdict for seen in read.areas if seen.reading.area == "thin1-yellow"
    )
    assert differences(read, light)["thin1-yellow"] < 1.0


def test_overexposed_areas_are_left_out(card):
    read = seen_as(changed(card, "tint4-white", 1.12), Shot(exposure=0.93, gradient=0.02))
    assert fault_kinds(read, "tint4-white") == ["clipped"]


def test_an_overexposed_card_is_refused(card):
    with pytest.raises(CardError, match="The paper is overexposed"):
        seen_as(card, Shot(exposure=1.6, gradient=0.1))


def test_a_colour_the_file_cannot_hold_says_where_it_was_cut(card):
    """Red below nothing: what was read lies off by some red light, no more than is said, and by nothing else."""
    read = seen_as(changed(card, "full-white", (-0.2, 0.2, 0.5)))
    seen = next(seen for seen in read.areas if seen.reading.area == "full-white")
    plain = seen_as(changed(card, "full-white", (0.05, 0.2, 0.5)))
    assert "cut off" in [fault.kind for fault in seen.faults]
    (lost,) = seen.reading.blind
    missed = 100 * PAPER_Y * SRGB_TO_XYZ @ np.array([-0.2, 0.2, 0.5]) - seen.reading.values
    along = np.dot(missed, lost) / np.dot(lost, lost)
    assert abs(along) < 2.5
    assert np.linalg.norm(missed - along * np.array(lost)) < 0.1 * np.linalg.norm(missed) + 0.3
    assert seen.bound_de00 > next(s.bound_de00 for s in plain.areas if s.reading.area == "full-white")
    assert not any(other.reading.blind for other in read.areas if other is not seen)
    assert any(
        remark.startswith("full-white: Its colour is too deep or too strong") for remark in read.remarks
    )


def test_too_dark_an_area_is_trusted_less(card):
    read = seen_as(changed(card, "full-black", 0.002), Shot(exposure=0.6, noise=0.0))
    assert "too dark" in fault_kinds(read, "full-black")


def test_an_uneven_area_is_noticed(card):
    uneven = dataclasses.replace(card, light=card.light.copy())
    rows, columns = uneven.window("full-white")
    uneven.light[rows, columns] *= np.linspace(0.4, 1.6, columns.stop - columns.start)[None, :, None]
    assert "uneven" in fault_kinds(seen_as(uneven), "full-white")


def test_an_unpainted_stroke_is_noticed():
    card = paint(leave=("thin2",))
    read = seen_as(card)
    bare = [seen.reading.area for seen in read.areas if seen.verdict == "It looks unpainted."]
    assert bare == ["thin2-white", "thin2-black", "thin2-yellow", "thin2-cyan"]


def test_a_white_paint_is_not_taken_for_bare_paper():
    card = paint(tube="white")
    read = seen_as(card)
    assert [seen.reading.area for seen in read.areas if seen.faults] == []


def test_an_area_that_mirrors_a_lamp_all_over_is_noticed(card):
    """Nothing in it shines beyond the paper; but it has light in every colour that the rest of its stroke lacks."""
    for area in ("thin1-red", "full-black", "tint1-white", "thin2-cyan"):
        shining = Painted(card.light.copy(), card.card_map, dict(card.true))
        shining.light[card.window(area)] += 0.4
        read = seen_as(shining, Shot(exposure=0.6))
        assert {seen.reading.area: seen.reading.weight for seen in read.areas}[area] == 0.0
        assert "glare" in fault_kinds(read, area)


def test_an_area_of_another_paint_is_noticed(card):
    read = seen_as(changed(card, "thin1-magenta", (0.05, 0.6, 0.1)))
    assert fault_kinds(read, "thin1-magenta") == ["disagrees"]


def test_a_blank_card_is_refused():
    blank = paint(leave=("full", "thin1", "thin2", "tint1", "tint4", "tint19"))
    with pytest.raises(CardError, match="has not been painted yet"):
        seen_as(blank)


def test_an_area_outside_the_picture_is_left_out(card, picture):
    edge = round(to_px(picture[1], card.box("tint4-white"))[:, 1].mean())
    read = read_photograph(jpeg(picture[0][:edge]))
    assert fault_kinds(read, "tint4-white") == ["outside"]
    assert fault_kinds(read, "thin2-white") == []


def test_a_card_with_marks_on_one_side_only_is_refused(card, picture):
    edge = round(to_px(picture[1], card.box("thin1-yellow"))[:, 0].mean())
    with pytest.raises(CardError, match=r"Only 4 of 8 corner marks can be used; .* Show marks on both sides"):
        read_photograph(jpeg(picture[0][:, :edge]))


def test_a_bare_white_in_glare_is_refused(card):
    with pytest.raises(CardError, match="The bare white of the card cannot be read: Glare"):
        seen_as(changed(card, "white", 1.5, part=0.5), Shot(exposure=0.6))


def test_abrupt_light_is_warned_of(card):
    shaded = dataclasses.replace(card, light=card.light.copy())
    shaded.light[: shaded.light.shape[0] // 2] *= 0.6
    read = seen_as(shaded)
    assert any("The light changes abruptly" in warning for warning in read.warnings)
    assert read.readings.noise > 0.02


def test_uneven_light_and_dark_pictures_are_warned_of(card):
    read = seen_as(card, Shot(exposure=0.14, gradient=0.8))
    assert any("The light is very uneven" in warning for warning in read.warnings)
    assert any("The photograph is dark" in warning for warning in read.warnings)


def test_paint_on_the_margins_does_not_matter(card):
    splashed = dataclasses.replace(card, light=card.light.copy())
    rng = np.random.default_rng(2)
    for x, y in rng.uniform([20, 30], [200, 270], (25, 2)):
        spot = np.zeros(splashed.light.shape[:2], np.uint8)
        cv2.circle(spot, (round(6 * x), round(6 * y)), 7, 1, -1)
        kept = [card.window(area["area"], inset_mm=-1) for area in card.card_map["areas"]]
        # Paint on the tone steps costs some of the tone curve, which is another matter.
        for step in card_geometry("full").steps:
            x_mm, y_mm, side = step.box.x_mm - 1, step.box.y_mm - 1, step.box.width_mm + 2
            kept.append(
                (
                    slice(round(6 * y_mm), round(6 * (y_mm + side))),
                    slice(round(6 * x_mm), round(6 * (x_mm + side))),
                )
            )
        for window in kept:
            spot[window] = 0
        splashed.light[spot > 0] = (0.1, 0.05, 0.3)
    picture, matrix = photograph(splashed)
    read = read_photograph(jpeg(picture))
    expect_well_read(read, card, matrix)


def test_a_mirrored_picture_is_named(picture):
    with pytest.raises(CardError, match="The picture is mirrored"):
        read_photograph(jpeg(picture[0][:, ::-1]))


def test_a_picture_without_a_card_is_refused():
    rng = np.random.default_rng(0)
    with pytest.raises(CardError, match="No sample card was found in this picture"):
        read_photograph(jpeg(cv2.GaussianBlur(rng.random((900, 700, 3)), (0, 0), 3)))


def test_two_cards_are_refused(card):
    picture, _ = photograph(card, Shot(long_side=1300))
    with pytest.raises(CardError, match="more than one sample card"):
        read_photograph(jpeg(np.concatenate([picture, picture], axis=1)))
    quick, _ = photograph(paint("quick"), Shot(long_side=1300))
    with pytest.raises(CardError, match="more than one sample card"):
        read_photograph(jpeg(np.concatenate([picture, quick], axis=1)))


def test_a_card_too_far_away_is_refused(card):
    picture, _ = photograph(card, Shot(long_side=1200, fill=0.35, blur=0.4))
    with pytest.raises(
        CardError, match=r"The card is too small in this picture: 1\.\d points per millimetre"
    ):
        read_photograph(jpeg(picture, quality=97))


def test_marks_that_were_moved_do_not_place_the_card(card):
    """One mark is cut out and pasted elsewhere: the others outvote it."""
    moved = dataclasses.replace(card, light=card.light.copy())
    x, y = np.array(card.card_map["fiducials"][0]["corners_mm"][0]) - 1.5
    rows, columns = slice(round(6 * y), round(6 * y) + 90), slice(round(6 * x), round(6 * x) + 90)
    moved.light[slice(rows.start + 100, rows.stop + 100), columns] = card.light[rows, columns]
    moved.light[rows, columns] = 1.0
    taken, matrix = photograph(moved)
    read = read_photograph(jpeg(taken))
    assert read.missing_marks == (card.card_map["fiducials"][0]["id"],)
    expect_well_read(read, card, matrix)


def test_twelve_megapixels_are_read(card):
    picture, matrix = photograph(card, Shot(long_side=4000, noise=0.006))
    file = jpeg(picture)
    read = read_photograph(file)
    expect_well_read(read, card, matrix)
    assert np.prod(read.size_px) == 12_000_000


def test_the_lens_of_the_generator_fills_the_frame(card):
    """The generator itself: the page's corners lie inside the picture."""
    matrix, size = lens(card, Shot())
    corners = to_px(matrix, [0, 0, *card.card_map["page_mm"]])
    assert (corners > 0).all() and (corners < size).all()


def test_a_multi_picture_jpeg_shows_its_first(card, picture):
    first = Image.fromarray(np.rint(255 * picture[0]).astype(np.uint8))
    file = io.BytesIO()
    first.save(file, "MPO", quality=90, save_all=True, append_images=[first.resize((300, 400))])
    expect_well_read(read_photograph(file.getvalue()), card, picture[1])
