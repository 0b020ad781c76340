"""Our curves held against the library's pieces, and what is said about it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from dxf2turn.geometry.point import Point
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.convert import Made
from dxf2turn.reading.file.structure import Structure
from dxf2turn.reading.layout import Layout
from dxf2turn.reading.model import Curve, SecondReading
from dxf2turn.reading.plane import WORLD, Placement
from dxf2turn.reading.second.load import readings
from dxf2turn.reading.second.pairs import COUNTED, Pairs, pair_all
from dxf2turn.reading.second.pieces import Piece, pieces_of, placement_of

_ROUNDING = 1e-11  # of a coordinate: what a few turns and scales in doubles may move it
_TAGS_EACH = 10  # tag pairs that cost the library as much as one more place of a block
_OWN_NUMBERS = {
    "decimal-comma": "its numbers have decimal commas",
    "unusual-number": "it has numbers with a Fortran exponent or a blank in it",
}


@dataclass(frozen=True, slots=True)
class FirstReading:
    """What our own reader made of the file: its records, the space it took, the placement of that space
    (other than WORLD for a drawing that stood upright), and every entity as what became of it."""

    structure: Structure
    layout: Layout
    placement: Placement
    made: Sequence[Made]


@dataclass(frozen=True, slots=True)
class Difference:
    """A curve whose two readings are not the same; ours and theirs: the places, for people."""

    curve: Curve
    ours: str
    theirs: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """What the second reading gave: its account, and what is to be reported."""

    account: SecondReading
    differences: tuple[Difference, ...] = ()
    pairs: Pairs = field(default_factory=Pairs)

    @property
    def doubts(self) -> tuple[int, int]:
        """How many entities the two readings do not agree on, and how many the library lacks."""
        return len(self.differences) + len(self.pairs.extra), len(self.pairs.lacking)


def read_again(data: bytes, first: FirstReading, options: DrawingOptions) -> Comparison:
    """Read the file by the library and compare every curve that both can draw. Never raises.

    The library's recovery is asked when its plain reading fails or disagrees; the better one counts.
    Nothing is compared, with the reason in the account, when the file is larger than the limit, is written
    in a way that the library is known to misread, or can't be read by it.
    """
    reason = _not_worth(first, options)
    if reason:
        return Comparison(SecondReading(reason=reason))
    found: list[Comparison] = []
    reasons: list[str] = []
    for loaded in readings(data):
        if loaded.document is None:
            reasons.append(loaded.reason)
            continue
        try:
            found.append(_compared(loaded.document, loaded.way, first, options))
        except Exception as error:  # the library's entities can fail when they are looked at
            reasons.append(f"the DXF library fails on it ({type(error).__name__})")
            continue
        if found[-1].doubts == (0, 0):
            break
    return min(found, key=lambda one: one.doubts) if found else Comparison(SecondReading(reason=reasons[0]))


def _not_worth(first: FirstReading, options: DrawingOptions) -> str:
    """Why there is no second reading, "" when there is one."""
    most, tags = options.limits.second_reading_tags, len(first.structure.tags.codes)
    if tags > most:
        return f"it holds {tags:,} tag pairs, more than the limit of {most:,}"
    if len(first.made) * _TAGS_EACH > most:
        return f"its blocks draw {len(first.made):,} entities, more than the limit of {most // _TAGS_EACH:,}"
    mended = first.structure.mended
    return next((_OWN_NUMBERS[code] for code in mended if code in _OWN_NUMBERS), "")


def _compared(document: Any, way: str, first: FirstReading, options: DrawingOptions) -> Comparison:
    space = _space(document, first.layout)
    pairs = pair_all(first.layout.records, space, first.structure)
    places = _Places(pairs, first.placement)
    differences: list[Difference] = []
    compared = 0
    for one in first.made:
        theirs = _pieces(one, pairs, places) if one.curves else []
        if not theirs:
            continue
        compared += 1
        differences.extend(_differences(one, theirs, options))
    return Comparison(SecondReading(way, compared), tuple(differences), pairs)


def _space(document: Any, layout: Layout) -> Any:
    """The library's entities of the space that our reader took."""
    if not layout.in_paper:
        return document.modelspace()
    papers = [space for space in document.layouts if space.name != "Model"]
    drawn = (space for space in papers if any(entity.dxftype() in COUNTED for entity in space))
    return next(drawn, ())


