"""Projection and blur: there and back, filling the frame, bending as asked, losing no light."""

import numpy as np
import pytest
from demo.conditions import Session, Sharpness, View
from demo.lens import blur, disc, enlarge, line, project

PAGE_MM = (210.0, 297.0)
PHONE = Session("phone", "mosaic", (("D65", 1.0),), "srgb", 0.0, 1.0, (900, 1200))
SCAN = Session("scan", "gaussian", (("LED", 1.0),), "wide", 0.0, 1.0, (0, 0), 100)
PLACES_MM = np.array([[0.0, 0.0], [210.0, 0.0], [105.0, 150.0], [40.0, 290.0]])


def view(**changed):
    usual = {"tilt_degree": 20.0, "tilt_towards_degree": 30.0, "roll_degree": 10.0}
    return View(**{**usual, "fill": 0.8, "shift": (0.0, 0.0), "bend": -0.02, **changed})


@pytest.mark.parametrize("bend", [-0.03, 0.0, 0.02])
def test_from_card_to_picture_and_back(bend):
    projection = project(PHONE, view(bend=bend, tilt_degree=35.0), PAGE_MM)
    np.testing.assert_allclose(projection.to_mm(projection.to_px(PLACES_MM)), PLACES_MM, atol=1e-6)


@pytest.mark.parametrize("roll", [0.0, 90.0, 180.0])
def test_the_page_fills_its_share_of_the_frame(roll):
    projection = project(PHONE, view(roll_degree=roll), PAGE_MM)
    corners = projection.to_px(np.array([[0.0, 0.0], [210, 0], [210, 297], [0, 297]]))
    low, high = corners.min(axis=0), corners.max(axis=0)
    assert ((high - low) / PHONE.size_px).max() == pytest.approx(0.8, abs=0.002)
    np.testing.assert_allclose((low + high) / 2, (450, 600), atol=2)


def test_a_shift_pushes_the_card_out_of_the_frame():
    projection = project(PHONE, view(shift=(0.5, 0.0), tilt_degree=0.0), PAGE_MM)
    assert projection.to_px(np.array([210.0, 150.0]))[0] > 1000


def test_tilt_makes_the_near_side_larger():
    projection = project(PHONE, view(tilt_towards_degree=0.0, roll_degree=0.0), PAGE_MM)
    near, far = projection.px_per_mm((105.0, 20.0)), projection.px_per_mm((105.0, 277.0))
    assert abs(np.log(near / far)) > 0.1


def test_bend_moves_the_corner_of_the_frame_by_its_share():
    straight, bent = (project(SCAN, view(), PAGE_MM), project(PHONE, view(bend=0.02), PAGE_MM))
    assert straight.bend == 0.0
    ideal = np.array([450.0, 600.0]) - 0.5 + np.array([0.6, 0.8]) * 750 * 0.999999
    place = type(bent)(bent.matrix, bent.size_px, 0.0).to_mm(ideal)
    moved = np.linalg.norm(bent.to_px(place) - (449.5, 599.5)) / 750
    assert moved == pytest.approx(1.02, abs=1e-3)


def test_a_scan_is_to_scale():
    projection = project(SCAN, view(roll_degree=0.5, bend=0.0), PAGE_MM)
    assert projection.px_per_mm((100.0, 100.0)) == pytest.approx(100 / 25.4)


def test_the_coarse_map_enlarges_to_the_exact_one():
    projection = project(PHONE, view(), PAGE_MM)
    full = enlarge(projection.coarse_mm(), projection.size_px)
    assert full.shape == (1200, 900, 2)
    for x, y in ((0, 0), (899, 1199), (450, 600), (13, 1187)):
        # A millimetre is 3 points here: 0.02 mm is 0.06 points.
        np.testing.assert_allclose(full[y, x], projection.to_mm(np.array([x, y], float)), atol=0.02)


def test_blur_kernels_keep_the_light_and_their_size():
    y, x = np.mgrid[-6:7, -6:7]
    soft, drawn = disc(4.0), line(9.0, 0.0)
    assert soft.sum() == pytest.approx(1) and drawn.sum() == pytest.approx(1)
    # A disc has a quarter of its squared radius of variance along each axis, a line a twelfth of its squared length.
    reach = soft.shape[0] // 2
    assert (soft * x[6 - reach : 7 + reach, 6 - reach : 7 + reach] ** 2).sum() == pytest.approx(4.0, rel=0.1)
    reach = drawn.shape[0] // 2
    spread = (drawn * x[6 - reach : 7 + reach, 6 - reach : 7 + reach] ** 2).sum()
    assert spread == pytest.approx(81 / 12, rel=0.15)
    assert (drawn * y[6 - reach : 7 + reach, 6 - reach : 7 + reach] ** 2).sum() == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("defocus_mm", [0.1, 0.5, 3.0])
def test_defocus_spreads_a_point(defocus_mm):
    scene = np.zeros((401, 401, 3), np.float32)
    scene[200, 200] = 1
    out = blur(scene, Sharpness(defocus_mm, 0.0, 0.0), 10.0)[..., 0]
    y, _ = np.mgrid[-200:201, -200:201]
    deviation = np.sqrt((out * y**2).sum() / out.sum())
    assert out.sum() == pytest.approx(1, abs=0.03)
    assert deviation == pytest.approx(np.hypot(defocus_mm * 10 / 2, 0.55), rel=0.2)
