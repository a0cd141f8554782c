"""How much paint a full coat of a tube is, in a person's words."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    op.add_column("tubes", sa.Column("coat", sa.String(80)))
