"""Spans of a curve drawn by lines and arcs."""

from __future__ import annotations

from collections.abc import Sequence

from dxf2turn.geometry.curve import Span
from dxf2turn.geometry.fit import fit_spans
from dxf2turn.reading.curves.shape import Pen, Shape
from dxf2turn.reading.damage import Unusable


def spans_shape(spans: Sequence[Span], pen: Pen) -> Shape:
    """Spans drawn by lines and arcs; a curve whose ends meet is closed to the last bit."""
    start, end = spans[0].at(spans[0].first).point, spans[-1].at(spans[-1].last).point
    meets = start.distance(end) <= pen.flat
    if (
        all(span.at(0.5 * (span.first + span.last)).point.distance(start) <= pen.flat for span in spans)
        and meets
    ):
        raise Unusable("has no length")
    fitted = fit_spans(spans, pen.fit, pen.origin, (start, start) if meets else None)
    return Shape(fitted.segments, meets, fitted.deviation)