@dataclass(slots=True)
class _Places:
    """The library's placement of each chain of block references, worked out once."""

    pairs: Pairs
    outermost: Placement
    known: dict[tuple[tuple[int, int], ...], Placement | None] = field(default_factory=dict)

    def of(self, inserts: tuple[tuple[int, int], ...]) -> Placement | None:
        """None when the library lacks one of the references."""
        if not inserts:
            return self.outermost
        if inserts not in self.known:
            outer = self.of(inserts[:-1])
            start, number = inserts[-1]
            insert = self.pairs.entities.get(start)
            inner = None if insert is None or outer is None else placement_of(insert, number)
            self.known[inserts] = None if inner is None or outer is None else inner.then(outer)
        return self.known[inserts]


def _pieces(made: Made, pairs: Pairs, places: _Places) -> list[Piece]:
    """The library's pieces of a curve in drawing coordinates, those without length left out."""
    entity, placement = pairs.entities.get(made.record.start), places.of(made.inserts)
    if entity is None or placement is None or _UNLIKE & set(made.mended):
        return []
    try:
        found = pieces_of(entity)
    except (ArithmeticError, ValueError, IndexError):  # a spline or ellipse that the library can't evaluate
        return []
    if placement is not WORLD:
        found = [
            Piece(placement.point(a), None if m is None else placement.point(m), placement.point(b))
            for a, m, b in found
        ]
    return [piece for piece in found if piece.middle is not None or piece.start[:2] != piece.end[:2]]


# Curves that we draw from other values than the library looks at.
_UNLIKE = frozenset(("spline-rebuilt", "frame-rebuilt"))


def _differences(made: Made, theirs: Sequence[Piece], options: DrawingOptions) -> Iterator[Difference]:
    """At most one difference a curve: the first that is found."""
    for curve in made.curves:
        reach = max(abs(value) for piece in theirs for value in (*piece.start[:2], *piece.end[:2]))
        same = options.tolerances.same_point + _ROUNDING * reach + 2.0 * curve.fitted
        if curve.fitted == 0.0 and len(theirs) == len(curve.segments):
            unlike = _unlike_in_order(curve, theirs, same)
        else:
            unlike = _unlike_anywhere(curve, theirs, same)
        if unlike is not None:
            yield unlike


def _unlike_in_order(curve: Curve, theirs: Sequence[Piece], same: float) -> Difference | None:
    """Piece by piece: the same ends, and the library's middle on our piece."""
    for segment, piece in zip(curve.segments, theirs):
        a, b = _flat(piece.start), _flat(piece.end)
        off = max(segment.start.distance(a), segment.end.distance(b))
        if not off <= same:
            ours = f"{_place(segment.start)} to {_place(segment.end)}"
            return Difference(curve, ours, f"{_place(a)} to {_place(b)}")
        if piece.middle is not None and not segment.distance(_flat(piece.middle)) <= same:
            ours = f"through {_place(segment.point_at(0.5))}"
            return Difference(curve, ours, f"through {_place(_flat(piece.middle))}")
    return None


def _unlike_anywhere(curve: Curve, theirs: Sequence[Piece], same: float) -> Difference | None:
    """The library's points all lie on our curve, and both begin and end at one place."""
    points = [_flat(place) for piece in theirs for place in piece if place is not None]
    first, last = curve.segments[0].start, curve.segments[-1].end
    if not max(first.distance(points[0]), last.distance(points[-1])) <= same:
        theirs_ends = f"{_place(points[0])} to {_place(points[-1])}"
        return Difference(curve, f"{_place(first)} to {_place(last)}", theirs_ends)
    for point in points:
        near = min(curve.segments, key=lambda segment: segment.distance(point))
        if not near.distance(point) <= same:
            return Difference(curve, f"through {_place(near.point_at(0.5))}", f"through {_place(point)}")
    return None


def _flat(place: Sequence[float]) -> Point:
    return Point(place[0], place[1])


def _place(point: Point) -> str:
    """A place in drawing units, short."""
    if not (math.isfinite(point.x) and math.isfinite(point.y)):
        return "no usable place"
    return f"({point.x:.7g}, {point.y:.7g})"
