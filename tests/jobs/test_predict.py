"""Predictions from readings files: against cards painted by a second program, and against bad jobs."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from scumble.colour import delta_e_2000
from scumble.errors import CardError, InputError
from scumble.jobs.predict import run_job

READINGS = Path(__file__).parents[2] / "demo" / "readings"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for file in READINGS.iterdir():
        shutil.copy(file, tmp_path)
    return tmp_path


def write_job(folder: Path, **changes: Any) -> Path:
    job = {"white": "white.csv", "paints": {"a": "magenta.csv"}, "layerings": [], **changes}
    path = folder / "own.json"
    path.write_text(json.dumps(job), encoding="utf-8")
    return path


def layering(**changes: Any) -> dict[str, Any]:
    return {"ground": {"paper": "white"}, "films": [{"parts": {"a": 1}, "coats": 0.3}], **changes}


# The truth comes from demo/: cards painted and layered by the adding-doubling package iadpython, with their own
# colorimetry, 1 % noise, wrong thicknesses and tint ratios. Bounds: twice what was found (mean 0.8 and 0.4 dE00).
@pytest.mark.parametrize(("suffix", "bound"), [("", 1.6), ("-spectral", 0.9)])
def test_unseen_films_are_predicted(folder: Path, suffix: str, bound: float) -> None:
    truth = json.loads((folder / "truth.json").read_text(encoding="utf-8"))["layerings"]
    job = json.loads((folder / "job.json").read_text(encoding="utf-8"))
    job["white"] = f"white{suffix}.csv"
    job["paints"] = {name: f"{name}{suffix}.csv" for name in job["paints"]}
    path = folder / "own.json"
    path.write_text(json.dumps(job), encoding="utf-8")
    answer = run_job(path)
    pairs = list(zip(answer["predictions"], truth, strict=True))
    differences = np.array([delta_e_2000(told["lab"], true["true"]["lab"]) for told, true in pairs])
    held = differences <= [told["interval_de00"] for told, _ in pairs]
    assert differences.mean() < bound
    assert held.mean() >= 0.8
    assert all("etermined" in paint["status"] for paint in answer["paints"].values())


def test_answer_has_every_number(folder: Path) -> None:
    answer = run_job(write_job(folder, layerings=[layering()]))
    (told,) = answer["predictions"]
    assert set(told) == {"lab", "xyz", "reflectance", "srgb", "in_gamut", "interval_de00"}
    assert len(told["reflectance"]) == 36
    assert told["interval_de00"] > 0
    assert json.loads(json.dumps(answer)) == answer


def test_a_bare_ground_shows_itself(folder: Path) -> None:
    answer = run_job(write_job(folder, layerings=[layering(films=[], ground={"reflectance": [0.5] * 36})]))
    (told,) = answer["predictions"]
    assert told["xyz"][1] == pytest.approx(50.0, abs=1e-3)
    assert told["interval_de00"] == 0.0


def test_grounds_of_the_card_go_by_name(folder: Path) -> None:
    yellow = run_job(write_job(folder, layerings=[layering(films=[], ground={"paper": "yellow"})]))
    row = next(line for line in (folder / "white.csv").read_text().splitlines() if line.startswith("yellow,"))
    assert yellow["predictions"][0]["xyz"] == pytest.approx(
        [float(cell) for cell in row.split(",")[-3:]], abs=0.01
    )


def test_a_ground_by_its_colour_has_that_colour(folder: Path) -> None:
    answer = run_job(write_job(folder, layerings=[layering(films=[], ground={"lab": [60, 20, 30]})]))
    assert answer["predictions"][0]["lab"] == pytest.approx([60, 20, 30], abs=0.01)


def test_films_lie_in_the_order_given(folder: Path) -> None:
    white_on_top = [{"parts": {"a": 1}, "coats": 1}, {"parts": {"white": 1}, "coats": 3}]
    answers = run_job(
        write_job(folder, layerings=[layering(films=white_on_top), layering(films=white_on_top[::-1])])
    )["predictions"]
    assert answers[0]["lab"][0] > 85 > 60 > answers[1]["lab"][0]


def test_light_observer_face_and_thinning_are_heeded(folder: Path) -> None:
    film = {"parts": {"a": 1}, "coats": 0.5}
    asked = [
        layering(),
        layering(light="A"),
        layering(observer=10),
        layering(face="matte"),
        layering(wet=True),
        layering(films=[{**film, "medium_parts": 4}]),
        layering(films=[{**film, "water_parts": 4}]),
        layering(ground={"paper": "white", "face": "gloss"}),
    ]
    labs = [tuple(told["lab"]) for told in run_job(write_job(folder, layerings=asked))["predictions"]]
    assert len(set(labs[:5]) | {labs[7]}) == 6
    assert labs[5] == pytest.approx(labs[6], abs=1e-6)


BAD_LAYERINGS = [
    (
        layering(films=[{"parts": {"b": 1}, "coats": 1}]),
        "parts: saw 'b'; allowed is a paint of this job. There are: a, white",
    ),
    (layering(films=[{"parts": {"a": -1}, "coats": 1}]), "parts of a: saw '-1.0'"),
    (layering(films=[{"parts": {"a": 1}, "coats": 0}]), "coats: saw '0.0'"),
    (layering(films=[{"parts": {}, "coats": 1}]), "parts"),
    (layering(films=[{"prts": {"a": 1}, "coats": 1}]), "prts.*spelling"),
    (layering(ground={"paper": "velvet"}), "paper: saw 'velvet'; allowed is white, cream"),
    (layering(ground={}), "exactly one of paper, lab, reflectance"),
    (layering(ground={"lab": [50, 0]}), "three numbers"),
    (layering(ground={"lab": [50, 120, 90]}), "a surface can have"),
    (layering(ground={"reflectance": [0.5] * 35}), "saw '35 numbers'; allowed is 36"),
    (layering(ground={"reflectance": [50.0] * 36}), "numbers from 0 to 1"),
    (layering(light="D93"), "light: saw 'D93'"),
    (layering(observer=5), "observer: saw '5'"),
    (layering(face="velvet"), "face"),
]


@pytest.mark.parametrize(("bad", "message"), BAD_LAYERINGS)
def test_a_bad_layering_is_named(folder: Path, bad: dict[str, Any], message: str) -> None:
    with pytest.raises(InputError, match=message):
        run_job(write_job(folder, layerings=[bad]))


def test_bad_jobs_are_named(folder: Path) -> None:
    with pytest.raises(InputError, match=r"nowhere\.json"):
        run_job(folder / "nowhere.json")
    (folder / "broken.json").write_text("{", encoding="utf-8")
    with pytest.raises(InputError, match="Line 1"):
        run_job(folder / "broken.json")
    with pytest.raises(InputError, match="any other name"):
        run_job(write_job(folder, paints={"white": "magenta.csv"}))
    with pytest.raises(InputError, match=r"missing\.csv"):
        run_job(write_job(folder, paints={"a": "missing.csv"}))


def test_without_a_white_the_tints_are_left_out_and_said(folder: Path) -> None:
    answer = run_job(write_job(folder, white=None))
    assert "no white was given" in answer["paints"]["a"]["status"]


def test_progress_is_told(folder: Path) -> None:
    told: list[tuple[str, float]] = []
    run_job(write_job(folder), progress=lambda words, share: told.append((words, share)))
    assert [words for words, _ in told] == ["fitting white", "fitting a"]


def test_a_photograph_goes_where_a_readings_file_goes(folder: Path) -> None:
    cards = READINGS.parent / "cards"
    shutil.copy(cards / "classroom-white.jpg", folder)
    shutil.copy(cards / "classroom-magenta.jpg", folder)
    photographed = write_job(
        folder,
        white="classroom-white.jpg",
        paints={"a": "classroom-magenta.jpg"},
        layerings=[layering(ground={"reflectance": [0.8] * 36})],
    )
    (seen,) = run_job(photographed)["predictions"]
    (read,) = run_job(write_job(folder, layerings=[layering(ground={"reflectance": [0.8] * 36})]))[
        "predictions"
    ]
    # One tube, two cards whose full films differ by up to 15 % each.
    assert delta_e_2000(seen["lab"], read["lab"]) < 6.0


def test_a_picture_without_a_card_is_refused(folder: Path) -> None:
    from PIL import Image

    Image.new("RGB", (900, 900), "grey").save(folder / "grey.png")
    with pytest.raises(CardError, match="No sample card was found"):
        run_job(write_job(folder, paints={"a": "grey.png"}))
