"""Paper sizes and drawing scales."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.units import MM_PER_INCH, Units


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper lying on its long side [mm]."""

    name: str
    width: float
    height: float


LETTER = Paper("Letter", 279.4, 215.9)
A4 = Paper("A4", 297.0, 210.0)

PAPERS = {
    Units.INCH: (
        LETTER,
        Paper("Tabloid", 431.8, 279.4),
        Paper("ANSI C", 558.8, 431.8),
        Paper("ANSI D", 863.6, 558.8),
        Paper("ANSI E", 1117.6, 863.6),
    ),
    Units.MILLIMETRE: (
        A4,
        Paper("A3", 420.0, 297.0),
        Paper("A2", 594.0, 420.0),
        Paper("A1", 841.0, 594.0),
        Paper("A0", 1189.0, 841.0),
    ),
}
"""Sizes from the smallest: ANSI/ASME Y14.1 and ISO 216 (in a restatement)."""


@dataclass(frozen=True, slots=True)
class Scale:
    """So many units of the thing to one unit on paper, and how a title block says it."""

    ratio: float
    text: str

    def unit_per_mm(self, units: Units) -> float:
        """Drawing units that 1 mm of paper stands for."""
        return self.ratio / MM_PER_INCH if units is Units.INCH else self.ratio


_FOOT = 12.0
SCALES = {
    Units.INCH: tuple(
        Scale(_FOOT / inches, f'{text}" = 1\'-0"')
        for inches, text in (
            (3.0, "3"),
            (1.5, "1-1/2"),
            (1.0, "1"),
            (0.75, "3/4"),
            (0.5, "1/2"),
            (0.375, "3/8"),
            (0.25, "1/4"),
            (0.1875, "3/16"),
            (0.125, "1/8"),
            (0.09375, "3/32"),
            (0.0625, "1/16"),
            (0.03125, "1/32"),
        )
    ),
    Units.MILLIMETRE: tuple(
        Scale(float(ratio), f"1:{ratio}") for ratio in (5, 10, 15, 20, 25, 50, 75, 100, 200, 500)
    ),
}
"""Scales from the largest: those of an architect's rule; in mm those of ISO 5455 (from
memory) and 1:15, 1:25 and 1:75, which metric rules carry as well (common practice)."""
