"""Examples of answers about studies: what the program itself makes of a small closet."""

from __future__ import annotations

import json
from typing import Any

from api.http.wire import JsonObject, moment
from api.layouts.appraisals import Beside, layout_check
from api.layouts.check_schemas import Validation
from api.layouts.comparison import compare
from api.layouts.drawings import drawings_of
from api.layouts.endpoints import linked
from api.packs.pack_archive import packed
from api.packs.schemas import PackPlace
from api.packs.service import pack_view
from api.store.tables import DONE, DocumentRow, StudyRow
from api.studies.event_schemas import StreamAddress
from api.studies.lookup import Chosen
from api.studies.rerun_orders import rescored_of
from api.studies.schemas import Lineage, StudyHead, StudyPage
from api.studies.views import ended_view
from optimizer.briefs.reader import read_brief
from optimizer.domain.brief import Brief
from optimizer.domain.study import Study
from optimizer.explaining.preference import preference
from optimizer.explaining.repairs import patched
from optimizer.explaining.sensitivity import sensitivity
from optimizer.proposing import propose, rerun, rescore

BRIEF: JsonObject = {
    "name": "Linen closet",
    "room": {
        "ceiling_height": 96,
        "walls": [{"id": "A", "length": 20}, {"id": "B", "length": 36}, {"id": "C", "length": 20}],
    },
    "needs": {"shelf_length": 150, "shelf_depth": 16},
    "options": {"alternatives": 2, "time_limit_s": 10},
}
_PATCH = {"priorities": {"shelving": 1, "low_cost": 5}}
_IDS = ("06d3v8q2k5y7n9b1c4f6g8h0jm", "06d3v94ak5y7n9b1c4f6g8h0jm")
_MADE_AT = 1_769_860_800.0
_PRICING = "5b1e0c7d2f9a4386b0d17c3e8f62a945"


def study_examples() -> JsonObject:
    """Answers about studies by operation id; takes a few seconds of solving and packing."""
    brief, _ = read_brief(BRIEF)
    first = propose(brief)
    changed = patched(brief, _PATCH)
    rows = _rows(brief, changed, first, rerun(first, changed))
    answers: JsonObject = _timed(_answers(brief, first, rows))
    return answers


def _timed(value: Any) -> Any:
    """The value with times that are the same on every machine."""
    if isinstance(value, list | tuple):
        return [_timed(entry) for entry in value]
    if not isinstance(value, dict):
        return value
    return {
        name: 0.4 if name == "seconds" and entry is not None else _timed(entry)
        for name, entry in value.items()
    }


def _rows(
    brief: Brief, changed: Brief, first: Study, again: Study
) -> list[tuple[StudyRow, DocumentRow]]:
    """The study and its rerun, as they are stored."""
    made = _stored(0, brief, first)
    later, texts = _stored(1, changed, again)
    ranked = rescore(first, changed).model_dump(mode="json")["layouts"]
    later.parent_id, later.root_id, later.kind = _IDS[0], _IDS[0], "rerun"
    texts.patch = json.dumps(_PATCH)
    texts.rescored = rescored_of(ranked).text()
    return [made, (later, texts)]


def _answers(brief: Brief, study: Study, rows: list[tuple[StudyRow, DocumentRow]]) -> JsonObject:
    """Answers about a study and a rerun of it, by operation id.

    `rows` are the two as they would be stored.
    """
    made, again = (ended_view(*entry) for entry in rows)
    result = study.model_dump(mode="json")
    layout = result["layouts"][0]
    both = Chosen(_IDS[0], result["brief"], result, tuple(result["layouts"]))
    one = Chosen(_IDS[0], result["brief"], result, (layout,))
    pack = pack_view(packed(brief, study.layouts[0]), PackPlace(_IDS[0], 1))
    heads = tuple(StudyHead.from_row(row) for row, _ in reversed(rows))
    family = [row for row, _ in rows]
    patches = {row.id: texts.patch for row, texts in rows}
    return {
        **dict.fromkeys(("create_study", "get_study", "cancel_study"), made),
        "create_rerun": again,
        "list_studies": StudyPage(items=heads, next="/v1/studies?limit=2&cursor=WzE3").members(),
        "create_stream_address": StreamAddress.of(
            _IDS[0], ("IjA2ZDN2OHEyazV5N245YjFjNGY2ZzhoMGptIg.aX4", moment(_MADE_AT + 60))
        ).members(),
        "list_layouts": {"study": _IDS[0], "state": DONE, "layouts": [linked(_IDS[0], layout)]},
        "get_layout": linked(_IDS[0], layout),
        "compare_layouts": compare(both).members(),
        "get_sensitivity": {
            "study": _IDS[0],
            "ranges": [entry.model_dump(mode="json") for entry in sensitivity(study)],
        },
        "get_preference": {"study": _IDS[0], **preference(study, 2).model_dump(mode="json")},
        "get_lineage": Lineage.from_rows(family[1], family, patches).members(),
        "list_drawings": drawings_of(one, 1).members(),
        "get_build_pack": pack,
        "create_build_pack": {**pack, "pricing": _PRICING},
        "validate_brief": Validation(valid=True, brief=brief, warnings=()).members(),
        "check_layout": layout_check(
            brief, study.layouts[0], Beside(_IDS[0], study, 1), ()
        ).members(),
    }


def _stored(number: int, brief: Brief, study: Study) -> tuple[StudyRow, DocumentRow]:
    """An ended study as it is stored."""
    began = _MADE_AT + 60 * number
    best = study.layouts[0]
    row = StudyRow(
        id=_IDS[number],
        name=brief.name,
        kind="propose",
        root_id=_IDS[number],
        state=DONE,
        status=study.status.value,
        created_at=began,
        started_at=began + 0.1,
        finished_at=began + 0.9,
        deadline_at=began + 3600,
        expires_at=began + 30 * 86400,
        attempts=1,
        stage="done",
        score=best.score,
        bound=best.bound,
        seconds=study.seconds,
        layouts_found=len(study.layouts),
    )
    texts = DocumentRow(
        study_id=row.id,
        brief=brief.model_dump_json(),
        warnings="[]",
        result=study.model_dump_json(),
    )
    return row, texts
