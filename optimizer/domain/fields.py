"""Field types shared by the brief and the layout: lengths that people write.

Lengths may come as numbers or as text. What a text means, and how long is too long, depends on
the units of the brief around it, which a field cannot see. Pydantic's validation context carries
them down to it. A record that states its own units (`WithUnits`: a brief, a study, a price book)
passes them to its fields by itself. A record that does not, such as a layout, is given them by
whoever reads it from outside: `Layout.model_validate(data, context=brief.units)`. What the program
makes of its own numbers needs no units: a number is taken as it is, up to the longest length in
either unit, and a text without units is refused rather than guessed at.
"""

from __future__ import annotations

import math
import unicodedata
from abc import ABC, abstractmethod
from collections.abc import Mapping
from typing import Annotated, Any, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ModelWrapValidatorHandler,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import PydanticCustomError

from optimizer.lengths import parse_length
from optimizer.units import Units, plain_number

MAX_NAME = 40
"""Longest name of a wall or an item [characters]."""

MAX_LENGTH_IN = 1200.0
"""Longest length taken, 100 ft: a limit on input, not a fact of the trade."""


class Record(BaseModel):
    """Immutable data; unknown keys are refused."""

    # Python's json reads NaN and Infinity, though JSON knows neither.
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class WithUnits(Record, ABC):
    """A record whose data tell the units of its lengths, as a brief's and a study's do.

    Pydantic goes through a constructor like this one whichever way a record comes to be: called
    by name, read from JSON, or read as a part of another record. So the units are known before
    the first field is read, and none of these ways can leave them out.
    """

    def __init__(self, /, **data: Any) -> None:
        """Fields by name, read in the units that they tell themselves; ValidationError as of any
        record."""
        # What pydantic's own constructor does, but for the context: that one has no way to pass it.
        self.__pydantic_validator__.validate_python(
            data, self_instance=self, context=self.units_of(data)
        )

    @model_validator(mode="wrap")
    @classmethod
    def _names_are_text(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        """Refuse a key that is no text by name, like any unknown one: no constructor takes it."""
        if isinstance(data, Mapping):
            data = {str(name): value for name, value in data.items()}
        return handler(data)

    @classmethod
    @abstractmethod
    def units_of(cls, data: Mapping[str, Any]) -> Units:
        """The units of `data`, which have not been validated yet: whatever they hold, no error."""


def read_length(value: Any, info: ValidationInfo) -> float:
    """Length in the units of the brief from a number or a text; never NaN, never absurd.

    The units are the validation context. Without them the limit is that of millimetres, and a
    text is refused.
    """
    reading: Units | None = info.context
    if isinstance(value, str):
        if reading is None:
            raise PydanticCustomError(
                "length_units", "a length as text needs units: validate it with context=Units.INCH"
            )
        if len(value) > 40:
            raise PydanticCustomError("length_text", "a length is at most 40 characters long")
        try:
            value = parse_length(value, reading)
        except ValueError as error:
            # Half a character (a lone surrogate) cannot be put into a message.
            why = str(error).encode("utf-8", "replace").decode()
            raise PydanticCustomError("length_text", "{why}", {"why": why}) from None
    # True and false are whole numbers to Python, and would pass for 1 and 0.
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise PydanticCustomError("length_type", "a length is a number or a text such as 86 1/2")
    widest = reading or Units.MILLIMETRE
    limit = widest.from_inch(MAX_LENGTH_IN)
    # Checked before float(): an int of hundreds of digits has no float.
    if abs(value) > limit or not math.isfinite(value):
        raise PydanticCustomError(
            "length_absurd",
            "{value} is no sensible length; at most {limit} {units}",
            {"value": _digits(value), "limit": round(limit), "units": widest.value},
        )
    return float(value)


def _digits(value: float) -> str:
    """A number in plain digits, as far as a message has room for them."""
    digits = plain_number(value)
    return digits if len(digits) <= 40 else f"{digits[:40]}..."


def _refuse_negative(value: float) -> float:
    """The value, unless it is below 0."""
    if value < 0:
        raise PydanticCustomError(
            "length_negative",
            "{value} is negative; a length is 0 or more",
            {"value": _digits(value)},
        )
    return value


LEAST_SIZE = 0.001
"""Smallest size [units of the brief]: far below every tolerance, and safe to divide by."""


def _refuse_zero(value: float) -> float:
    """The value, unless it is 0 or as good as 0."""
    if value <= 0:
        raise PydanticCustomError(
            "length_not_positive", "{value} is not a positive length", {"value": _digits(value)}
        )
    if value < LEAST_SIZE:
        raise PydanticCustomError(
            "length_not_positive",
            "a size is at least {limit}; this is as good as 0",
            {"limit": str(LEAST_SIZE)},
        )
    return value


def read_size(value: Any, info: ValidationInfo) -> float:
    """As `read_length`, and above zero."""
    return _refuse_zero(read_length(value, info))


def read_distance(value: Any, info: ValidationInfo) -> float:
    """As `read_length`, and zero or more."""
    return _refuse_negative(read_length(value, info))


_SIZE_SCHEMA = {
    "anyOf": [{"type": "number", "exclusiveMinimum": 0}, {"type": "string", "maxLength": 40}],
    "description": "A positive length in the units of the brief, or text such as 7' 2-1/2\".",
    "examples": [72.25, "7' 2-1/2\""],
}
_DISTANCE_SCHEMA = {
    "anyOf": [{"type": "number", "minimum": 0}, {"type": "string", "maxLength": 40}],
    "description": "A length of 0 or more in the units of the brief, or text such as 86 1/2.",
    "examples": [30, "86 1/2"],
}

Size = Annotated[float, BeforeValidator(read_size), WithJsonSchema(_SIZE_SCHEMA, mode="validation")]
"""A length above zero, in the units of the brief."""

Distance = Annotated[
    float, BeforeValidator(read_distance), WithJsonSchema(_DISTANCE_SCHEMA, mode="validation")
]
"""A length of zero or more, in the units of the brief."""

Real = Annotated[float, Field(strict=True)]
"""A number; neither a text nor true or false passes for one."""

Whole = Annotated[int, Field(strict=True)]
"""A whole number; neither a text nor true or false passes for one."""

Flag = Annotated[bool, Field(strict=True)]
"""True or false and nothing that only resembles them."""

NAME_MARKS = " _.-'’ʼ&(),+"
"""Marks that a name may hold beside letters, digits and what belongs to them."""
_JOINERS = "\u200c\u200d"
"""Zero-width signs that some scripts need within a word."""


def read_name(value: str) -> str:
    """A name in Unicode's composed form; refused, in plain words, where it cannot be one."""
    # One letter may be written as one sign or as a letter and its accent: two names that look the
    # same would be two walls.
    name = unicodedata.normalize("NFC", value)
    if not name:
        raise PydanticCustomError("name_empty", "a name has at least one letter or digit")
    if len(name) > MAX_NAME:
        raise PydanticCustomError(
            "name_too_long", "a name is at most {most} characters long", {"most": MAX_NAME}
        )
    if unicodedata.category(name[0])[0] not in "LN":
        raise PydanticCustomError("name_start", "a name begins with a letter or a digit")
    # Letters with their marks and digits, of any script; joiners shape some scripts.
    for character in name:
        known = unicodedata.category(character)[0] in "LMN" or character in NAME_MARKS + _JOINERS
        if not known:
            raise PydanticCustomError(
                "name_mark",
                "a name holds letters and digits of any script, spaces and _ . - ' & ( ) , +; "
                "not {mark}",
                {"mark": unicodedata.name(character, "a control character").lower()},
            )
    return name


Identifier = Annotated[
    str,
    AfterValidator(read_name),
    WithJsonSchema(
        {
            "type": "string",
            "minLength": 1,
            "maxLength": MAX_NAME,
            "description": "Letters and digits of any script, spaces and _ . - ' & ( ) , +; "
            "begins with a letter or a digit.",
        }
    ),
]
"""A short name of the caller's own for a wall or an item."""
