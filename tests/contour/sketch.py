"""Little drawings for the contour tests: from strokes to a Contour without a file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.cleaning.model import CleanDrawing
from dxf2turn.contour.build import build_contour
from dxf2turn.contour.model import Contour
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Line
from dxf2turn.options import DrawingOptions
from tests.builders import drawing_of
from tests.strokes import Stroke, View

Place = tuple[float, float]


def chain(points: Sequence[Place], layer: str = "PART", close: bool = False) -> list[Stroke]:
    """Single lines from point to point."""
    run = [*points, points[0]] if close else list(points)
    return [Stroke((Line(Point(*a), Point(*b)),), layer) for a, b in zip(run, run[1:])]


def axis(x0: float, x1: float, y: float = 0.0) -> list[Stroke]:
    return chain([(x0, y), (x1, y)], "AXIS")


def both(points: Sequence[Place]) -> list[Stroke]:
    """A chain and its mirror image below y = 0."""
    return chain(points) + chain([(x, -y) for x, y in points])


def cleaned(strokes: Iterable[Stroke], options: DrawingOptions | None = None, **header: int) -> CleanDrawing:
    return clean_drawing(drawing_of(View(tuple(strokes)), **header), options or DrawingOptions())


def contour(strokes: Iterable[Stroke], options: DrawingOptions | None = None) -> Contour:
    options = options or DrawingOptions()
    return build_contour(cleaned(strokes, options), options)


def corners(found: Contour) -> list[Place]:
    """Corners of the profile, rounded to 1e-6 mm."""
    assert found.profile is not None, [f.text for f in found.findings]
    return [(round(s.start.x, 6) + 0.0, round(s.start.y, 6) + 0.0) for s in found.profile.segments]


def codes(found: Contour | CleanDrawing) -> list[str]:
    return [finding.code for finding in found.findings]
