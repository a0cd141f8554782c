"""Published numbers: CSV with a provenance header, one loader, no formulas."""

from scumble.tables.bands import BANDS, WAVELENGTH_NM

__all__ = ["BANDS", "WAVELENGTH_NM"]
