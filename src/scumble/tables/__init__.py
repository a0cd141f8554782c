"""Published numbers: CSV with a provenance header, one loader, no formulas."""

from scumble.tables.bands import BANDS, WAVELENGTH_NM
from scumble.tables.table import Table, load_table

__all__ = ["BANDS", "WAVELENGTH_NM", "Table", "load_table"]
