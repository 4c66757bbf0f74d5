"""How heavy each part is, the whole, and a full sheet."""

from __future__ import annotations

from collections.abc import Iterable

from optimizer.domain.brief import Brief
from optimizer.domain.construction import Material
from optimizer.domain.pack import Part, Stock, Weights
from optimizer.reference.materials import rod
from optimizer.structure.loads import weight_out
from optimizer.structure.quantities import board_weight, sheet_weight
from optimizer.units import Units


def part_weight(part: Part, brief: Brief) -> float:
    """Weight of one piece of a part [lb in inch briefs, kg in millimetre ones].

    Cleat strips count as white pine, the lightest softwood in the tables.
    """
    units = brief.units
    if part.stock is Stock.ROD:
        feet = units.to_inch(part.length) / 12.0
        return weight_out(rod(brief.construction.rod_stock).weight * feet, units)
    material = brief.construction.material if part.stock is Stock.SHEET else Material.WHITE_PINE
    # By its area, since notches and slants take some of the rectangle.
    width = part.area / part.length
    return board_weight(material, part.length, width, part.thickness, units)


def weights_of(brief: Brief, parts: Iterable[Part]) -> Weights:
    """Weight of the whole, of the heaviest part, and of a full sheet."""
    each = [(part_weight(part, brief), part) for part in parts]
    heaviest, part_id = max(((weight, part.id) for weight, part in each), default=(0.0, ""))
    return Weights(
        unit="lb" if brief.units is Units.INCH else "kg",
        total=sum(weight * part.count for weight, part in each),
        heaviest=heaviest,
        heaviest_part=part_id,
        sheet=sheet_weight(brief.construction, brief.units),
    )
