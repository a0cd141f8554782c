"""Figures as Markdown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Rows under heads."""
    lines = [f"| {' | '.join(heads)} |", "|" + "---|" * len(heads)]
    return "\n".join([*lines, *(f"| {' | '.join(row)} |" for row in rows)])


def share(values: Sequence[bool]) -> str:
    """Share of what holds."""
    return f"{100 * np.mean(values):.1f} %" if len(values) else "-"


def spread(values: Sequence[float]) -> str:
    """Mean and 95th percentile."""
    return f"{np.mean(values):.2f} / {np.percentile(values, 95):.2f}" if len(values) else "-"
