"""Optics in files: what is written reads back equal to the last digit; what is damaged is refused."""

from __future__ import annotations

from dataclasses import replace

import colour_cxf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.store.cards import invented_paint, same_paint

from scumble.errors import InputError
from scumble.paint import Binder, Optics, Paint, Provenance
from scumble.store.optics_file.cgats import format_optics_cgats, is_optics_cgats, parse_optics_cgats
from scumble.store.optics_file.cxf import format_optics_cxf, is_optics_cxf, parse_optics_cxf

WAYS = [(format_optics_cgats, parse_optics_cgats), (format_optics_cxf, parse_optics_cxf)]

spectra = st.lists(st.floats(1e-6, 1e4), min_size=36, max_size=36).map(np.array)


@pytest.mark.parametrize(("write", "read"), WAYS)
@settings(max_examples=25, deadline=None)
@given(spectra, spectra, st.integers(0, 99), st.sampled_from(list(Binder)), st.sampled_from(list(Provenance)))
def test_optics_read_back_equal(write, read, absorption, scattering, seed, binder, provenance):
    rng = np.random.default_rng(seed)
    factor = rng.normal(size=(72, 5))
    covariance = factor @ factor.T if seed % 3 else np.zeros((72, 72))
    optics = Optics(absorption, scattering, (covariance + covariance.T) / 2)
    paint = Paint(
        "my-blue", "My blue, 3° — “deep”", optics, provenance, ("PB15:3", "PW6"), binder, ("Well.", "So so.")
    )
    assert same_paint(read(write(paint)), paint)


@pytest.mark.parametrize(("write", "read"), WAYS)
def test_a_paint_without_words_reads_back(write, read):
    paint = replace(invented_paint(), pigments=(), status=())
    assert same_paint(read(write(paint)), paint)


def test_the_table_shows_standard_deviations():
    paint = invented_paint()
    lines = format_optics_cgats(paint).splitlines()
    row = lines[lines.index("BEGIN_DATA") + 1].split()
    assert [float(word) for word in row[:3]] == [
        380.0,
        paint.optics.absorption[0],
        paint.optics.scattering[0],
    ]
    assert float(row[3]) == pytest.approx(np.sqrt(paint.optics.covariance[0, 0]))
    assert float(row[4]) == pytest.approx(np.sqrt(paint.optics.covariance[36, 36]))


def test_cxf_is_read_by_the_library_alone():
    found = colour_cxf.read_cxf(format_optics_cxf(invented_paint())).resources.object_collection.object_value[
        0
    ]
    assert [spectrum.name for spectrum in found.color_values.choice] == ["absorption", "scattering"]


def test_readings_and_optics_are_told_apart():
    from tests.store.cards import small_card

    from scumble.store.readings.cgats_out import format_readings_cgats
    from scumble.store.readings.cxf import format_readings_cxf

    assert is_optics_cgats(format_optics_cgats(invented_paint()))
    assert not is_optics_cgats(format_readings_cgats(small_card()))
    assert is_optics_cxf(format_optics_cxf(invented_paint()))
    assert not is_optics_cxf(format_readings_cxf(small_card()))


GOOD = format_optics_cgats(invented_paint())


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ("K_ABSORPTION", "K_OTHER", "no table of optics"),
        ("S_SCATTERING", "K_ABSORPTION", "K_ABSORPTION 2 times|S_SCATTERING 0 times"),
        ('BINDER "oil"', 'BINDER "glue"', "binder: saw 'glue'; allowed is acrylic, oil, gum"),
        ('KEY "deep-blue"', 'KEY ""', "no KEY|allowed is"),
        ("\n380.0 ", "\n385.0 ", "WAVELENGTH_NM: saw '36 wavelengths from 385 nm'"),
        ("\n390.0 ", "\n390.0 -", "absorption"),
        ("\n72 ", "\n72 x ", "line 13"),
    ],
)
def test_damaged_optics_are_refused(before, after, words):
    assert before in GOOD
    with pytest.raises(InputError, match=words):
        parse_optics_cgats(GOOD.replace(before, after, 1))


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_any_cut_or_change_is_a_paint_or_a_sentence(data):
    text = GOOD if data.draw(st.booleans()) else format_optics_cxf(invented_paint()).decode()
    at = data.draw(st.integers(0, len(text) - 1))
    text = data.draw(
        st.sampled_from([text[:at], text[:at] + data.draw(st.text(max_size=3)) + text[at + 1 :]])
    )
    try:
        if text.lstrip().startswith("<"):
            parse_optics_cxf(text.encode("utf-8", "replace"))
        else:
            parse_optics_cgats(text)
    except InputError as error:
        assert str(error)


@pytest.mark.parametrize(("write", "_read"), WAYS)
@pytest.mark.parametrize("label", ['a "b"', "two\nlines", "tab\there", "bell\x07"])
def test_names_that_would_not_come_back_are_refused(write, _read, label):
    paint = replace(invented_paint(), label=label)
    try:
        content = write(paint)
    except InputError:
        return
    assert same_paint(_read(content), paint)
