"""All standards over all features, in one pass."""

from __future__ import annotations

from dxf2turn.contour.model import Contour
from dxf2turn.features.callouts import text_unit
from dxf2turn.features.model import Cylinder, Feature, Groove, Taper, Thread
from dxf2turn.features.standards.bars import with_bar_size
from dxf2turn.features.standards.cones import match_cone
from dxf2turn.features.standards.edges import with_preferred_size
from dxf2turn.features.standards.orings import match_oring
from dxf2turn.features.standards.reliefs import match_relief
from dxf2turn.features.standards.rings import match_ring
from dxf2turn.features.standards.undercuts import match_undercut
from dxf2turn.findings import Finding

Matched = tuple[Feature, tuple[Finding, ...]]


def with_standards(
    contour: Contour, features: tuple[Feature, ...]
) -> tuple[tuple[Feature, ...], tuple[Finding, ...]]:
    """The features with the standards they follow, and the near misses."""
    threads = {f.relief: f for f in features if isinstance(f, Thread) and f.relief}
    inch = text_unit(contour) != 1.0
    largest = max((f.radius for f in features if isinstance(f, Cylinder)), default=0.0)
    noted = [with_bar_size(with_preferred_size(feature, inch), largest, inch) for feature in features]
    matched = [_match(contour, feature, threads) for feature in noted]
    return tuple(feature for feature, _ in matched), tuple(f for _, found in matched for f in found)


def _match(contour: Contour, feature: Feature, threads: dict[str, Thread]) -> Matched:
    if isinstance(feature, Groove):
        return _match_groove(contour, feature, threads)
    if isinstance(feature, Taper):
        return match_cone(contour, feature)
    return feature, ()


def _match_groove(contour: Contour, groove: Groove, threads: dict[str, Thread]) -> Matched:
    """A relief by its thread, an undercut by its shape; a square groove as ring, then as O-ring groove."""
    if groove.id in threads:
        return match_relief(contour, groove, threads[groove.id])
    if groove.form == "undercut":
        return match_undercut(contour, groove)
    if groove.form != "square" or groove.beside_shoulder or groove.overhangs:
        return groove, ()
    ring, ring_said = match_ring(contour, groove) if groove.opens in ("out", "in") else (groove, ())
    if ring.standard is not None:
        return ring, ()
    oring, oring_said = match_oring(contour, groove)
    return oring, () if oring.standard is not None else (*ring_said, *oring_said)
