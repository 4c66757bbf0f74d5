"""Migrations of the store's tables, run by Alembic."""
