"""From the contour to the recognised part: features, limits, the target profile, findings.

Every surface segment is claimed by exactly one feature; threads, knurls and centre holes lie over those.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from dxf2turn.contour.model import Contour, Profile
from dxf2turn.errors import BrokenInvariant
from dxf2turn.features.bore import find_holes
from dxf2turn.features.callouts import callouts, text_unit
from dxf2turn.features.centre_hole import find_centre_holes
from dxf2turn.features.chamfer_note import chamfer_contradictions
from dxf2turn.features.compound import find_compound_grooves
from dxf2turn.features.general import general_class
from dxf2turn.features.groove import find_grooves
from dxf2turn.features.knurl import find_knurls
from dxf2turn.features.material import material_in
from dxf2turn.features.model import Feature, Groove, Thread, TurnedPart
from dxf2turn.features.outline import Outline
from dxf2turn.features.overhang import overhangs
from dxf2turn.features.plain import find_plain
from dxf2turn.features.roughness import with_roughness
from dxf2turn.features.rules import RULES
from dxf2turn.features.split import split_at_zones
from dxf2turn.features.standards.match import with_standards
from dxf2turn.features.standards.noted import noted_standards
from dxf2turn.features.standards.noted_cones import noted_cones
from dxf2turn.features.target import target_of
from dxf2turn.features.teeth import without_teeth
from dxf2turn.features.thread import find_zones
from dxf2turn.features.thread_zone import thread_of
from dxf2turn.options import DrawingOptions

RECOGNISERS = (find_compound_grooves, find_grooves, find_holes)  # in this order: the first claim counts
OVERLAYS = ("thread", "knurl", "centre_hole")  # these list segments of other features again


def recognise(contour: Contour, options: DrawingOptions) -> TurnedPart:
    """The features of a contour.

    Raises BrokenInvariant when the contour has no profile or a segment is not claimed exactly once.
    """
    contour, teeth_findings = without_teeth(contour, options.tolerances)
    outline = Outline(_profile_of(contour), RULES, options.tolerances)
    drawn = numbered(geometric_features(outline))
    zones, thread_findings = find_zones(outline, drawn, contour, options.threads)
    contour, zones, between = split_at_zones(contour, zones, options.tolerances)
    threaded = between | {zone.surface.index for zone in zones} if between else frozenset()
    outline = replace(outline, profile=_profile_of(contour), threaded=threaded)
    features = numbered(geometric_features(outline))
    threads = tuple(thread_of(outline, features, zone) for zone in zones)
    notes = callouts(contour)
    knurls, knurl_findings = find_knurls(outline, features, notes, contour)
    centres, centre_findings = find_centre_holes(outline, notes, contour)
    features = renumbered(with_reliefs(features, threads) + threads + knurls + centres)
    features, standard_findings = with_standards(contour, features)
    unit = text_unit(contour)
    features = with_roughness(outline, features, notes, inch=unit != 1.0)
    _prove(outline, features)
    target, limits, size_findings = target_of(outline, features, contour, between)
    return TurnedPart(
        profile=outline.profile,
        target=target,
        features=features,
        limits=limits,
        material_note=material_in(notes),
        general_tolerance=general_class(notes),
        findings=teeth_findings
        + thread_findings
        + knurl_findings
        + centre_findings
        + standard_findings
        + noted_standards(outline, features, notes, contour)
        + noted_cones(outline, features, notes, contour)
        + overhangs(contour, features)
        + size_findings
        + chamfer_contradictions(outline, features, notes, (contour, unit)),
    )


def _profile_of(contour: Contour) -> Profile:
    if contour.profile is None:
        raise BrokenInvariant("features: no profile; the findings of the contour should have stopped the job")
    return contour.profile


def with_reliefs(features: tuple[Feature, ...], threads: tuple[Thread, ...]) -> tuple[Feature, ...]:
    """The features with the purpose of each groove that relieves a thread."""
    reliefs = {thread.relief for thread in threads}
    return tuple(
        replace(f, purpose="thread relief") if isinstance(f, Groove) and f.id in reliefs else f
        for f in features
    )


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


def renumbered(features: tuple[Feature, ...]) -> tuple[Feature, ...]:
    """Numbered again after overlays were added; threads keep pointing at their relief and chamfer."""
    ordered = numbered(features)
    places = {_same(new): new.id for new in ordered}
    ids = {old.id: places[_same(old)] for old in features if old.id}
    return tuple(
        replace(f, relief=ids.get(f.relief or ""), start_chamfer=ids.get(f.start_chamfer or ""))
        if isinstance(f, Thread)
        else f
        for f in ordered
    )


def _same(feature: Feature) -> tuple[str, tuple[int, ...], float]:
    """What makes a feature one and the same, whatever its id."""
    return feature.kind, feature.segments, feature.z_front


def _place(feature: Feature) -> tuple[bool, float, float, int]:
    first = feature.segments[0] if feature.segments else 0
    z_front, z_back = round(feature.z_front, _DECIMALS), round(feature.z_back, _DECIMALS)
    return (feature.side == "inside", -z_front, -z_back, first)


_DECIMALS = 9  # mm: an arc's bounds may pass its end by the last bit


def _prove(outline: Outline, features: tuple[Feature, ...]) -> None:
    claimed = [index for f in features if f.kind not in OVERLAYS for index in f.segments]
    if sorted(claimed) != sorted(outline.indices):
        raise BrokenInvariant(f"features: segments claimed {sorted(claimed)}, expected {outline.indices}")
