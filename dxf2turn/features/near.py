"""Which feature a note speaks of: the one its tip touches, or beside which it stands."""

from __future__ import annotations

from collections.abc import Iterable

from dxf2turn.features.callouts import Callout
from dxf2turn.features.model import Feature
from dxf2turn.features.outline import Outline
from dxf2turn.geometry.point import Point

REACH = 0.1  # a tip may be this share of the part's largest radius off the surface it points at
BESIDE = 4.0  # a text this many text heights from a surface stands on it (a symbol lies between)


def feature_meant(
    outline: Outline, features: Iterable[Feature], callout: Callout, kinds: tuple[str, ...] = ()
) -> Feature | None:
    """The feature that a note points at or stands beside; None for a note that speaks of the whole part.

    kinds: only these kinds are considered; empty = all.
    """
    if callout.source == "dimension" and callout.dimension is not None:
        reach = outline.profile.max_radius * REACH
    elif callout.tips:
        reach = max(outline.profile.max_radius * REACH, callout.height)
    else:
        reach = BESIDE * callout.height
    found = []
    for feature in features:
        if not feature.segments or (kinds and feature.kind not in kinds):
            continue
        away = min(_distance(outline, feature, place) for place in callout.places)
        if away <= reach:
            found.append((away, feature.z_front - feature.z_back, feature.id, feature))
    return min(found)[3] if found else None


def nearest(outline: Outline, features: Iterable[Feature], place: Point) -> Feature | None:
    """The feature nearest to a place, however far."""
    return min(features, key=lambda feature: _distance(outline, feature, place), default=None)


def _distance(outline: Outline, feature: Feature, place: Point) -> float:
    return min(outline.segment(index).distance(place) for index in feature.segments)
