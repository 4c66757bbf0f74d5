"""Alembic's entry: runs migrations on the connection it is handed."""

from __future__ import annotations

from alembic import context

from api.store.tables import Base

connection = context.config.attributes["connection"]
context.configure(
    connection=connection, target_metadata=Base.metadata, render_as_batch=True, compare_type=True
)
with context.begin_transaction():
    context.run_migrations()
connection.commit()
