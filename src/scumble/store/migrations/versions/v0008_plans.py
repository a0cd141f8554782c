"""Plans of paintings with a name."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    op.create_table(
        "plans",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("key", sa.String(80), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("saved_at", sa.DateTime, nullable=False),
        sa.Column("binned", sa.Boolean, nullable=False),
        sa.Column("label", sa.String(200), nullable=False),
        sa.Column("notes", sa.Text, nullable=False),
        sa.Column("content", sa.JSON, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_plans"),
        sa.UniqueConstraint("key", "number", name="uq_plans_key"),
    )
