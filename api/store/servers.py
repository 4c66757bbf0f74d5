"""Which processes with workers are alive: each says so now and then."""

from __future__ import annotations

from sqlalchemy import delete, func, or_, select
from sqlalchemy.orm import Session

from api.store.tables import ServerRow

BEAT_S = 5.0
"""Time between two signs of life [s]."""
SILENCE_S = 20.0
"""A process without a sign for so long counts as gone [s]."""


def sign(session: Session, name: str, workers: int, now: float) -> None:
    """Say that so many workers are ready here, and forget who is gone."""
    session.merge(ServerRow(name=name, workers=workers, at=now))
    # A sign from the future is of before the machine was started anew.
    gone = or_(ServerRow.at < now - 60 * SILENCE_S, ServerRow.at > now + SILENCE_S)
    session.execute(delete(ServerRow).where(gone, ServerRow.name != name))


def leave(session: Session, name: str) -> None:
    """Say that nobody works here any more."""
    session.execute(delete(ServerRow).where(ServerRow.name == name))


def workers_alive(session: Session, now: float) -> int:
    """How many workers are ready in all."""
    query = select(func.coalesce(func.sum(ServerRow.workers), 0)).where(
        ServerRow.at >= now - SILENCE_S, ServerRow.at <= now + SILENCE_S
    )
    return int(session.execute(query).scalar_one())
