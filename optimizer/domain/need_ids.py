"""Ids of needs: what one need is called in scores, in unmet needs, in bounds and in repairs.

```
long_hang, medium_hang, short_hang    rod length of a class, of the brief's amounts and garments
shelf_length                          shelf length
item:ID                               pieces of a bulky item
stored:KIND                           things of a kind that are stored by count
mounted:ID                            a row of hooks, or a mirror
```
"""

from __future__ import annotations

from typing import Any, Final

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from optimizer.domain.needs import Hang

_HANG = "_hang"
_ITEM, _STORED, _MOUNTED = "item:", "stored:", "mounted:"


class NeedId(str):
    """The id of one need. In JSON it is a plain string."""

    __slots__ = ()

    @classmethod
    def hang(cls, hang: Hang) -> NeedId:
        """Rod length of one class of hanging."""
        return cls(f"{hang.value}{_HANG}")

    @classmethod
    def item(cls, item: str) -> NeedId:
        """Pieces of the bulky item with this id."""
        return cls(f"{_ITEM}{item}")

    @classmethod
    def stored(cls, kind: str) -> NeedId:
        """Things of this kind that are stored by count."""
        return cls(f"{_STORED}{kind}")

    @classmethod
    def mounted(cls, mount: str) -> NeedId:
        """The hooks or the mirror with this id."""
        return cls(f"{_MOUNTED}{mount}")

    @property
    def is_item(self) -> bool:
        """Whether it is a number of pieces of a bulky item."""
        return self.startswith(_ITEM)

    @property
    def is_stored(self) -> bool:
        """Whether it is a number of things stored by count."""
        return self.startswith(_STORED)

    @property
    def is_mounted(self) -> bool:
        """Whether it is a row of hooks or a mirror, which hangs or does not."""
        return self.startswith(_MOUNTED)

    @property
    def is_counted(self) -> bool:
        """Whether it is a number of things rather than a length."""
        return self.is_item or self.is_stored or self.is_mounted

    @property
    def hang_class(self) -> Hang | None:
        """The class of hanging that it asks rod length for; None for any other need."""
        return next((hang for hang in Hang if self == NeedId.hang(hang)), None)

    @property
    def thing(self) -> str:
        """Id or kind of what is counted; the whole id where the need is a length."""
        return self.partition(":")[2] if self.is_counted else str(self)

    @property
    def words(self) -> str:
        """The need in plain words: `long hang`, `hamper`, `shoes`."""
        return self.thing if self.is_counted else self.replace("_", " ")

    @classmethod
    def __get_pydantic_core_schema__(
        cls, _source: Any, _handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        """How pydantic reads one: as a string, made into a `NeedId` afterwards, so that its JSON
        schema is that of any string."""
        return core_schema.no_info_after_validator_function(cls, core_schema.str_schema())


SHELF_LENGTH: Final = NeedId("shelf_length")
"""Length of shelves that are as far apart as wished."""
