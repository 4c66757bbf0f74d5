"""Making studies: durable before anything is answered, at most once per key."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy.orm import Session

from api.http.clients import Client
from api.http.errors import ServiceError
from api.http.preferences import Key
from api.http.wire import JsonObject
from api.metrics import ServiceMetrics
from api.settings import Settings
from api.store import jobs
from api.store.database import Database
from api.store.ids import new_identifier
from api.store.tables import QUEUED, DocumentRow, StudyRow
from api.studies import idempotency, repository
from api.studies.acceptance import AcceptedBrief
from api.studies.events import STATE, append_event
from api.studies.lifecycle import finish
from api.studies.reuse import ending_like, figures_like
from api.studies.schemas import Instant

USUAL_S = 1.0
"""What a run is taken to last before one has ended [s]."""
LONGEST_RETRY_S = 60.0
_ADMISSION = 7_262_002
"""Name of the lock under which the limits are counted."""


@dataclass(frozen=True, slots=True)
class Rescored:
    """What a rerun is answered at once, with the earlier layouts ranked anew."""

    instant: Instant
    layouts: list[JsonObject]

    def text(self) -> str:
        """As it is stored."""
        return json.dumps({"instant": self.instant.members(), "layouts": self.layouts})


@dataclass(frozen=True, slots=True)
class Order:
    """What a study is made from.

    `fingerprint` tells requests for one solve from others; `fresh` asks not to take an earlier
    answer. A rerun has its `parent`, and what changed: a merge `patch`, or priorities alone
    (`rescored`).
    """

    taken: AcceptedBrief
    fingerprint: str
    fresh: bool = False
    deadline_s: float | None = None
    parent: StudyRow | None = None
    patch: JsonObject | None = None
    earlier: str | None = None
    rescored: Rescored | None = None
    stability: float | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """The study behind an order, and the first answer if this is a repetition."""

    study_id: str
    repeated: bool = False
    status: int | None = None
    body: bytes | None = None


def retry_after(session: Session, settings: Settings) -> float:
    """Seconds until a study that is queued now may have ended, for clients to ask again [s]."""
    usual = repository.usual_seconds(session) or USUAL_S
    turns = 1 + repository.waiting(session) / max(1, settings.workers)
    return min(LONGEST_RETRY_S, max(1.0, usual * turns))


class Studies:
    """Makes studies in the store and tells the workers."""

    def __init__(
        self,
        settings: Settings,
        database: Database,
        metrics: ServiceMetrics,
        wake: Callable[[], None],
    ) -> None:
        """`wake` tells the workers of this process that something was queued."""
        self._settings = settings
        self._database = database
        self._metrics = metrics
        self._wake = wake

    def repeated(self, client: Client, key: Key | None) -> Made | None:
        """The study an earlier request made under the same key, if there was one."""
        if key is None:
            return None
        with self._database.reading() as session:
            return self._repeated(session, client, key)

    def make(self, client: Client, order: Order, key: Key | None) -> Made:
        """Make the study that was ordered, or find the one its key made already.

        An equal study that has ended answers at once. ServiceError when a limit is passed
        or the store cannot take it; then nothing was made.
        """
        with self._database.writing() as session:
            # One at a time, or two requests could both take the last place within a limit.
            self._database.serialise(session, _ADMISSION)
            if key is not None and (made := self._repeated(session, client, key)):
                return made
            now = self._database.now(session)
            source = self._source(session, client, order)
            # Even where the answer is at hand: it is stored as a study of its own.
            self._check_store(session, client)
            if source is None:
                self._check_room(session, client)
            row = self._insert(session, client, order, now)
            if key is not None:
                idempotency.remember(
                    session,
                    owner=client.name,
                    key=key.text,
                    request=key.digest,
                    study_id=row.id,
                    now=now,
                )
            if source is not None:
                self._answer(session, row, source, now)
            else:
                jobs.defer(session, row)
        self._metrics.accepted.labels("store" if source is not None else "queue").inc()
        if source is None:
            self._wake()
        return Made(row.id)

    def keep_answer(self, client: Client, key: Key, status: int, body: bytes) -> None:
        """Keep the first answer given under a key."""
        with self._database.writing() as session:
            idempotency.keep_body(session, client.name, key.text, status, body)

    def _repeated(self, session: Session, client: Client, key: Key) -> Made | None:
        """The study made earlier under this key; 422 where that was another request."""
        earlier = idempotency.remembered(session, client.name, key.text)
        if earlier is None:
            return None
        if earlier.request != key.digest:
            raise ServiceError(
                "idempotency_mismatch",
                "the key was first used with another body, query or path; use a new key",
            )
        return Made(earlier.study_id, True, earlier.status, earlier.body)

    def _source(self, session: Session, client: Client, order: Order) -> StudyRow | None:
        """An ended study that answers the same question, unless a fresh run was asked for."""
        if order.fresh:
            return None
        return repository.answer_in_store(session, client.owner, order.fingerprint)

    def _check_room(self, session: Session, client: Client) -> None:
        """Refuse what passes the limits, with the limit and when to try again."""
        most = self._settings.max_active_per_client
        active = repository.active_of_client(session, client.name)
        if active >= most:
            self._refuse("too_many_studies", f"{active} studies wait or run already", most)
        most = self._settings.max_queue
        waiting = repository.waiting(session)
        if waiting >= most:
            soon = retry_after(session, self._settings)
            self._refuse("queue_full", f"{waiting} studies wait already", most, soon)

    def _check_store(self, session: Session, client: Client) -> None:
        """Refuse a study of a client that has as many as it may; deleting some makes room."""
        most = self._settings.max_stored_per_client
        stored = repository.stored_of_client(session, client.name)
        if stored >= most:
            self._refuse("too_many_stored", f"{stored} studies are stored; delete some", most, 60)

    def _refuse(self, code: str, detail: str, most: int, soon: float = 2.0) -> None:
        """Count the refusal and raise it."""
        self._metrics.refused.labels(code).inc()
        raise ServiceError(code, f"{detail}; at most {most} may", limit=most, retry_after=soon)

    def _insert(self, session: Session, client: Client, order: Order, now: float) -> StudyRow:
        """The study's row in the queue, with its texts and its first event."""
        brief = order.taken.brief
        study_id = new_identifier()
        longest = self._settings.deadline_s
        row = StudyRow(
            id=study_id,
            owner=client.owner,
            client=client.name,
            name=brief.name.replace("\0", ""),
            kind="propose" if order.parent is None else "rerun",
            parent_id=None if order.parent is None else order.parent.id,
            root_id=study_id if order.parent is None else order.parent.root_id,
            fingerprint=order.fingerprint,
            fresh=order.fresh,
            state=QUEUED,
            created_at=now,
            deadline_at=now + min(order.deadline_s or longest, longest),
            time_limit_s=brief.options.time_limit_s,
            attempts=0,
            cancel_requested=False,
            seq=0,
            layouts_found=0,
        )
        session.add(row)
        # The row first: texts and events refer to it.
        session.flush()
        session.add(self._documents(study_id, order))
        append_event(session, study_id, STATE, {"state": QUEUED, "attempt": 0}, now)
        return row

    def _documents(self, study_id: str, order: Order) -> DocumentRow:
        """The texts of a study."""
        warnings = [warned.model_dump(mode="json") for warned in order.taken.warnings]
        return DocumentRow(
            study_id=study_id,
            brief=order.taken.brief.model_dump_json(),
            warnings=json.dumps(warnings),
            patch=None if order.patch is None else json.dumps(order.patch),
            earlier=order.earlier,
            rescored=None if order.rescored is None else order.rescored.text(),
            stability=order.stability,
        )

    def _answer(self, session: Session, row: StudyRow, source: StudyRow, now: float) -> None:
        """End the study at once with an equal one's result."""
        finish(
            session,
            row.id,
            ending_like(session, source),
            token=None,
            now=now,
            retention_s=self._settings.retention_days * 86400,
            started_at=now,
            **figures_like(source),
        )
