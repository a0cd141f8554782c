"""Reference files of targets: XYZ, L*a*b* and spectra, as makers deliver them; damaged ones; where patches lie."""

import numpy as np
import pytest
from demo.target import names, reference_file, reflectances
from hypothesis import given, settings
from hypothesis import strategies as st

from scumble.colour import delta_e_2000, reflectance_to_xyz, white_point, xyz_to_lab
from scumble.errors import InputError, ScumbleError
from scumble.paint.reference import ReferenceTarget, patch_grid
from scumble.store.readings.reference_cgats import load_reference, parse_reference

TRUE = reflectance_to_xyz(reflectances())
FILE = reference_file(measured_error=0.0)


def off(xyz):
    white = white_point("D65", 2)
    return delta_e_2000(xyz_to_lab(xyz, white), xyz_to_lab(TRUE, white))


def rows(values, fields, *, head="IT8.7/2"):
    lines = [
        f"{name} {' '.join(f'{value:.5f}' for value in row)}"
        for name, row in zip(names(), values, strict=True)
    ]
    table = ["BEGIN_DATA_FORMAT", f"SAMPLE_ID {fields}", "END_DATA_FORMAT", "BEGIN_DATA", *lines, "END_DATA"]
    return "\n".join([head, *table])


def test_xyz_under_d50_become_d65():
    target = parse_reference(FILE)
    assert target.names == tuple(names())
    # From three numbers under one light those under another are only foretold: metamerism.
    assert off(target.xyz).mean() < 0.6
    assert np.percentile(off(target.xyz), 95) < 2.5


def test_lab_says_the_same_as_xyz():
    xyz = reflectance_to_xyz(reflectances(), light="D50", observer=2)
    lab = xyz_to_lab(xyz, white_point("D50", 2))
    by_lab = parse_reference(rows(lab, "LAB_L LAB_A LAB_B"))
    by_xyz = parse_reference(rows(xyz, "XYZ_X XYZ_Y XYZ_Z"))
    np.testing.assert_allclose(by_lab.xyz, by_xyz.xyz, rtol=2e-3, atol=0.01)
    assert any("D50 was assumed" in doubt for doubt in by_lab.doubts)


def test_spectra_are_exact():
    fields = " ".join(f"SPECTRAL_NM_{nm}" for nm in range(380, 731, 10))
    target = parse_reference(rows(reflectances(), fields))
    assert off(target.xyz).max() < 0.05
    assert target.doubts == ()


def test_a_grid_lies_as_its_names_say():
    grid = patch_grid(parse_reference(FILE))
    assert (grid.rows, grid.columns) == (12, 8)
    assert grid.places[9].tolist() == [1, 1]


def test_greys_below_the_grid_are_left_out_and_numbers_need_columns():
    lettered = [f"{row}{column:02d}" for row in "ABC" for column in range(1, 11)]
    greys = [f"GS{number}" for number in range(24)]
    grid = patch_grid(ReferenceTarget((*lettered, *greys), np.ones((54, 3))))
    assert (grid.rows, grid.columns, len(grid.members)) == (3, 10, 30)
    numbered = ReferenceTarget(tuple(str(number) for number in range(1, 25)), np.ones((24, 3)))
    assert patch_grid(numbered, columns=6).places[7].tolist() == [1, 1]
    with pytest.raises(InputError, match="say how many lie in a row"):
        patch_grid(numbered)


REFUSED = {
    "": "an empty file",
    "area,film,X,Y,Z\nwhite,bare,1,2,3": "a text without a table",
    rows(TRUE[:, :2], "XYZ_X XYZ_Y"): r"columns|fields",
    FILE.replace("A2 ", "A1 ", 1): "share a name",
    "\n".join([*FILE.split("\n")[:20], "END_DATA"]): "at least 12",
    FILE.replace("A3 ", "A3 x", 1): "line",
}


@pytest.mark.parametrize("number", range(len(REFUSED)))
def test_what_is_no_reference_is_refused(number):
    content, words = list(REFUSED.items())[number]
    with pytest.raises(InputError, match=words):
        parse_reference(content)


def test_a_missing_file_is_named(tmp_path):
    with pytest.raises(InputError, match=r"absent\.txt: saw 'no such file'"):
        load_reference(tmp_path / "absent.txt")


@settings(deadline=None, max_examples=80)
@given(
    st.lists(
        st.tuples(st.integers(0, len(FILE) - 1), st.characters(max_codepoint=255)), min_size=1, max_size=12
    )
)
def test_damaged_files_are_read_or_refused(changes):
    broken = list(FILE)
    for place, letter in changes:
        broken[place] = letter
    try:
        target = parse_reference("".join(broken))
    except ScumbleError:
        return
    assert np.isfinite(target.xyz).all()


@settings(deadline=None, max_examples=60)
@given(st.binary(max_size=300))
def test_any_bytes_are_refused(content):
    with pytest.raises(ScumbleError):
        parse_reference(content)
