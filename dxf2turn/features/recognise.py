"""From the contour to the recognised part: features, limits, the target profile, findings.

Every surface segment is claimed by exactly one feature; threads, knurls and centre holes lie over those.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from dxf2turn.contour.model import Contour
from dxf2turn.errors import BrokenInvariant
from dxf2turn.features.bore import find_holes
from dxf2turn.features.groove import find_grooves
from dxf2turn.features.model import Feature, TurnedPart
from dxf2turn.features.outline import Outline
from dxf2turn.features.plain import find_plain
from dxf2turn.features.rules import RULES
from dxf2turn.options import DrawingOptions

RECOGNISERS = (find_grooves, find_holes)  # in this order: the first claim counts
OVERLAYS = ("thread", "knurl", "centre_hole")  # these list segments of other features again


def recognise(contour: Contour, options: DrawingOptions) -> TurnedPart:
    """The features of a contour.

    Raises BrokenInvariant when the contour has no profile or a segment is not claimed exactly once.
    """
    if contour.profile is None:
        raise BrokenInvariant("features: no profile; the findings of the contour should have stopped the job")
    outline = Outline(contour.profile, RULES, options.tolerances)
    features = numbered(geometric_features(outline))
    _prove(outline, features)
    return TurnedPart(profile=contour.profile, target=contour.profile, features=features)


def geometric_features(outline: Outline) -> tuple[Feature, ...]:
    """What the geometry alone tells, unnumbered."""
    free = set(outline.indices)
    found: list[Feature] = []
    for find in RECOGNISERS:
        for feature in find(outline):
            if free.issuperset(feature.segments):
                free.difference_update(feature.segments)
                found.append(feature)
    found.extend(find_plain(outline, frozenset(free)))
    return tuple(found)


def numbered(features: Iterable[Feature]) -> tuple[Feature, ...]:
    """Ids F1, F2, ... from front to back, outside before inside."""
    ordered = sorted(features, key=_place)
    return tuple(replace(feature, id=f"F{number}") for number, feature in enumerate(ordered, start=1))


def _place(feature: Feature) -> tuple[bool, float, float, int]:
    first = feature.segments[0] if feature.segments else 0
    return (feature.side == "inside", -feature.z_front, -feature.z_back, first)


def _prove(outline: Outline, features: tuple[Feature, ...]) -> None:
    claimed = [index for f in features if f.kind not in OVERLAYS for index in f.segments]
    if sorted(claimed) != sorted(outline.indices):
        raise BrokenInvariant(f"features: segments claimed {sorted(claimed)}, expected {outline.indices}")
