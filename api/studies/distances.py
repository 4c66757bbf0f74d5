"""How far apart stored layouts are, for studies whose run did not come to say so."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import ValidationError

from api.http.wire import JsonObject
from optimizer.domain.brief import Brief
from optimizer.domain.layout import Layout
from optimizer.scoring.distance import differences, storage_walls


def differences_of(brief: JsonObject, layouts: Sequence[JsonObject]) -> list[list[float]]:
    """Matrix of the distances between layouts as they are stored, in their order.

    Empty for what another version of the program stored and this one cannot read.
    """
    if not layouts:
        return []
    try:
        read = Brief.model_validate(brief)
        found = [Layout.model_validate(layout, context=read.units) for layout in layouts]
        table = differences(found, read, storage_walls(read))
    # A study is still read then, without its table.
    except ValidationError:
        return []
    return [list(row) for row in table]
