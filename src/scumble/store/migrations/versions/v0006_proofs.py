"""Proofs: predictions that are painted and read back, the sheets they are painted on, and what they went into."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    op.create_table(
        "proofs",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("key", sa.String(80), nullable=False),
        sa.Column("kept_at", sa.DateTime, nullable=False),
        sa.Column("binned_at", sa.DateTime),
        sa.Column("label", sa.String(200), nullable=False),
        sa.Column("notes", sa.Text, nullable=False),
        sa.Column("kind", sa.String(200), nullable=False),
        sa.Column("ground", sa.String(200), nullable=False),
        sa.Column("layering", sa.JSON, nullable=False),
        sa.Column("paints", sa.JSON, nullable=False),
        sa.Column("light", sa.String(200), nullable=False),
        sa.Column("observer", sa.Integer, nullable=False),
        sa.Column("promise", sa.JSON, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_proofs"),
        sa.UniqueConstraint("key", name="uq_proofs_key"),
    )
    op.create_table(
        "proof_sheets",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("serial", sa.String(8), nullable=False),
        sa.Column("printed_at", sa.DateTime, nullable=False),
        sa.Column("page", sa.String(20), nullable=False),
        sa.Column("boxes", sa.JSON, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_proof_sheets"),
        sa.UniqueConstraint("serial", name="uq_proof_sheets_serial"),
    )
    _create_readings()
    op.create_table(
        "proof_uses",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("reading_id", sa.Integer, nullable=False),
        sa.Column("paint", sa.String(80), nullable=False),
        sa.Column("optics", sa.String(64), nullable=False),
        sa.ForeignKeyConstraint(["reading_id"], ["proof_readings.id"], name="fk_proof_uses_reading_id"),
        sa.PrimaryKeyConstraint("id", name="pk_proof_uses"),
        sa.UniqueConstraint("reading_id", "paint", "optics", name="uq_proof_uses_reading_id"),
    )


def _create_readings() -> None:
    op.create_table(
        "proof_readings",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("proof_id", sa.Integer, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("read_at", sa.DateTime, nullable=False),
        sa.Column("binned_at", sa.DateTime),
        sa.Column("source", sa.String(20), nullable=False),
        sa.Column("lab", sa.JSON, nullable=False),
        sa.Column("error", sa.JSON, nullable=False),
        sa.Column("expected", sa.JSON, nullable=False),
        sa.Column("quantity", sa.String(20), nullable=False),
        sa.Column("values", sa.LargeBinary, nullable=False),
        sa.Column("ground", sa.LargeBinary),
        sa.Column("light", sa.String(20), nullable=False),
        sa.Column("observer", sa.Integer, nullable=False),
        sa.Column("noise", sa.Float(53), nullable=False),
        sa.Column("camera", sa.JSON),
        sa.Column("blind", sa.JSON, nullable=False),
        sa.Column("sheet", sa.String(8), nullable=False),
        sa.Column("area", sa.String(80), nullable=False),
        sa.Column("said", sa.JSON, nullable=False),
        sa.Column("picture_id", sa.Integer),
        sa.ForeignKeyConstraint(["proof_id"], ["proofs.id"], name="fk_proof_readings_proof_id"),
        sa.ForeignKeyConstraint(["picture_id"], ["pictures.id"], name="fk_proof_readings_picture_id"),
        sa.PrimaryKeyConstraint("id", name="pk_proof_readings"),
        sa.UniqueConstraint("proof_id", "number", name="uq_proof_readings_proof_id"),
    )
