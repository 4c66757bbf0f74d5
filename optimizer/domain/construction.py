"""Named rules of construction: stock, clearances and limits, each of them editable.

Every length is in the units of the brief. Inch defaults stand on the fields; the
metric ones, which are the trade's round metric sizes and not conversions, in
`METRIC_DEFAULTS`.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import Field

from optimizer.domain.fields import Distance, Flag, Record, Size


class Material(StrEnum):
    """Stock for uprights and shelves."""

    MDF = "mdf"
    PARTICLEBOARD = "particleboard"
    PLYWOOD = "plywood"
    WHITE_PINE = "white_pine"
    PONDEROSA_PINE = "ponderosa_pine"


class RodStock(StrEnum):
    """Closet rods in stock."""

    STEEL_TUBE = "steel_tube"
    WOOD_DOWEL = "wood_dowel"


class Fastener(StrEnum):
    """How cleats are fastened to studs."""

    SCREWS = "screws"
    BRADS = "brads"


class Construction(Record):
    """Rules that every layout and every part obeys. Common practice unless a source is named."""

    material: Material = Material.MDF
    panel_thickness: Size = 0.75
    sheet: tuple[Size, Size] = (96.0, 48.0)
    kerf: Distance = 0.125
    edge_trim: Distance = 0.0
    rod_stock: RodStock = RodStock.STEEL_TUBE

    hang_depth: Size = 24.0
    rod_setback: Size = Field(default=12.0, description="Rod centre to the wall behind.")
    rod_clearance: Size = Field(default=3.0, description="Rod centre to whatever is above it.")
    floor_clearance: Distance = Field(default=3.0, description="Air under hung clothes.")
    max_rod_height: Size = 84.0
    max_shelf_height: Size = Field(default=84.0, description="Highest shelf top.")
    min_shelf_clear: Size = Field(default=8.0, description="Least clear height over a shelf.")
    base_height: Distance = Field(
        default=3.5, description="Top of the lowest shelf of a stack above the floor."
    )
    item_clearance: Distance = Field(
        default=0.5, description="Air on each side of an item and above it."
    )

    top_line: Literal["level", "free"] = Field(
        default="level",
        description="level: one height of the top board for the room, shelves counted down from "
        "it; lower, by whole spacings, only where a window or a slope asks for it.",
    )
    wall_ends: Literal["cleats", "uprights"] = Field(
        default="cleats",
        description="cleats: a sound side wall carries a bay's end, and shelves run through "
        "inside corners; uprights: every bay stands between two uprights.",
    )
    min_bay_width: Size = Field(default=12.0, description="Least width of a bay of shelves.")
    min_hang_width: Size = Field(
        default=18.0, description="Least width of a bay with a rod, or `min_bay_width` if more."
    )
    max_bay_width: Size = Field(
        default=96.0, description="Widest bay, mid supports and all: a board out of one sheet."
    )
    max_plain_span: Size = Field(
        default=36.0,
        description="Longest piece of a board without stiffener between supports, strength "
        "apart: common practice.",
    )
    unbacked_span: Distance = Field(
        default=30.0,
        description="Boards below the top one whose pieces between ends and mid supports are no "
        "longer lie on these alone, where that holds them: common practice. 0: a back cleat under "
        "every board.",
    )
    rod_support_spacing: Size = Field(
        default=48.0,
        description="Rod supports at most 48 in apart: Architectural Woodwork Standards, "
        "1st ed. 2009, 4.4.16.",
    )
    mid_support: Literal["triangle", "bracket", "none"] = Field(
        default="triangle",
        description="What carries a board between its ends, on a stud: a triangle of sheet "
        "stock, or a bought bracket; none: no mid supports.",
    )
    corner_clearance: Distance = Field(
        default=6.0, description="Access left beside a bay that runs into an inside corner."
    )
    corner_opening: Distance = Field(
        default=12.0, description="Open front kept on a bay that runs into an inside corner."
    )

    shelf_load: Annotated[float, Field(gt=0, le=2000, strict=True)] = Field(
        default=15.0,
        description="Lasting load on a shelf: lb/sq ft in inch briefs, kg/m2 in millimetre "
        "briefs. Default: the 15 lb/sq ft of the ANSI/KCMA A161.1 shelf test.",
    )
    rod_load: Annotated[float, Field(gt=0, le=500, strict=True)] = Field(
        default=20.0,
        description="Clothes on a rod: lb/ft in inch briefs, kg/m in millimetre briefs.",
    )
    deflection_ratio: Annotated[float, Field(ge=60, le=1000, strict=True)] = Field(
        default=144.0,
        description="Largest sag as a part of the span: L/144 is the limit of the "
        "Architectural Woodwork Standards, 1st ed. 2009, 4.4.14.10.",
    )
    creep_factor: Annotated[float, Field(ge=1, le=5, strict=True)] | None = Field(
        default=None,
        description="Lasting over elastic sag; by material unless given: see reference.materials.",
    )
    safety_factor: Annotated[float, Field(ge=1, le=10, strict=True)] = Field(
        default=2.0,
        description="Of uprights against buckling, on top of the lowest stiffness and creep "
        "(common practice).",
    )
    stiffener_allowed: Flag = True
    stiffener_height: Size = 1.5

    cleat_height: Size = 2.0
    cleat_thickness: Size = 0.75
    rod_cleat_height: Size = Field(
        default=3.5,
        description="Least height of a side cleat on a wall that takes a rod's socket: a "
        "flange of 2-1/4 in stays clear of its edges (common practice).",
    )
    upright_hold: Size = Field(
        default=24.0,
        description="The back edge of an upright is held to the wall at least this often: by "
        "the cleats it meets, else by an angle bracket (common practice).",
    )
    fastener: Fastener = Fastener.SCREWS
    shelf_clearance: Distance = Field(
        default=0.0625, description="How much shorter a shelf is than its bay."
    )
    rod_allowance: Distance = Field(
        default=0.125, description="How much shorter a rod is than its bay, for its sockets."
    )
    upright_clearance: Distance = Field(
        default=0.25, description="How far an upright stops short of a ceiling it would reach."
    )
    baseboard_height: Distance = 0.0
    baseboard_thickness: Distance = 0.0
    carpet_thickness: Distance = Field(
        default=0.0,
        description="Carpet left under the uprights, pressed: they are cut that much shorter, "
        "since heights count from the floor under it.",
    )
    scribe_limit: Distance = Field(
        default=1.0, description="A left-over up to this is scribed; beyond it a filler is cut."
    )
    scribe_extra: Distance = Field(
        default=0.25, description="Extra width of a scribed strip, planed away to fit the wall."
    )
    caulk_limit: Distance = Field(
        default=0.1875, description="A left-over up to this is caulked: no strip is cut."
    )
    rod_overlap: Distance = Field(
        default=2.0, description="How far an upright reaches past the centre of a rod."
    )
    side_cleat_setback: Distance = Field(
        default=0.5, description="How far a side cleat stops short of the front of its board."
    )
    wallboard_thickness: Distance = Field(
        default=0.5, description="Wall lining over the studs, which a fastener goes through."
    )
    stud_penetration: Size = Field(
        default=1.25,
        description="Deepest a fastener goes into a stud: cables and pipes lie behind.",
    )
    datum_height: Size = Field(
        default=48.0, description="Level line on the walls, above the highest point of the floor."
    )
    strip_lengths: Annotated[tuple[Size, ...], Field(min_length=1, max_length=12)] = Field(
        default=(96.0,), description="Lengths in which strips for cleats are sold."
    )
    rod_lengths: Annotated[tuple[Size, ...], Field(min_length=1, max_length=12)] = Field(
        default=(72.0, 96.0, 144.0), description="Lengths in which rods are sold."
    )
    grain: Literal["none", "length"] = "none"


# Not here: choices, ratios and factors, which have no unit, and lengths that are 0 either way.
METRIC_DEFAULTS: dict[str, Any] = {
    "panel_thickness": 18.0,
    "sheet": (2440.0, 1220.0),
    "kerf": 3.0,
    "hang_depth": 600.0,
    "rod_setback": 300.0,
    "rod_clearance": 75.0,
    "floor_clearance": 75.0,
    "max_rod_height": 2130.0,
    "max_shelf_height": 2130.0,
    "min_shelf_clear": 200.0,
    "base_height": 90.0,
    "item_clearance": 12.0,
    "min_bay_width": 300.0,
    "min_hang_width": 450.0,
    "max_bay_width": 2440.0,
    "max_plain_span": 900.0,
    "unbacked_span": 750.0,
    "rod_support_spacing": 1200.0,
    "rod_cleat_height": 90.0,
    "upright_hold": 600.0,
    "corner_clearance": 150.0,
    "corner_opening": 300.0,
    # 15 lb/sq ft and 20 lb/ft in kg/m2 and kg/m, rounded.
    "shelf_load": 73.0,
    "rod_load": 30.0,
    "stiffener_height": 38.0,
    "cleat_height": 50.0,
    "cleat_thickness": 18.0,
    "shelf_clearance": 2.0,
    "rod_allowance": 3.0,
    "upright_clearance": 6.0,
    "scribe_limit": 25.0,
    "scribe_extra": 6.0,
    "caulk_limit": 5.0,
    "rod_overlap": 50.0,
    "side_cleat_setback": 12.0,
    "wallboard_thickness": 12.5,
    "stud_penetration": 32.0,
    "datum_height": 1200.0,
    "strip_lengths": (2440.0,),
    "rod_lengths": (1800.0, 2440.0, 3000.0),
}
