"""The wall that hooks and mirrors take.

Everything here is common practice, and each size can be given in the brief instead: coats on
hooks stand out about 10 in and want a hook every 8 in, a row for grown-ups is hung 60 in up (lower
where a user does not reach that with ease), a mirror to see oneself in from head to toe starts
14 in above the floor. What hangs on a hook is taken to reach as far down as medium hang.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from optimizer.domain.brief import Brief
from optimizer.domain.need_ids import NeedId
from optimizer.domain.needs import Hooks, Mirror
from optimizer.reference.reach import reach_of
from optimizer.reference.stored import in_units

HOOK_SPACING_IN = 8.0
HOOK_HEIGHT_IN = 60.0
HOOK_DEPTH_IN = 10.0
MIRROR_BOTTOM_IN = 14.0
MIRROR_DEPTH_IN = 1.0
BOARD_HEIGHT_IN = 3.5
"""Height of the board that hooks are screwed to; its middle is at their height."""


@dataclass(frozen=True, slots=True)
class Mounted:
    """One row of hooks or one mirror as the brief asks for it [brief units].

    It takes `width` of a wall from `bottom` to `top`, out to `depth`. `count` hooks are `spacing`
    apart, `hook_height` above the floor; a mirror has none.
    """

    id: str
    kind: Literal["hooks", "mirror"]
    width: float
    bottom: float
    top: float
    depth: float
    count: int = 0
    spacing: float = 0.0
    hook_height: float | None = None

    @property
    def name(self) -> NeedId:
        """Name that its need goes by."""
        return NeedId.mounted(self.id)

    def hooks(self, start: float) -> tuple[float, ...]:
        """Positions of the hooks along a wall, half their spacing from either end."""
        return tuple(start + (number + 0.5) * self.spacing for number in range(self.count))


def mounted_of(brief: Brief) -> tuple[Mounted, ...]:
    """Everything that a brief wants on walls: its rows of hooks, then its mirrors."""
    rows = tuple(_hooks(line, brief) for line in brief.needs.hooks)
    return (*rows, *(_mirror(line, brief) for line in brief.needs.mirrors))


def _hooks(line: Hooks, brief: Brief) -> Mounted:
    """A row of hooks as it takes wall and floor."""
    units = brief.units

    def size(given: float | None, usual: float) -> float:
        """A size as given, or the usual one."""
        return in_units(usual, units) if given is None else given

    spacing = size(line.spacing, HOOK_SPACING_IN)
    easy = reach_of(brief.needs, brief.construction, units).easy_high
    height = min(in_units(HOOK_HEIGHT_IN, units), easy) if line.height is None else line.height
    return Mounted(
        id=line.id,
        kind="hooks",
        width=line.count * spacing,
        bottom=max(0.0, height - brief.needs.hang_drop.medium),
        top=height + in_units(BOARD_HEIGHT_IN, units) / 2.0,
        depth=size(line.depth, HOOK_DEPTH_IN),
        count=line.count,
        spacing=spacing,
        hook_height=height,
    )


def _mirror(line: Mirror, brief: Brief) -> Mounted:
    """A mirror as it takes wall and floor."""
    usual = in_units(MIRROR_BOTTOM_IN, brief.units)
    bottom = usual if line.bottom is None else line.bottom
    depth = in_units(MIRROR_DEPTH_IN, brief.units)
    return Mounted(line.id, "mirror", line.width, bottom, bottom + line.height, depth)
