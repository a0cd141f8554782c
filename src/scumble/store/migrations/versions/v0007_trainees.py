"""Trainees, by a name or initials, and what they answered."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    op.create_table(
        "trainees",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("key", sa.String(80), nullable=False),
        sa.Column("name", sa.String(40), nullable=False),
        sa.Column("added_at", sa.DateTime, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_trainees"),
        sa.UniqueConstraint("key", name="uq_trainees_key"),
    )
    op.create_table(
        "answers",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("trainee_id", sa.Integer, nullable=False),
        sa.Column("answered_at", sa.DateTime, nullable=False),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("paints", sa.JSON, nullable=False),
        sa.Column("is_right", sa.Boolean, nullable=False),
        sa.Column("difficulty", sa.Float(53), nullable=False),
        sa.Column("guessed", sa.Float(53), nullable=False),
        sa.Column("round", sa.String(16), nullable=False),
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("slip", sa.String(200), nullable=False),
        sa.Column("off_de00", sa.Float(53)),
        sa.ForeignKeyConstraint(["trainee_id"], ["trainees.id"], name="fk_answers_trainee_id"),
        sa.PrimaryKeyConstraint("id", name="pk_answers"),
        sa.UniqueConstraint("trainee_id", "round", "place", name="uq_answers_trainee_id"),
    )
