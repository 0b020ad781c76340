"""Properties of recognition and of the target on random parts."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.contour.model import Contour, PlacedNote, Profile
from dxf2turn.features.model import Groove, TurnedPart
from dxf2turn.features.recognise import OVERLAYS, recognise
from dxf2turn.geometry import region
from dxf2turn.geometry.path import is_closed
from dxf2turn.geometry.segment import Line
from dxf2turn.options import DrawingOptions
from tests.features.shapes import dimension
from tests.random_parts import random_profile

SEEDS = st.integers(min_value=0, max_value=10_000)


def cylinders(profile: Profile) -> list[int]:
    return [
        index
        for index in profile.run("outside", "inside")
        if isinstance(s := profile.segments[index], Line) and s.start.y == s.end.y
    ]


def toleranced(profile: Profile, seed: int) -> list[PlacedNote]:
    """A few fits on random cylinders."""
    chosen = random.Random(seed)
    notes = []
    for index in cylinders(profile):
        if chosen.random() < 0.5:
            line = profile.segments[index]
            middle, r = 0.5 * (line.start.x + line.end.x), line.start.y
            name = chosen.choice(("h6", "k6", "f7", "H7", "js7"))
            notes.append(dimension(f"⌀{2 * r:.3f} {name}", (middle, r), (middle, -r)))
    return notes


def part_of(profile: Profile, notes: list[PlacedNote]) -> TurnedPart:
    return recognise(Contour(None, profile, notes=tuple(notes)), DrawingOptions())


@settings(derandomize=True, deadline=None, max_examples=60)
@given(SEEDS)
def test_every_piece_belongs_to_exactly_one_feature(seed: int) -> None:
    """Overlays apart, the features list each surface piece once, and nothing on the axis."""
    part = part_of(random_profile(random.Random(seed)), [])

    claimed = sorted(i for f in part.features if f.kind not in OVERLAYS for i in f.segments)
    assert claimed == sorted(part.profile.run("front", "outside", "back", "inside"))
    assert part.target is part.profile


@settings(derandomize=True, deadline=None, max_examples=60)
@given(SEEDS)
def test_targets_are_sound_and_close_to_the_limits(seed: int) -> None:
    """Closed to the last bit, simple, front at 0, same pieces; each size in the middle of its limits."""
    profile = random_profile(random.Random(seed))
    part = part_of(profile, toleranced(profile, seed))
    target = part.target

    assert is_closed(target.segments, 0.0)
    assert region.polygon(target.segments, 0.01).is_valid
    assert target.roles == part.profile.roles
    assert [type(s) for s in target.segments] == [type(s) for s in part.profile.segments]
    assert abs(target.bounds.max_x) <= 1e-9 and target.bounds.min_y >= 0.0
    if not part.findings:
        for limit in part.limits:
            radii = [target.segments[i].start.y for i in cylinders(part.profile)]
            assert min(abs(2.0 * r - limit.middle) for r in radii) < 1e-6


@settings(derandomize=True, deadline=None, max_examples=60)
@given(SEEDS)
def test_grooves_keep_their_promises(seed: int) -> None:
    """Depth and width are positive, the mouth lies on the profile's height, the floor below it."""
    for groove in part_of(random_profile(random.Random(seed)), []).of_kind("groove"):
        assert isinstance(groove, Groove)
        assert groove.depth > 0.0 and groove.width > 0.0
        assert groove.mouth is not None
        if groove.opens == "out":
            assert groove.floor_radius < min(point.y for point in groove.mouth)
