"""How a card was measured: what a camera shares out, the instrument's condition, the backing, the card's serial."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

_COLUMNS = (
    ("camera", sa.JSON),
    ("condition", sa.String(4)),
    ("backing", sa.String(80)),
    ("serial", sa.String(8)),
)


def upgrade() -> None:
    for name, kind in _COLUMNS:
        op.add_column("cards", sa.Column(name, kind))
