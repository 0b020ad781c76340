"""Pockets: what lies lower than both edges of a concave chain, seen from where it opens.

A concave chain turns only to the right, between two convex corners (or rounds). Its depth is measured in the
direction in which it opens (along +r, -r, +z or -z). Where one wall goes on as a shoulder, the pocket ends at
the height of the lower edge.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from dxf2turn.features.outline import Outline
from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Arc

OPENINGS = {
    "out": Vector(0.0, 1.0),
    "in": Vector(0.0, -1.0),
    "front": Vector(1.0, 0.0),
    "back": Vector(-1.0, 0.0),
}


@dataclass(frozen=True, slots=True)
class Pocket:
    """A candidate. owned: its segments with edge breaks; core: without them. start, end: the mouth edges at
    the height of the lower one. up: direction in which it opens. shoulder: +1 when the wall at the end goes
    on above the mouth, -1 for the wall at the start, 0 for neither. corner: where cylinder and shoulder would
    meet, for an undercut into both."""

    owned: tuple[int, ...]
    core: tuple[int, ...]
    opens: str
    start: Point
    end: Point
    depth: float
    shoulder: int
    break_height: float = 0.0
    corner: Point | None = None

    @property
    def up(self) -> Vector:
        return OPENINGS[self.opens]


def concave_chains(outline: Outline) -> Iterator[tuple[int, ...]]:
    """Maximal runs without a convex corner and without a convex arc."""
    indices = outline.indices
    chain: list[int] = []
    # A part with a through bore is a closed ring: start the walk at a convex corner so that no chain is cut.
    for index in _from_a_corner(outline, indices):
        broken = not chain or outline.before(index) != chain[-1]
        if chain and (broken or outline.turn_into(index) > outline.rules.corner):
            yield tuple(chain)
            chain = []
        if outline.is_convex_arc(index):
            if chain:
                yield tuple(chain)
            chain = []
        else:
            chain.append(index)
    if chain:
        yield tuple(chain)


def _from_a_corner(outline: Outline, indices: tuple[int, ...]) -> tuple[int, ...]:
    for place, index in enumerate(indices):
        corner = outline.turn_into(index) > outline.rules.corner
        if corner or outline.before(index) is None or outline.is_convex_arc(index):
            return indices[place:] + indices[:place]
    return indices


def pocket_of(outline: Outline, chain: tuple[int, ...]) -> Pocket | None:
    """The pocket of a chain in the direction in which it opens best; None when it opens in none."""
    open_ended = outline.before(chain[0]) is None or outline.after(chain[-1]) is None
    if open_ended and outline.role(chain[0]) != "inside":
        return None  # only the floor of a blind hole may run on to the axis
    chord = outline.segment(chain[-1]).end - outline.segment(chain[0]).start
    side = "in" if outline.role(chain[0]) == "inside" else "out"
    in_corner = _corner_pocket(outline, chain, side)
    if in_corner is not None:
        return in_corner
    found = [_pocket(outline, chain, opens) for opens in (side, "front", "back")]
    pockets = [pocket for pocket in found if pocket is not None]
    return max(pockets, key=lambda pocket: -pocket.up.dot(chord.left), default=None)


def _corner_pocket(outline: Outline, chain: tuple[int, ...], opens: str) -> Pocket | None:
    """A pocket cut into the cylinder and into the shoulder face where both would meet."""
    up = OPENINGS[opens]
    before, after = outline.before(chain[0]), outline.after(chain[-1])
    if before is None or after is None:
        return None
    start, end = outline.segment(chain[0]).start, outline.segment(chain[-1]).end
    if outline.is_axial(before) and outline.is_radial(after):
        shoulder, low, face = 1, start, end
    elif outline.is_radial(before) and outline.is_axial(after):
        shoulder, low, face = -1, end, start
    else:
        return None
    gap = outline.tolerances.gap
    into_face = up.left * float(shoulder)  # from the cylinder into the shoulder
    depth = low.y * up.dy - _lowest(outline, chain, up)
    behind = -_lowest(outline, chain, -into_face) - face.x * into_face.dx
    rise = (face.y - low.y) * up.dy
    if depth <= gap or behind <= gap or rise < -gap or (face - low).dot(into_face) <= gap:
        return None
    corner = Point(face.x, low.y)
    return Pocket(chain, chain, opens, start, end, depth, shoulder, corner=corner)


def _pocket(outline: Outline, chain: tuple[int, ...], opens: str) -> Pocket | None:
    """The pocket that opens in one direction, with the edge breaks at its mouth that are small enough."""
    up = OPENINGS[opens]
    first, last = _break_before(outline, chain[0], up), _break_after(outline, chain[-1], up)
    for breaks in dict.fromkeys(((first, last), (first, None), (None, last), (None, None))):
        pocket = _between(outline, chain, opens, breaks)
        if pocket is not None:
            return pocket
    return None


def _between(
    outline: Outline, chain: tuple[int, ...], opens: str, breaks: tuple[int | None, int | None]
) -> Pocket | None:
    """The pocket with these edge breaks; None when there is none or they are too large for it."""
    up = OPENINGS[opens]
    height = _heights(up)
    first, last = breaks
    start = outline.segment(chain[0] if first is None else first).start
    end = outline.segment(chain[-1] if last is None else last).end
    level, floor = min(height(start), height(end)), _lowest(outline, chain, up)
    depth = level - floor
    if depth <= outline.tolerances.gap or (end - start).dot(up.left) <= 0.0:
        return None
    start, end, core, shoulder = _clip(outline, chain, up, (start, end), depth)
    if not core or (end - start).dot(up.left) <= 0.0:
        return None
    if shoulder:
        breaks = (None if shoulder < 0 else first, None if shoulder > 0 else last)
    owned = (*_some(breaks[0]), *core, *_some(breaks[1]))
    heights = [abs((outline.segment(i).end - outline.segment(i).start).dot(up)) for i in _some(*breaks)]
    tall = max(heights, default=0.0)
    if not _breaks_are_small(outline, breaks, up, (end - start).dot(up.left), depth):
        return None
    return Pocket(owned, core, opens, start, end, depth, shoulder, tall)


def _clip(
    outline: Outline, chain: tuple[int, ...], up: Vector, mouth: tuple[Point, Point], depth: float
) -> tuple[Point, Point, tuple[int, ...], int]:
    """Mouth edges at the lower one's height, the segments below it, on which side a shoulder goes on."""
    height = _heights(up)
    start, end = mouth
    level = min(height(start), height(end))
    excess = height(end) - height(start)
    wall = outline.segment(chain[-1]).end if excess > 0.0 else outline.segment(chain[0]).start
    even = abs(excess) <= outline.rules.same_wall * depth or height(wall) <= level
    if even or _surface_goes_on(outline, chain, start, end, depth):
        return start, end, chain, 0
    if excess > 0.0:
        core, crossing = _below(outline, chain, up, level)
        return start, crossing, core, 1
    core, crossing = _below(outline, chain[::-1], up, level)
    return crossing, end, core[::-1], -1


