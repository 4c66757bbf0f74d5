"""How much rod a garment takes and which hang class it needs.

Rod length each, from planning handbooks (Time-Saver Standards for Building Types and
residential planning texts): women's clothes 2 in, men's 2.5 to 3 in, coats and gowns 4 to
5 in. Hang class, from the rod heights in the same handbooks: long is 63-68 in for dresses and
coats and 72 in for what reaches the floor, medium 54-63 in, short 42-48 in. Which kind falls
where inside a range is common practice.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from optimizer.domain.needs import Hang, Needs
from optimizer.units import Units

HANDBOOKS = "planning handbooks (Time-Saver Standards; residential planning text)"
PRACTICE = "common practice"

CHILD_LONGEST_IN = 36.0
"""How far the longest clothes of a child reach below the rod: common practice."""


@dataclass(frozen=True, slots=True)
class GarmentAllowance:
    """One kind of garment: hang class, rod length each [in] and the source of the length.

    The class of a child's garment is the one among children's hang drops.
    """

    kind: str
    hang: Hang
    rod_each: float
    source: str = HANDBOOKS
    child: bool = False


def _child(kind: str, hang: Hang, rod_each: float) -> GarmentAllowance:
    """The allowance for a kind of children's clothes."""
    return GarmentAllowance(kind, hang, rod_each, PRACTICE, child=True)


GARMENTS: tuple[GarmentAllowance, ...] = (
    GarmentAllowance("shirt", Hang.SHORT, 2.5),
    GarmentAllowance("men's shirt", Hang.SHORT, 2.5),
    GarmentAllowance("women's shirt", Hang.SHORT, 2.0),
    GarmentAllowance("blouse", Hang.SHORT, 2.0),
    GarmentAllowance("sweater", Hang.SHORT, 2.5, PRACTICE),
    GarmentAllowance("waistcoat", Hang.SHORT, 2.0, PRACTICE),
    GarmentAllowance("skirt", Hang.SHORT, 2.0),
    GarmentAllowance("trousers", Hang.SHORT, 2.5),
    GarmentAllowance("men's trousers", Hang.SHORT, 2.5),
    GarmentAllowance("women's trousers", Hang.SHORT, 2.0),
    GarmentAllowance("jacket", Hang.SHORT, 3.0),
    GarmentAllowance("women's jacket", Hang.SHORT, 2.0),
    GarmentAllowance("suit", Hang.SHORT, 3.0),
    GarmentAllowance("women's suit", Hang.SHORT, 2.0),
    GarmentAllowance("full-length trousers", Hang.MEDIUM, 2.5),
    GarmentAllowance("short dress", Hang.MEDIUM, 2.0),
    GarmentAllowance("long skirt", Hang.MEDIUM, 2.0),
    GarmentAllowance("short coat", Hang.MEDIUM, 4.0),
    GarmentAllowance("dress", Hang.LONG, 2.0),
    GarmentAllowance("coat", Hang.LONG, 4.0),
    GarmentAllowance("raincoat", Hang.LONG, 4.0),
    GarmentAllowance("long coat", Hang.LONG, 5.0),
    GarmentAllowance("gown", Hang.LONG, 5.0),
    GarmentAllowance("robe", Hang.LONG, 4.0),
    _child("child's shirt", Hang.SHORT, 2.0),
    _child("child's trousers", Hang.SHORT, 2.0),
    _child("child's jacket", Hang.SHORT, 2.5),
    _child("child's dress", Hang.LONG, 2.0),
    _child("child's coat", Hang.LONG, 3.0),
)

_SYNONYMS: dict[str, str] = {
    "pants": "trousers",
    "trouser": "trousers",
    "jeans": "trousers",
    "slacks": "trousers",
    "blazer": "jacket",
    "sport coat": "jacket",
    "vest": "waistcoat",
    "jumper": "sweater",
    "cardigan": "sweater",
    "overcoat": "long coat",
    "winter coat": "long coat",
    "evening gown": "gown",
    "long dress": "gown",
    "long gown": "gown",
    "dressing gown": "robe",
    "bathrobe": "robe",
    "long trousers": "full-length trousers",
    "women's blouse": "blouse",
    "women's skirt": "skirt",
    "women's dress": "dress",
    "men's suit": "suit",
    "men's jacket": "jacket",
}

# Apostrophes are gone before these are looked up: "men's" and "mens" are one word by then.
_POSSESSORS = {
    "man": "mens",
    "men": "mens",
    "mans": "mens",
    "woman": "womens",
    "women": "womens",
    "womans": "womens",
    "child": "childs",
    "children": "childs",
    "childrens": "childs",
    "kid": "childs",
    "kids": "childs",
}


def _singular(word: str) -> str:
    """Last word of a kind without its plural ending; words in -ss keep theirs."""
    if word.endswith("sses"):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word


def _key(kind: str) -> str:
    """`kind` freed of case, plural, apostrophes and ways of joining words."""
    words = re.sub(r"[\s_\-]+", " ", re.sub(r"['’`]", "", kind.casefold())).split()
    if not words:
        return ""
    head = [_POSSESSORS.get(word, word) for word in words[:-1]]
    # "trousers" and "blouses" lose an s here, in the table and in what is asked alike.
    return " ".join([*head, _singular(words[-1])])


_BY_KIND = {allowance.kind: allowance for allowance in GARMENTS}
_INDEX = {_key(kind): allowance for kind, allowance in _BY_KIND.items()} | {
    _key(name): _BY_KIND[kind] for name, kind in _SYNONYMS.items()
}


def garment(kind: str) -> GarmentAllowance | None:
    """Allowance of a kind of garment, whatever its case or number; None when unknown."""
    return _INDEX.get(_key(kind))


def garment_kinds() -> tuple[str, ...]:
    """Names of the kinds in the table; synonyms are taken too but not listed."""
    return tuple(_BY_KIND)


def hang_class(allowance: GarmentAllowance, needs: Needs, units: Units) -> Hang:
    """Class a garment goes to: a child's goes short where grown-ups' short hang holds it."""
    drop_short = units.to_inch(needs.hang_drop.short)
    if allowance.child and drop_short >= CHILD_LONGEST_IN - 1e-6:
        return Hang.SHORT
    return allowance.hang


def required_hang(needs: Needs, units: Units) -> dict[Hang, float]:
    """Rod length wanted by class [brief units]: what is asked outright plus the garments.

    Raises KeyError for a kind of garment that is not in the table.
    """
    required = {hang: needs.explicit_hang(hang) for hang in Hang}
    for line in needs.garments:
        allowance = garment(line.kind)
        if allowance is None:
            raise KeyError(line.kind)
        hang = hang_class(allowance, needs, units)
        required[hang] += units.from_inch(allowance.rod_each * line.count)
    return required
