"""How much shelf the things take that people count: pairs, stacks, jars.

Of each kind: the width along the shelf of one row or stack, the depth, how far apart the shelves
for it are (top to top, ordinary cleats reckoned in), and how many share that width, one on the
other or one behind the other. Pitch and depth of folded clothes and of linen are from planning
handbooks (folded clothes 8-12 in apart and 12-16 in deep, linen 16 in deep); everything else is
common practice, shoes 6 to 8 in apart and 12 to 14 in deep among it. Sizes are of what is a
little larger than most of its kind, and every one of them can be given in the brief instead.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from optimizer.domain.need_ids import NeedId
from optimizer.domain.needs import Needs, Stored
from optimizer.reference.garments import HANDBOOKS, PRACTICE
from optimizer.units import Units

MM_IN_TRADE = 25.0
"""Millimetres to an inch where round sizes are meant: 300 mm for a foot (common practice)."""


@dataclass(frozen=True, slots=True)
class StoredAllowance:
    """One kind of thing: width, depth and pitch [in], how many share the width, what one is."""

    kind: str
    width: float
    depth: float
    pitch: float
    together: int = 1
    unit: str = "piece"
    source: str = PRACTICE


STORED: tuple[StoredAllowance, ...] = (
    StoredAllowance("shoes", 9.0, 12.0, 7.0, unit="pair"),
    StoredAllowance("men's shoes", 9.0, 12.0, 7.0, unit="pair"),
    StoredAllowance("women's shoes", 7.5, 12.0, 7.0, unit="pair"),
    StoredAllowance("child's shoes", 6.0, 9.0, 6.0, unit="pair"),
    StoredAllowance("ankle boots", 9.0, 12.0, 10.0, unit="pair"),
    StoredAllowance("boots", 10.0, 12.0, 18.0, unit="pair"),
    StoredAllowance("folded", 12.0, 12.0, 10.0, 4, source=HANDBOOKS),
    StoredAllowance("sweaters", 12.0, 12.0, 12.0, 4, source=HANDBOOKS),
    StoredAllowance("jeans", 10.0, 12.0, 10.0, 5),
    StoredAllowance("bags", 12.0, 12.0, 14.0),
    StoredAllowance("hats", 12.0, 12.0, 8.0),
    StoredAllowance("towels", 12.0, 12.0, 12.0, 5),
    StoredAllowance("sheets", 12.0, 12.0, 10.0, 4, unit="set"),
    StoredAllowance("bedding", 20.0, 16.0, 14.0, 2, source=HANDBOOKS),
    StoredAllowance("pillows", 20.0, 16.0, 14.0, 2),
    StoredAllowance("jars", 4.0, 12.0, 9.0, 3),
    StoredAllowance("cans", 3.25, 10.0, 10.0, 6),
    StoredAllowance("bottles", 4.0, 12.0, 14.0, 3),
    StoredAllowance("books", 1.25, 9.0, 12.0),
    StoredAllowance("binders", 3.0, 12.0, 14.0),
)

_SYNONYMS = {
    "folded clothes": "folded",
    "handbags": "bags",
    "linen": "sheets",
    "blankets": "bedding",
    "tins": "cans",
    "children's shoes": "child's shoes",
    "tall boots": "boots",
}
_PLURALS = {"shoe": "shoes", "boot": "boots", "ankle boot": "ankle boots"}


def _key(kind: str) -> str:
    """`kind` freed of case, apostrophes, ways of joining words and a plural ending."""
    words = re.sub(r"[\s_\-]+", " ", re.sub(r"['’`]", "", kind.casefold())).strip()
    return words[:-1] if words.endswith("s") and not words.endswith("ss") else words


_BY_KIND = {allowance.kind: allowance for allowance in STORED}
_INDEX = {_key(kind): allowance for kind, allowance in _BY_KIND.items()} | {
    _key(name): _BY_KIND[kind] for name, kind in (_SYNONYMS | _PLURALS).items()
}


def stored_allowance(kind: str) -> StoredAllowance | None:
    """Allowance of a kind of thing, whatever its case or number; None when unknown."""
    return _INDEX.get(_key(kind))


def stored_kinds() -> tuple[str, ...]:
    """Names of the kinds in the table; synonyms are taken too but not listed."""
    return tuple(_BY_KIND)


@dataclass(frozen=True, slots=True)
class Thing:
    """What a brief wants stored of one kind [brief units], as the model and the checker take it.

    `width` and `depth` are those of one row, which holds `together` of them; `clear` is the clear
    height over a shelf that it asks for, at least.
    """

    kind: str
    count: int
    width: float
    depth: float
    pitch: float
    clear: float
    together: int
    unit: str

    @property
    def name(self) -> NeedId:
        """Name that its need goes by."""
        return NeedId.stored(self.kind)

    @property
    def rows(self) -> int:
        """Rows that all of them take."""
        return math.ceil(self.count / self.together)

    @property
    def length(self) -> float:
        """Shelf that all of them take."""
        return self.rows * self.width

    def held(self, rows: int) -> int:
        """How many go into so many rows."""
        return min(self.count, rows * self.together)


def in_units(inches: float, units: Units) -> float:
    """A size of the table in the units of a brief, round in either."""
    return inches if units is Units.INCH else inches * MM_IN_TRADE


def thing_of(line: Stored, panel: float, units: Units) -> Thing:
    """One line of a brief with its sizes; `panel` is how thick a board is [brief units].

    Raises KeyError for a kind that is not in the table and does not bring its own sizes.
    """
    known = stored_allowance(line.kind)
    if known is None and not line.sized:
        raise KeyError(line.kind)
    table = known or StoredAllowance(line.kind, 0.0, 0.0, 0.0)

    def size(given: float | None, usual: float) -> float:
        """A size as given, or the usual one."""
        return in_units(usual, units) if given is None else given

    pitch = size(line.pitch, table.pitch)
    return Thing(
        kind=line.kind,
        count=line.count,
        width=size(line.width, table.width),
        depth=size(line.depth, table.depth),
        pitch=pitch,
        # A pitch runs from top to top, so one board lies in it.
        clear=pitch - panel,
        together=line.together or table.together,
        unit=table.unit,
    )


def things_of(needs: Needs, panel: float, units: Units) -> tuple[Thing, ...]:
    """Everything that a brief wants stored by count, in its order; KeyError as `thing_of`."""
    return tuple(thing_of(line, panel, units) for line in needs.stored)


def counted(unit: str, count: float) -> str:
    """A count in people's units: `4 pairs`, `1 pair`, `9` of what has no unit of its own."""
    if unit == "piece":
        return f"{count:g}"
    return f"{count:g} {unit}" + ("" if count == 1 else "s")


def stored_text(kind: str, count: int) -> str:
    """So many of a kind in words: `shoes, 4 pairs`."""
    known = stored_allowance(kind)
    return f"{kind}, {counted(known.unit if known else 'piece', count)}"
