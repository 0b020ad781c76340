"""Threads that a layer names: `THREAD M20x1.5` holds a thread's surface, its root or its crest lines."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.contour.model import Contour
from dxf2turn.features.callouts import Callout
from dxf2turn.features.designation import find_designations
from dxf2turn.features.thread_foreign import without_foreign
from dxf2turn.geometry.segment import Segment


def layer_callouts(contour: Contour) -> tuple[Callout, ...]:
    """A callout for each entity on a layer named by a thread designation, pointing at its middle.

    The layer that holds the whole profile names no thread of it.
    """
    drawn = {layer for _, layer in contour.layers}
    found: dict[tuple[str, int], Callout] = {}
    for handle, layer, segment, group in _entities(contour, drawn):
        if (layer, group) not in found and find_designations(without_foreign(layer)):
            middle = segment.point_at(0.5)
            found[layer, group] = Callout(layer, layer, middle, (middle,), "layer", handle, layer)
    return tuple(found.values())


def _entities(contour: Contour, drawn: set[str]) -> Iterator[tuple[str, str, Segment, int]]:
    """(handle, layer, segment, group): thin lines, rows of crest lines, and pieces of the profile that lie on
    another layer than the rest. What has one group is one thread."""
    for number, thin in enumerate(contour.thin_lines):
        yield thin.handle, thin.layer, thin.segment, number
    for line in contour.cross_lines:
        yield line.handle, line.layer, line.segment, -1 - line.row
    if contour.profile is None or len(drawn) < 2:
        return
    layers = dict(contour.layers)
    start = len(contour.thin_lines)
    for number, segment in enumerate(contour.profile.segments):
        for handle in segment.origin:
            if handle in layers:
                yield handle, layers[handle], segment, start + number
