"""Features of random sizes, one to five in a row, on watch parts and mill rolls: all found, none invented."""

from __future__ import annotations

import math
import random
from collections import Counter

from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.contour.model import Contour, Profile
from dxf2turn.features.model import Groove
from dxf2turn.features.recognise import recognise
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import DrawingOptions
from tests.features.kinds import (
    Element,
    Expected,
    angled,
    bore_part,
    cone,
    full_round,
    land,
    neck,
    outside_part,
    relief,
    shoulder,
    square,
    step_down,
    undercut_e,
    undercut_f,
    vee,
)

SEEDS = st.integers(min_value=0, max_value=1_000_000)
APART = 45.0  # mm on a shaft of 40: a step down and a step up nearer than this are a groove
UPS = ("shoulder", "relief", "undercut E", "undercut F", "taper")


def random_element(name: str, chosen: random.Random) -> Element:
    """An element for a shaft of 40 mm, its sizes at random within what makes it that element."""
    depth = chosen.uniform(0.8, 4.0)
    width = depth * chosen.uniform(0.5, 3.0)
    fillet = chosen.choice((0.0, 0.15, 0.3)) * min(width, depth)
    lip = chosen.choice((0.0, 0.2)) * min(width, depth)
    rise = chosen.uniform(2.0, 8.0)
    corner = chosen.choice((0.0, 0.15)) * rise
    breaks = chosen.choice((0.0, 0.2)) * rise
    radius = chosen.uniform(0.8, 3.5)
    small = chosen.uniform(0.2, 0.5)
    built = {
        "square": lambda: square(width, depth, fillet, chamfer=lip),
        "rounded square": lambda: square(width, depth, fillet, rounded=lip),
        "vee": lambda: vee(2 * depth * math.tan(math.radians(chosen.uniform(15.0, 48.0))), 90.0),
        "round": lambda: full_round(radius, radius * chosen.choice((chosen.uniform(1.05, 2.5), 0.6, 1.0))),
        "angled": lambda: angled(depth * chosen.uniform(1.8, 3.0), depth, chosen.uniform(15.0, 50.0)),
        "shoulder": lambda: shoulder(rise, fillet=corner, chamfer=breaks),
        "step down": lambda: step_down(
            chosen.uniform(1.5, 3.0), fillet=0.2, chamfer=chosen.choice((0.0, 0.3))
        ),
        "taper": lambda: cone(chosen.uniform(14.0, 40.0), chosen.uniform(0.4, 5.0)),
        "relief": lambda: relief(depth * 3.5, depth * 0.7, depth * 0.4, rise),
        "undercut E": lambda: undercut_e(2.0 * small, small, 9.0 * small, rise),
        "undercut F": lambda: undercut_f(2.0 * small, small, 9.0 * small, 0.6 * small, rise + 6.0 * small),
        "neck": lambda: neck(chosen.uniform(60.0, 110.0), chosen.uniform(1.0, 3.0)),
    }[name]
    return built()


NAMES = (
    "square", "rounded square", "vee", "round", "angled", "shoulder", "step down", "taper", "relief",
    "undercut E", "undercut F", "neck",
)  # fmt: skip


def random_part(chosen: random.Random) -> tuple[Profile, list[Expected]]:
    """One to five elements on a shaft or in a bore, either end in front, 4 to 300 mm in diameter."""
    elements: list[Element] = []
    low = False
    for name in (chosen.choice(NAMES) for _ in range(chosen.randint(1, 5))):
        if low and name in UPS:
            elements.append(land(APART))
            low = False
        low = low or name == "step down"
        elements += [random_element(name, chosen), land(chosen.choice((1.5, 12.0)))]
    contour, expected = chosen.choice((outside_part, bore_part))(*elements)
    assert contour.profile is not None
    profile = scaled(contour.profile, math.exp(chosen.uniform(math.log(0.1), math.log(7.5))))
    return (turned_over(profile) if chosen.random() < 0.5 else profile), expected


def scaled(profile: Profile, by: float) -> Profile:
    return Profile(tuple(_mapped(s, by, 0.0) for s in profile.segments), profile.roles)


def turned_over(profile: Profile) -> Profile:
    """The part end for end: its back becomes the front."""
    segments = tuple(_mapped(s, 1.0, profile.length) for s in reversed(profile.segments))
    swap = {"front": "back", "back": "front"}
    roles = tuple(swap.get(role, role) for role in reversed(profile.roles))
    start = next(i for i, role in enumerate(roles) if role == "front" and roles[i - 1] != "front")
    return Profile(segments[start:] + segments[:start], roles[start:] + roles[:start])


def _mapped(segment: Segment, by: float, length: float) -> Segment:
    """Scaled, or (length > 0) mirrored along z and walked the other way."""

    def place(p: Point) -> Point:
        return Point(-length - p.x, p.y) if length else Point(p.x * by, p.y * by)

    start, end = place(segment.start), place(segment.end)
    start, end = (end, start) if length else (start, end)
    if isinstance(segment, Line):
        return Line(start, end)
    return Arc(start, end, place(segment.centre), segment.clockwise)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(SEEDS)
def test_all_features_are_found_and_none_invented(seed: int) -> None:
    """Kind, side and form of each, whatever the sizes, the neighbours and the end they are seen from."""
    profile, expected = random_part(random.Random(seed))
    part = recognise(Contour(None, profile), DrawingOptions())
    found = Counter((f.kind, f.side, f.form if isinstance(f, Groove) else "") for f in part.features)

    assert found == Counter(expected)
