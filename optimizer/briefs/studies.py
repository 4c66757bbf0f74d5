"""Reading a study: its brief by the rules of briefs, its layouts against its brief."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from optimizer.briefs.json_text import (
    MAX_STUDY_BYTES,
    UnreadableError,
    parse_json,
    read_bytes,
)
from optimizer.briefs.reader import examine_brief
from optimizer.domain.layout import Bay
from optimizer.domain.study import Study
from optimizer.domain.validation import faults_of
from optimizer.errors import Fault, LayoutError


def read_study_text(text: str | bytes) -> Study:
    """The study of a JSON text of at most 20 MB in UTF-8; LayoutError with every fault."""
    try:
        data, form = parse_json(text, MAX_STUDY_BYTES)
    except UnreadableError as error:
        raise LayoutError([error.fault]) from None
    return _checked(data, form)


def read_study_file(path: Path | str) -> Study:
    """As `read_study_text`, from a file."""
    try:
        text = read_bytes(path, MAX_STUDY_BYTES)
    except UnreadableError as error:
        raise LayoutError([error.fault]) from None
    return read_study_text(text)


def _checked(data: Any, form: list[Fault]) -> Study:
    """The study, unless its form, a field or a rule is at fault."""
    study, faults = _examined(data)
    told = {fault.pointer for fault in form}
    faults = [*form, *(fault for fault in faults if fault.pointer not in told)]
    if study is None or faults:
        raise LayoutError(faults)
    return study


def _examined(data: Any) -> tuple[Study | None, list[Fault]]:
    """The study when each of its fields is sound, and every fault found."""
    if not isinstance(data, Mapping):
        kind = "null" if data is None else type(data).__name__
        return None, [Fault("", f"a study is a JSON object, not {kind}", "not_an_object")]
    # `Study` reads the fields of its brief but knows no rule over several of them.
    _, of_brief = examine_brief(data.get("brief"))
    faults = [Fault(f"/brief{fault.pointer}", fault.detail, fault.code) for fault in of_brief]
    try:
        study = Study.model_validate(data)
    except ValidationError as error:
        # The brief's reader has told its faults, in better words.
        told = {fault.pointer for fault in faults}
        found = faults_of(error, data)
        return None, [*faults, *(fault for fault in found if fault.pointer not in told)]
    return study, [*faults, *_layout_faults(study)]


def _layout_faults(study: Study) -> Iterator[Fault]:
    """Faults of bays that do not belong to the brief, or stand on their heads."""
    walls = {wall.id for wall in study.brief.room.walls}
    items = {item.id for item in study.brief.needs.items}
    for i, layout in enumerate(study.layouts):
        for j, bay in enumerate(layout.bays):
            yield from _bay_faults(bay, f"/layouts/{i}/bays/{j}", walls, items)


def _bay_faults(bay: Bay, pointer: str, walls: set[str], items: set[str]) -> Iterator[Fault]:
    """Faults of one bay."""
    if bay.wall not in walls:
        yield Fault(f"{pointer}/wall", f"there is no wall {bay.wall!r}", "unknown_wall")
    for k, zone in enumerate(bay.zones):
        if zone.top < zone.bottom:
            yield Fault(
                f"{pointer}/zones/{k}/top",
                f"top {zone.top:g} is below bottom {zone.bottom:g}",
                "zone_upside_down",
            )
        for m, name in enumerate(zone.items):
            if name not in items:
                yield Fault(
                    f"{pointer}/zones/{k}/items/{m}", f"there is no item {name!r}", "unknown_item"
                )
