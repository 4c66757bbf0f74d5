"""Where a study comes from and what was made of it."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy.orm import Session

from api.http.clients import Client
from api.http.wire import moment
from api.store.tables import StudyRow
from api.studies import repository
from api.studies.reading import require

MOST = 500
"""Studies of one descent that are shown at most."""


def lineage(session: Session, client: Client, study_id: str) -> dict[str, Any]:
    """The study's ancestors and all of its descent."""
    row = require(session, client, study_id)
    family = repository.family(session, client.owner, row.root_id, MOST)
    patches = repository.patches(session, [member.id for member in family])
    return lineage_view(row, family, patches)


def lineage_view(
    row: StudyRow, family: Sequence[StudyRow], patches: Mapping[str, str | None]
) -> dict[str, Any]:
    """A study among its family; patches by study id."""
    return {
        "study": row.id,
        "ancestors": _ancestors(row, {member.id: member for member in family}),
        "family": [_relative(member, patches.get(member.id)) for member in family],
    }


def _ancestors(row: StudyRow, by_id: dict[str, StudyRow]) -> list[str]:
    found: list[str] = []
    parent = row.parent_id
    while parent is not None and parent in by_id and parent not in found:
        found.append(parent)
        parent = by_id[parent].parent_id
    return found


def _relative(row: StudyRow, patch: str | None) -> dict[str, Any]:
    return {
        "id": row.id,
        "parent": row.parent_id,
        "name": row.name,
        "state": row.state,
        "status": row.status,
        "score": row.score,
        "created_at": moment(row.created_at),
        "patch": json.loads(patch) if patch else None,
    }
