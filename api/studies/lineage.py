"""Where a study comes from and what was made of it."""

from __future__ import annotations

from sqlalchemy.orm import Session

from api.http.clients import Client
from api.studies import repository
from api.studies.lookup import require
from api.studies.schemas import Lineage

MOST = 500
"""Studies of one descent that are shown at most."""


def lineage(session: Session, client: Client, study_id: str) -> Lineage:
    """The study's ancestors and all of its descent."""
    row = require(session, client, study_id)
    family = repository.family(session, client.owner, row.root_id, MOST)
    # One query for all: patches are in another table, so that lists of studies stay quick.
    patches = repository.patches(session, [member.id for member in family])
    return Lineage.from_rows(row, family, patches)
