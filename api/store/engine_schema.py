"""The tables and functions of the job engine in PostgreSQL, as its package ships them."""

from __future__ import annotations

from pathlib import Path

import psycopg
from procrastinate.schema import SchemaManager
from psycopg import sql

_TABLE = "procrastinate_jobs"
_MARK = "brought up to "
"""What the comment on the engine's table begins with; the name of a migration follows."""


def bring_up(connection: psycopg.Connection[tuple[str | None, ...]]) -> list[str]:
    """Make the engine's schema, or run the migrations that came with newer versions of it.

    Gives the names of the migrations that were run. A schema that another program made in the
    same database bears no mark of ours, and is left to that program. `connection` commits by
    itself, each file at once; one server at a time must call this.
    """
    mark = _mark(connection)
    if mark is None:
        # Together, so that a schema is never there without its mark.
        newest = _migrations()[-1].stem
        connection.execute(
            sql.SQL("{}\n{}").format(sql.SQL(SchemaManager.get_schema()), _marking(newest))
        )
        return []
    if not mark.startswith(_MARK):
        return []
    # Names sort by version: what comes after the mark has not been run.
    missing = [path for path in _migrations() if path.stem > mark.removeprefix(_MARK)]
    for path in missing:
        connection.execute(path.read_bytes())
        connection.execute(_marking(path.stem))
    return [path.stem for path in missing]


def _migrations() -> list[Path]:
    """The engine's own migrations: their names begin with a version, so they sort by age."""
    return sorted(Path(SchemaManager.get_migrations_path()).glob("*.sql"))


def _mark(connection: psycopg.Connection[tuple[str | None, ...]]) -> str | None:
    """The comment on the engine's table; None where there is no such table."""
    row = connection.execute(
        "SELECT coalesce(obj_description(oid, 'pg_class'), '') FROM pg_class"
        " WHERE oid = to_regclass(%s)",
        [_TABLE],
    ).fetchone()
    return None if row is None else row[0]


def _marking(name: str) -> sql.Composed:
    """The statement that notes on the engine's table up to where it was brought."""
    return sql.SQL("COMMENT ON TABLE {} IS {}").format(
        sql.Identifier(_TABLE), sql.Literal(f"{_MARK}{name}")
    )
