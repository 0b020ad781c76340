"""What no tool cut, as areas of the part and as findings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import shapely
from shapely import Polygon

from dxf2turn.contour.model import Frame, located
from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.planning.bench import FAR, Bench
from dxf2turn.planning.rest import opened, thickness
from dxf2turn.units import plain_text

LIMIT = 0.01  # material left thicker than this is told, mm


def left_areas(bench: Bench) -> tuple[Polygon, ...]:
    """Pieces of stock that stay on the part after the last setup, setup coordinates."""
    clamping = bench.clamping
    stock = bench.stock
    if clamping.parting is not None:
        stock = shapely.intersection(stock, shapely.box(clamping.parting, 0.0, FAR, FAR))
    rest = opened(shapely.difference(stock, bench.body))
    return tuple(p for p in getattr(rest, "geoms", [rest]) if isinstance(p, Polygon) and p.area > 0.0)


def leftover_findings(areas: Iterable[tuple[Point, ...]], frame: Frame | None) -> Iterator[Finding]:
    """A finding for each area that is thicker than the limit."""
    for corners in areas:
        area = Polygon(corners)
        thick = thickness(area)
        if thick <= LIMIT:
            continue
        place = area.representative_point()
        yield Finding(
            code="planning/left-over",
            severity=Severity.FIX,
            text=(
                f"no tool of the crib reaches {plain_text(area.area)} mm2 at z {plain_text(place.x)}, "
                f"diameter {plain_text(2.0 * place.y)} mm; {plain_text(thick)} mm thick"
            ),
            hint="accept the radius that the tool leaves, give the corner a relief, or add a slimmer tool",
            where=located(frame, place.x, place.y),
            measured=thick,
            limit=LIMIT,
        )
