"""Runs the migrations of a shelf inside the transaction that was opened for them."""

from __future__ import annotations

from alembic import context

from scumble.store.database.schema import metadata

context.configure(
    connection=context.config.attributes["connection"], target_metadata=metadata, render_as_batch=True
)
with context.begin_transaction():
    context.run_migrations()
