"""Taking a DXF document apart into lines, areas and texts, through ezdxf's drawing add-on.

The add-on resolves layers, line types, hatches and dimension blocks. Its own text stage
turns letters into outlines; ours hands texts on as texts, so that they can be searched,
read aloud and set in the reader's own fonts.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from ezdxf.addons import acadctb
from ezdxf.addons.drawing.backend import Backend
from ezdxf.addons.drawing.config import BackgroundPolicy, Configuration, LinePolicy
from ezdxf.addons.drawing.frontend import UniversalFrontend
from ezdxf.addons.drawing.pipeline import RenderPipeline2d
from ezdxf.addons.drawing.properties import LayoutProperties, RenderContext
from ezdxf.enums import TextEntityAlignment
from ezdxf.render import hatching

from optimizer.drawing.ink.canvas import Align, Point, dxf_plain
from optimizer.drawing.ink.layers import LETTERING_BOLD

Step = tuple[Literal["M", "L", "C"], tuple[Point, ...]]
"""A step of a path: move or line to a point, or a cubic curve over two controls."""

_ALIGN: dict[Any, Align] = {
    TextEntityAlignment.MIDDLE_LEFT: "left",
    TextEntityAlignment.MIDDLE_CENTER: "centre",
    TextEntityAlignment.MIDDLE_RIGHT: "right",
}


def settled(value: float) -> float:
    """`value` [mm or points] to a thousandth, the same one whatever the float noise in it.

    Round sizes often lie half way between two thousandths, where noise would decide.
    """
    return round(value + 1e-6, 3)


@dataclass(frozen=True, slots=True)
class Look:
    """How a primitive is drawn: layer, colour (#rrggbb) and line weight [mm]."""

    layer: str
    colour: str
    weight: float


@dataclass(frozen=True, slots=True)
class Stroke:
    """A drawn path."""

    path: tuple[Step, ...]
    look: Look


@dataclass(frozen=True, slots=True)
class Fill:
    """A filled path (even-odd)."""

    path: tuple[Step, ...]
    look: Look


@dataclass(frozen=True, slots=True)
class Letters:
    """One line of text: the middle of its capitals' height lies on `at`; rotation in degrees."""

    text: str
    at: Point
    height: float
    rotation: float
    align: Align
    bold: bool
    look: Look


Primitive = Stroke | Fill | Letters


def _point(vertex: Any) -> Point:
    """A vertex of ezdxf as a point."""
    return float(vertex.x), float(vertex.y)


def _steps(path: Any) -> tuple[Step, ...]:
    """Steps of an ezdxf 2D path; quadratic curves are raised to cubic ones."""
    steps: list[Step] = [("M", (_point(path.start),))]
    here = path.start
    for command in path.commands():
        kind = command.type.name
        if kind == "CURVE3_TO":
            # Exact: the control points of the same curve, one degree higher.
            first = here + (command.ctrl - here) * (2 / 3)
            second = command.end + (command.ctrl - command.end) * (2 / 3)
            steps.append(("C", (_point(first), _point(second), _point(command.end))))
        elif kind == "CURVE4_TO":
            points = (command.ctrl1, command.ctrl2, command.end)
            steps.append(("C", tuple(_point(p) for p in points)))
        else:
            steps.append(("M" if kind == "MOVE_TO" else "L", (_point(command.end),)))
        here = command.end
    return tuple(steps)


def _polyline(points: Iterable[Any]) -> tuple[Step, ...]:
    """The steps of straight lines from point to point."""
    first, *rest = [_point(p) for p in points]
    return (("M", (first,)), *(("L", (p,)) for p in rest))


class _Collector(Backend):  # type: ignore[misc]
    """An ezdxf backend that keeps what it is told to draw."""

    def __init__(self) -> None:
        """Empty; what it is told to draw is kept in the order in which it comes, which is that
        of drawing."""
        super().__init__()
        self.found: list[Primitive] = []

    def _look(self, properties: Any) -> Look:
        """Layer, colour and weight of what is drawn."""
        # ezdxf writes colours as #rrggbbaa; nothing of ours is transparent.
        return Look(properties.layer, properties.color[:7], float(properties.lineweight))

    def set_background(self, color: str) -> None:
        """Paper is white: nothing to do."""

    def clear(self) -> None:
        """Forget what was drawn."""
        self.found.clear()

    def draw_point(self, pos: Any, properties: Any) -> None:
        """A dot is a stroke of no length."""
        self.found.append(Stroke(_polyline((pos, pos)), self._look(properties)))

    def draw_line(self, start: Any, end: Any, properties: Any) -> None:
        """A straight stroke."""
        self.found.append(Stroke(_polyline((start, end)), self._look(properties)))

    def draw_solid_lines(self, lines: Any, properties: Any) -> None:
        """Strokes of one look, kept as one path."""
        path = [step for start, end in lines for step in _polyline((start, end))]
        if path:
            self.found.append(Stroke(tuple(path), self._look(properties)))

    def draw_path(self, path: Any, properties: Any) -> None:
        """A stroke of lines and curves."""
        self.found.append(Stroke(_steps(path), self._look(properties)))

    def draw_filled_paths(self, paths: Any, properties: Any) -> None:
        """Areas of one look."""
        steps = [step for path in paths for step in _steps(path)]
        if steps:
            self.found.append(Fill(tuple(steps), self._look(properties)))

    def draw_filled_polygon(self, points: Any, properties: Any) -> None:
        """One area."""
        vertices = list(points.vertices())
        if vertices:
            self.found.append(Fill(_polyline(vertices), self._look(properties)))

    def draw_image(self, image_data: Any, properties: Any) -> None:
        """Our drawings hold no images."""

    def draw_letters(self, letters: Letters) -> None:
        """A line of text."""
        self.found.append(letters)


class _Frontend(UniversalFrontend):  # type: ignore[misc]
    """Hands TEXT, and the one-line MTEXT of dimensions, on as text."""

    def draw_text_entity(self, entity: Any, properties: Any) -> None:
        """A TEXT entity."""
        align, at, _ = entity.get_placement()
        self._letters(
            entity,
            properties,
            # TEXT entities hold our own lettering, escaped by `dxf_escaped`; the MTEXT of
            # dimensions is ezdxf's.
            text=dxf_plain(entity.dxf.text),
            at=at,
            height=entity.dxf.height,
            rotation=entity.dxf.rotation,
            align=_ALIGN[align],
        )

    def draw_mtext_entity(self, entity: Any, properties: Any) -> None:
        """An MTEXT entity; ezdxf centres those of dimensions on their insertion point."""
        self._letters(
            entity,
            properties,
            text=entity.plain_text(),
            at=entity.dxf.insert,
            height=entity.dxf.char_height,
            rotation=entity.get_rotation(),
            align="centre",
        )

    def draw_hatch_pattern(self, polygon: Any, paths: Any, properties: Any) -> None:
        """Hatching from the pattern's own origin; the add-on would shift it by chance."""
        # Solid strokes whatever the layer's line type: hatching is no outline.
        properties.linetype_pattern = ()
        lines = [
            stroke
            for baseline in hatching.pattern_baselines(polygon, jiggle_origin=False)
            for line in hatching.hatch_paths(baseline, paths)
            for stroke in baseline.pattern_renderer(line.distance).render(line.start, line.end)
        ]
        self.pipeline.draw_solid_lines(lines, properties)

    def _letters(
        self,
        entity: Any,
        properties: Any,
        *,
        text: str,
        at: Any,
        height: float,
        rotation: float,
        align: Align,
    ) -> None:
        """Hand a text on to the collector."""
        self.pipeline.backend.draw_letters(
            Letters(
                text=text,
                at=_point(at),
                height=float(height),
                rotation=float(rotation),
                align=align,
                bold=entity.dxf.style == LETTERING_BOLD,
                look=Look(properties.layer, properties.color[:7], properties.lineweight),
            )
        )


@cache
def _plot_styles() -> Any:
    """The add-on's own plot styles, which say nothing: made once, not for each drawing."""
    return acadctb.new_ctb()


def strokes_of(doc: Any) -> tuple[Primitive, ...]:
    """Everything in the model space of `doc`, in drawing order and drawing units."""
    context = RenderContext(doc, ctb=_plot_styles())
    collector = _Collector()
    config = Configuration(
        # White: colour 7 of the index, our black, is drawn white on a dark background. Accurate:
        # dashes are strokes of their own, as long as the line type says, and not a style that a
        # reader may scale.
        background_policy=BackgroundPolicy.WHITE,
        line_policy=LinePolicy.ACCURATE,
    )
    frontend = _Frontend(context, RenderPipeline2d(collector), config=config)
    paper = LayoutProperties("paper", "#ffffff", "#000000")
    frontend.draw_layout(doc.modelspace(), layout_properties=paper)
    return tuple(collector.found)
