"""Reading a brief: every fault at once, and the warnings of a brief without faults."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from optimizer.briefs.json_text import (
    MAX_BRIEF_BYTES,
    UnreadableError,
    faults_of_form,
    parse_json,
    read_bytes,
)
from optimizer.briefs.rules import faults_across, warnings_of
from optimizer.domain.brief import Brief
from optimizer.domain.study import Warned
from optimizer.domain.validation import faults_of, units_of_brief
from optimizer.errors import BriefError, Fault
from optimizer.units import Units

MAX_FAULTS = 100
"""Faults reported at most; a further line says how many more there are."""

_STAND_INS: dict[str, Any] = {
    "room": {"ceiling_height": '96"', "walls": [{"id": "stand-in", "length": '60"'}]},
    "needs": {"shelf_length": '12"'},
}
"""What stands in for a faulty part that cannot be left out, while the rest is examined."""


def read_brief(data: object) -> tuple[Brief, tuple[Warned, ...]]:
    """The brief that parsed JSON describes, and its warnings; BriefError with every fault."""
    if isinstance(data, Brief):
        # One built in Python has met no rule over several fields yet: it is read like any other.
        data = data.model_dump(mode="json")
    try:
        form = faults_of_form(data)
    except UnreadableError as error:
        raise BriefError([error.fault]) from None
    return _checked(data, form)


def read_brief_text(text: str | bytes) -> tuple[Brief, tuple[Warned, ...]]:
    """As `read_brief`, from JSON text of at most 1 MB in UTF-8."""
    try:
        data, form = parse_json(text, MAX_BRIEF_BYTES)
    except UnreadableError as error:
        raise BriefError([error.fault]) from None
    return _checked(data, form)


def read_brief_file(path: Path | str) -> tuple[Brief, tuple[Warned, ...]]:
    """As `read_brief_text`, from a file."""
    try:
        text = read_bytes(path, MAX_BRIEF_BYTES)
    except UnreadableError as error:
        raise BriefError([error.fault]) from None
    return read_brief_text(text)


def _checked(data: Any, form: list[Fault]) -> tuple[Brief, tuple[Warned, ...]]:
    """The brief and its warnings, unless its form, a field or a rule is at fault."""
    brief, faults = examine_brief(data)
    told = {fault.pointer for fault in form}
    faults = [*form, *(fault for fault in faults if fault.pointer not in told)]
    if brief is None or faults:
        raise BriefError(_in_order(faults, data))
    return brief, warnings_of(brief)


def examine_brief(data: Any) -> tuple[Brief | None, list[Fault]]:
    """The brief when each of its fields is sound, and every fault of fields and rules."""
    if not isinstance(data, Mapping):
        kind = "null" if data is None else type(data).__name__
        return None, [Fault("", f"a brief is a JSON object, not {kind}", "not_an_object")]
    try:
        brief = Brief.model_validate(data)
    except ValidationError as error:
        faults = [_with_hint(fault, data) for fault in faults_of(error, data)]
        return None, [*faults, *_faults_of_the_rest(data, error)]
    return brief, faults_across(brief)


def _with_hint(fault: Fault, data: Any) -> Fault:
    """A fault of an absurd length in inches with the question about the units."""
    if fault.code != "length_absurd" or units_of_brief(data) is not Units.INCH:
        return fault
    hint = f'{fault.detail}; did you mean millimetres? write "units": "mm"'
    return Fault(fault.pointer, hint, fault.code)


def _faults_of_the_rest(data: Any, error: ValidationError) -> list[Fault]:
    """Faults of rules that read only the sound parts of a brief with unsound fields."""
    unsound = set()
    # Keys are dropped from it below, and the data belong to the caller.
    rest = _copied(data)
    for entry in error.errors(include_url=False, include_input=False):
        if entry["type"] == "extra_forbidden":
            _drop_key(rest, entry["loc"])
        else:
            # Section and key: as finely as the rules tell what they read.
            unsound.add(entry["loc"][:2])
    # Without its units no length of a brief means anything.
    if not unsound.isdisjoint({(), ("units",)}):
        return []
    try:
        # Still refused where a stand-in does not do; its fields have told their faults in any case.
        brief = Brief.model_validate(_without_parts(rest, unsound))
    except ValidationError:
        return []
    return faults_across(brief, {".".join(map(str, steps)) for steps in unsound})


def _copied(data: Any) -> Any:
    """The data with containers of its own."""
    if isinstance(data, Mapping):
        return {key: _copied(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_copied(value) for value in data]
    return data


def _drop_key(data: Any, steps: Sequence[str | int]) -> None:
    """Drop the key that `steps` lead to; steps that are not in the data are passed over."""
    here = data
    for step in steps[:-1]:
        if isinstance(here, dict | list):
            with suppress(LookupError, TypeError):
                here = here[step]  # type: ignore[index]
    if isinstance(here, dict):
        here.pop(steps[-1], None)


def _without_parts(data: Mapping[Any, Any], unsound: Iterable[tuple[Any, ...]]) -> dict[Any, Any]:
    """The data without its unsound parts, stand-ins in place of those that are required."""
    rest = dict(data)
    # Whole sections before parts of them.
    for steps in sorted(unsound, key=len):
        section = steps[0]
        stand_in = _STAND_INS.get(section, {})
        inner = rest.pop(section, None)
        if len(steps) == 1 or not isinstance(inner, Mapping):
            if stand_in:
                rest[section] = stand_in
            continue
        rest[section] = {key: value for key, value in inner.items() if key != steps[1]}
        if section == "room" and steps[1] in stand_in:
            rest[section][steps[1]] = stand_in[steps[1]]
    return rest


def _in_order(faults: list[Fault], data: Any) -> list[Fault]:
    """Faults in the order of the document, each once, no more than a reader can use."""
    places = {key: i for i, key in enumerate(data)} if isinstance(data, Mapping) else {}

    def place(fault: Fault) -> tuple[int, str]:
        """Where in the document a fault belongs: sections in the order in which they were given."""
        section = fault.pointer.split("/")[1] if "/" in fault.pointer else ""
        return places.get(section, len(places)), section

    ordered = sorted(dict.fromkeys(faults), key=place)
    more = len(ordered) - MAX_FAULTS
    if more > 0:
        ordered[MAX_FAULTS:] = [Fault("", f"and {more} more faults", "more_faults")]
    return ordered
