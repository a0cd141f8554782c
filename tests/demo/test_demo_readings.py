"""The committed readings files: the same from the same seed, in the agreed form, and as noisy as they say."""

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from demo.colorimetry import lab, xyz
from demo.light import stack_response
from demo.readings import FULL_CARD, NOISE, PAINTS, write_readings

COMMITTED = Path(__file__).parents[2] / "demo" / "readings"
NAMES = ("white", *(key.removeprefix("classroom-") for key in PAINTS))


def load(path):
    lines = path.read_text().splitlines()
    rows = list(csv.reader(line for line in lines if not line.startswith("#")))
    return lines, rows[0], {row[0]: np.array(row[5:], float) for row in rows[1:]}


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    folder = tmp_path_factory.mktemp("readings")
    write_readings(folder, seed=7)
    return folder


def test_committed_files_come_from_the_program(written):
    assert {path.name for path in written.iterdir()} == {path.name for path in COMMITTED.iterdir()}
    for path in written.glob("*.csv"):
        _, columns, values = load(path)
        _, committed_columns, committed = load(COMMITTED / path.name)
        assert columns == committed_columns
        assert list(values) == list(committed)
        for name in values:
            np.testing.assert_allclose(values[name], committed[name], rtol=1e-4, atol=2e-4)


@pytest.mark.parametrize("name", NAMES)
def test_form(name):
    lines, columns, colours = load(COMMITTED / f"{name}.csv")
    assert "# illuminant: D65" in lines
    assert "# observer: 2" in lines
    assert columns == ["area", "film", "paint_parts", "white_parts", "ground", "X", "Y", "Z"]
    _, columns, spectra = load(COMMITTED / f"{name}-spectral.csv")
    assert columns[5:] == [f"R{nm}" for nm in range(380, 740, 10)]
    tints = 0 if name == "white" else 4
    assert len(colours) == len(spectra) == len(FULL_CARD) - 4 + tints


def test_noise_is_what_it_says():
    """Both files show one card, so their XYZ differ by the meter's 1 % and hardly by the spectrometer's."""
    differences = []
    for name in NAMES:
        colours, spectra = load(COMMITTED / f"{name}.csv")[2], load(COMMITTED / f"{name}-spectral.csv")[2]
        differences += [np.log(colours[area] / xyz(spectra[area])) for area in colours]
    scatter = np.std(differences)
    assert NOISE < scatter < 1.2 * NOISE


def test_truth_answers_the_job():
    job, truth = (json.loads((COMMITTED / name).read_text()) for name in ("job.json", "truth.json"))
    assert len(job["layerings"]) == len(truth["layerings"]) > 30
    assert set(job["paints"]) | {"white"} == set(truth["cards"]) == set(NAMES)
    cards = truth["cards"]
    for asked, known in zip(job["layerings"][::7], truth["layerings"][::7], strict=True):
        films = []
        for film in asked["films"]:
            parts = {name: share / sum(film["parts"].values()) for name, share in film["parts"].items()}
            depths = [
                film["coats"]
                * sum(share * np.array(cards[name][f"{kind}_per_own_coat"]) for name, share in parts.items())
                for kind in ("absorption", "scattering")
            ]
            films.append(tuple(depths))
        seen = stack_response(films).over(np.array(asked["ground"]["reflectance"]))
        np.testing.assert_allclose(lab(seen), known["true"]["lab"], atol=0.02)
