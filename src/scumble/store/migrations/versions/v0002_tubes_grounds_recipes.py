"""Tubes with their lightfastness, grounds, recipes, and summaries for fast lists."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    _create_tubes()
    _create_named("grounds", sa.Column("reflectance", sa.LargeBinary), sa.Column("lab", sa.JSON))
    _create_named("recipes", sa.Column("layering", sa.JSON, nullable=False))
    op.create_table(
        "summaries",
        sa.Column("version_id", sa.Integer, nullable=False),
        sa.Column("made_by", sa.String(40), nullable=False),
        sa.Column("content", sa.JSON, nullable=False),
        sa.ForeignKeyConstraint(["version_id"], ["versions.id"], name="fk_summaries_version_id"),
        sa.PrimaryKeyConstraint("version_id", name="pk_summaries"),
    )


def _create_tubes() -> None:
    op.create_table(
        "tubes",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("paint_id", sa.Integer, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("saved_at", sa.DateTime, nullable=False),
        sa.Column("price", sa.String(20)),
        sa.Column("currency", sa.String(3), nullable=False),
        sa.Column("size_ml", sa.Float(53)),
        sa.Column("stock", sa.Integer),
        sa.Column("shop_code", sa.String(80), nullable=False),
        sa.Column("discontinued", sa.Boolean, nullable=False),
        sa.Column("notes", sa.Text, nullable=False),
        sa.ForeignKeyConstraint(["paint_id"], ["paints.id"], name="fk_tubes_paint_id"),
        sa.PrimaryKeyConstraint("id", name="pk_tubes"),
        sa.UniqueConstraint("paint_id", "number", name="uq_tubes_paint_id"),
    )
    op.create_table(
        "lightfastness",
        sa.Column("tube_id", sa.Integer, nullable=False),
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("scale", sa.String(20), nullable=False),
        sa.Column("rating", sa.String(4), nullable=False),
        sa.Column("said_by", sa.String(200), nullable=False),
        sa.ForeignKeyConstraint(["tube_id"], ["tubes.id"], name="fk_lightfastness_tube_id"),
        sa.PrimaryKeyConstraint("tube_id", "place", name="pk_lightfastness"),
    )


def _create_named(table: str, *content: sa.Column[Any]) -> None:
    op.create_table(
        table,
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("key", sa.String(80), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("saved_at", sa.DateTime, nullable=False),
        sa.Column("binned", sa.Boolean, nullable=False),
        sa.Column("label", sa.String(200), nullable=False),
        sa.Column("notes", sa.Text, nullable=False),
        *content,
        sa.PrimaryKeyConstraint("id", name=f"pk_{table}"),
        sa.UniqueConstraint("key", "number", name=f"uq_{table}_key"),
    )
