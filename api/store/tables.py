"""Tables of the store. Times are seconds since 1970 (UTC); documents are JSON text."""

from __future__ import annotations

from sqlalchemy import Float, ForeignKey, Index, Integer, LargeBinary, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

QUEUED = "queued"
RUNNING = "running"
DONE = "done"


class Base(DeclarativeBase):
    """Common base; migrations compare against its metadata."""


class StudyRow(Base):
    """One study: whose it is, where it stands, who works on it and until when."""

    __tablename__ = "studies"
    __table_args__ = (
        Index("studies_by_state", "state", "created_at", "id"),
        Index("studies_by_owner", "owner", "created_at", "id"),
        Index("studies_by_client", "client", "state"),
        Index("studies_by_fingerprint", "owner", "fingerprint"),
        Index("studies_by_expiry", "expires_at"),
    )

    id: Mapped[str] = mapped_column(String(26), primary_key=True)
    owner: Mapped[str] = mapped_column(String(64))
    client: Mapped[str] = mapped_column(String(80))
    name: Mapped[str] = mapped_column(String(200))
    kind: Mapped[str] = mapped_column(String(10))
    parent_id: Mapped[str | None] = mapped_column(String(26), index=True)
    root_id: Mapped[str] = mapped_column(String(26), index=True)
    fingerprint: Mapped[str] = mapped_column(String(64))
    fresh: Mapped[bool] = mapped_column(default=False)
    answered_from: Mapped[str | None] = mapped_column(String(26))

    state: Mapped[str] = mapped_column(String(10))
    status: Mapped[str | None] = mapped_column(String(16))
    problem: Mapped[str | None] = mapped_column(Text)
    created_at: Mapped[float] = mapped_column(Float)
    started_at: Mapped[float | None] = mapped_column(Float)
    finished_at: Mapped[float | None] = mapped_column(Float)
    deadline_at: Mapped[float] = mapped_column(Float)
    expires_at: Mapped[float | None] = mapped_column(Float)
    time_limit_s: Mapped[float] = mapped_column(Float)

    attempts: Mapped[int] = mapped_column(Integer, default=0)
    cancel_requested: Mapped[bool] = mapped_column(default=False)
    worker: Mapped[str | None] = mapped_column(String(80))
    lease_token: Mapped[str | None] = mapped_column(String(32))
    lease_until: Mapped[float | None] = mapped_column(Float)
    run_until: Mapped[float | None] = mapped_column(Float)

    seq: Mapped[int] = mapped_column(Integer, default=0)
    stage: Mapped[str | None] = mapped_column(String(60))
    score: Mapped[float | None] = mapped_column(Float)
    bound: Mapped[float | None] = mapped_column(Float)
    seconds: Mapped[float | None] = mapped_column(Float)
    layouts_found: Mapped[int] = mapped_column(Integer, default=0)


class DocumentRow(Base):
    """The large texts of a study, kept apart so that lists stay quick."""

    __tablename__ = "documents"

    study_id: Mapped[str] = mapped_column(
        ForeignKey("studies.id", ondelete="CASCADE"), primary_key=True
    )
    brief: Mapped[str] = mapped_column(Text)
    warnings: Mapped[str] = mapped_column(Text)
    patch: Mapped[str | None] = mapped_column(Text)
    earlier: Mapped[str | None] = mapped_column(Text)
    rescored: Mapped[str | None] = mapped_column(Text)
    stability: Mapped[float | None] = mapped_column(Float)
    result: Mapped[str | None] = mapped_column(Text)


class FoundRow(Base):
    """A layout as a run found it, kept at once so that no accident loses it."""

    __tablename__ = "found_layouts"

    study_id: Mapped[str] = mapped_column(
        ForeignKey("studies.id", ondelete="CASCADE"), primary_key=True
    )
    attempt: Mapped[int] = mapped_column(Integer, primary_key=True)
    rank: Mapped[int] = mapped_column(Integer, primary_key=True)
    score: Mapped[float] = mapped_column(Float)
    body: Mapped[str] = mapped_column(Text)


class EventRow(Base):
    """One event of a study's stream; `seq` rises by one from 1 and is the event's id."""

    __tablename__ = "events"

    study_id: Mapped[str] = mapped_column(
        ForeignKey("studies.id", ondelete="CASCADE"), primary_key=True
    )
    seq: Mapped[int] = mapped_column(Integer, primary_key=True)
    kind: Mapped[str] = mapped_column(String(16))
    at: Mapped[float] = mapped_column(Float)
    data: Mapped[str] = mapped_column(Text)


class AnswerRow(Base):
    """The first answer under an Idempotency-Key."""

    __tablename__ = "answers"

    owner: Mapped[str] = mapped_column(String(80), primary_key=True)
    key: Mapped[str] = mapped_column(String(255), primary_key=True)
    request: Mapped[str] = mapped_column(String(64))
    study_id: Mapped[str] = mapped_column(ForeignKey("studies.id", ondelete="CASCADE"), index=True)
    created_at: Mapped[float] = mapped_column(Float, index=True)
    status: Mapped[int | None] = mapped_column(Integer)
    body: Mapped[bytes | None] = mapped_column(LargeBinary)


class ArtifactRow(Base):
    """Something computed once from a stored layout: a drawing, a build pack."""

    __tablename__ = "artifacts"

    study_id: Mapped[str] = mapped_column(
        ForeignKey("studies.id", ondelete="CASCADE"), primary_key=True
    )
    name: Mapped[str] = mapped_column(String(120), primary_key=True)
    body: Mapped[bytes] = mapped_column(LargeBinary)


class ServerRow(Base):
    """The last sign of life of a process with workers, by the clock of leases."""

    __tablename__ = "servers"

    name: Mapped[str] = mapped_column(String(80), primary_key=True)
    workers: Mapped[int] = mapped_column(Integer)
    at: Mapped[float] = mapped_column(Float)
