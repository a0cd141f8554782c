"""What a person says of a photograph's colour: paper, profile, target; and senseless ones."""

import numpy as np
import pytest
from demo.camera import CAMERAS
from demo.target import reference_file

from scumble.errors import InputError
from scumble.jobs.colour_request import PLAIN_COLOUR, ColourRequest, colour_options, paper_xyz


def test_nothing_said_asks_for_nothing():
    assert colour_options(PLAIN_COLOUR) == {}


def test_a_neutral_paper_is_neutral_under_any_light():
    for light in ("D50", "D65", "A"):
        seen = paper_xyz("93,0,0", is_lab=True, light=light)
        np.testing.assert_allclose(seen / seen[1], np.array([95.047, 100.0, 108.883]) / 100, rtol=2e-3)


@pytest.mark.parametrize("text", ["", "1 2", "a b c", "900 900 900", "3 3 3", "nan 1 2"])
def test_no_colour_of_a_paper_is_refused(text):
    with pytest.raises(InputError, match="paper"):
        paper_xyz(text, is_lab=False, light="D65")


def test_files_become_options(tmp_path):
    (tmp_path / "target.txt").write_text(reference_file())
    (tmp_path / "scanner.icc").write_bytes(CAMERAS["wide"].profile())
    request = ColourRequest(
        tmp_path / "target.txt", "1,2 9,2 9,8 1,8", None, tmp_path / "scanner.icc", "94 0 -2", True
    )
    options = colour_options(request)
    assert options["target"].corners_px == ((1.0, 2.0), (9.0, 2.0), (9.0, 8.0), (1.0, 8.0))
    assert options["profile"] == CAMERAS["wide"].profile()
    assert options["paper_xyz"].shape == (3,)


def test_what_is_no_profile_is_named(tmp_path):
    (tmp_path / "words.icc").write_text("nothing of the kind")
    with pytest.raises(InputError, match="an ICC profile, as came with the scanner"):
        colour_options(ColourRequest(profile=tmp_path / "words.icc"))
    with pytest.raises(InputError, match="an ICC profile that can be read"):
        colour_options(ColourRequest(profile=tmp_path / "absent.icc"))
    with pytest.raises(InputError, match="together with the target's reference file"):
        colour_options(ColourRequest(corners="1,2 3,2 3,4 1,4"))