def _below(
    outline: Outline, chain: tuple[int, ...], up: Vector, level: float
) -> tuple[tuple[int, ...], Point]:
    """The segments from the low side to where the wall crosses the level, and that crossing.

    A line that crosses the level is the shoulder's face; an arc that does so still belongs to the pocket.
    """
    height = _heights(up)
    kept = list(chain)
    while kept:
        segment = outline.segment(kept[-1])
        ends = (segment.start, segment.end)
        low, high = min(ends, key=height), max(ends, key=height)
        if height(low) < level and isinstance(segment, Arc):
            return tuple(kept), Point(*_at_level(high, up, level))
        kept.pop()
        if height(low) < level:
            share = (level - height(low)) / (height(high) - height(low))
            return tuple(kept), low.towards(high, share)
    return (), outline.segment(chain[0]).start


def _at_level(point: Point, up: Vector, level: float) -> Point:
    return point + up * (level - (point.x * up.dx + point.y * up.dy))


def _surface_goes_on(
    outline: Outline, chain: tuple[int, ...], start: Point, end: Point, depth: float
) -> bool:
    """Whether the surface before the pocket, prolonged, meets the surface behind it (a groove in a taper)."""
    before, after = outline.before(chain[0]), outline.after(chain[-1])
    if before is None or after is None:
        return False
    into, out = outline.segment(before).tangent_at(1.0), outline.segment(after).tangent_at(0.0)
    chord = (end - start).unit()
    if chord is None:
        return False
    off = max(abs(into.cross(chord)), abs(out.cross(chord))) * start.distance(end)
    return off <= outline.rules.same_wall * depth and into.dot(chord) > 0.0 and out.dot(chord) > 0.0


def _break_before(outline: Outline, index: int, up: Vector) -> int | None:
    """The chamfer or round at the mouth before the pocket."""
    before = outline.before(index)
    if before is None or outline.before(before) is None:
        return None
    return before if _is_break(outline, before, up, -1.0) else None


def _break_after(outline: Outline, index: int, up: Vector) -> int | None:
    """The chamfer or round at the mouth behind the pocket."""
    after = outline.after(index)
    if after is None or outline.after(after) is None:
        return None
    return after if _is_break(outline, after, up, 1.0) else None


def _is_break(outline: Outline, index: int, up: Vector, rising: float) -> bool:
    """A short oblique line between two convex corners, or a convex arc, that leads into the pocket."""
    segment = outline.segment(index)
    rise = (segment.end - segment.start).dot(up) * rising
    run = (segment.end - segment.start).dot(up.left)
    if run <= 0.0 or rise <= 0.0:
        return False
    if isinstance(segment, Arc):
        return not segment.clockwise and abs(segment.sweep) <= outline.rules.round_sweep
    corner = outline.rules.corner
    both_convex = outline.turn_into(index) > corner and outline.turn_out(index) > corner
    return both_convex and rise > run * outline.rules.break_slope


def _breaks_are_small(
    outline: Outline, breaks: tuple[int | None, int | None], up: Vector, width: float, depth: float
) -> bool:
    limit = min(outline.rules.break_per_depth * depth, outline.rules.break_per_width * width)
    for index in _some(*breaks):
        segment = outline.segment(index)
        along = abs((segment.end - segment.start).dot(up.left))
        if (segment.radius if isinstance(segment, Arc) else along) > limit:
            return False
    return True


def _lowest(outline: Outline, chain: tuple[int, ...], up: Vector) -> float:
    lowest = []
    for index in chain:
        box = outline.segment(index).bounds
        corners = (Point(box.min_x, box.min_y), Point(box.max_x, box.max_y))
        lowest.append(min(corner.x * up.dx + corner.y * up.dy for corner in corners))
    return min(lowest)


def _heights(up: Vector) -> Callable[[Point], float]:
    return lambda point: point.x * up.dx + point.y * up.dy


def _some(*indices: int | None) -> tuple[int, ...]:
    return tuple(index for index in indices if index is not None)
