"""Rules on random parts: they never crash, do not depend on the end that is called the front, and agree with
shapely where both can say something."""

from __future__ import annotations

import random
from collections import Counter

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.checks.model import Case
from dxf2turn.checks.run import check_results, run_checks
from dxf2turn.checks.thin_wall import ring_walls
from dxf2turn.contour.model import Contour, Profile
from dxf2turn.features.recognise import recognise
from dxf2turn.findings import Severity
from dxf2turn.geometry.path import reversed_path
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.region import polygon
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import DrawingOptions
from tests.checks.kit import SHOP
from tests.random_parts import random_profile

SEEDS = st.integers(0, 100_000)
SAME_FROM_BOTH_ENDS = (
    "checks/groove-width", "checks/groove-depth", "checks/overhanging-wall", "checks/machine-size",
    "checks/thin-wall", "checks/slenderness", "checks/small-step", "checks/small-chamfer", "checks/rib",
)  # fmt: skip


def case_of(profile: Profile) -> Case:
    """The case of a bare profile."""
    drawn = Contour(None, profile)
    return Case(recognise(drawn, DrawingOptions()), drawn, SHOP)


def turned_round(profile: Profile) -> Profile:
    """The same part with its back as the front."""
    length = profile.length
    swap = {"front": "back", "back": "front"}
    segments = [_mirrored(segment, length) for segment in reversed_path(profile.segments)]
    roles = [swap.get(role, role) for role in reversed(profile.roles)]
    first = next(i for i, role in enumerate(roles) if role == "front")
    while roles[first - 1] == "front":
        first -= 1
    return Profile(tuple(segments[first:] + segments[:first]), tuple(roles[first:] + roles[:first]))


def _mirrored(segment: Segment, length: float) -> Segment:
    def at(p: Point) -> Point:
        return Point(-length - p.x, p.y)

    if isinstance(segment, Arc):
        return Arc(at(segment.start), at(segment.end), at(segment.centre), not segment.clockwise)
    return Line(at(segment.start), at(segment.end))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(SEEDS)
def test_no_rule_crashes(seed: int) -> None:
    """Whatever the part, no rule raises, and every finding says something and has a place."""
    case = case_of(random_profile(random.Random(seed)))
    for result in check_results(case.part, case.contour, case.shop):
        assert result.outcome.value != "crash", result.findings
        for finding in result.findings:
            assert finding.text and finding.where.z is not None and finding.where.r is not None


@settings(max_examples=40, deadline=None, derandomize=True)
@given(SEEDS)
def test_which_end_is_the_front_does_not_matter(seed: int) -> None:
    """Turned end for end a part has the same findings where the rule knows no direction."""
    profile = random_profile(random.Random(seed))
    counts = []
    for way in (profile, turned_round(profile)):
        case = case_of(way)
        found = run_checks(case.part, case.contour, SHOP)
        counts.append(
            Counter(
                (f.code, f.severity, round(f.measured or 0.0, 6))
                for f in found
                if f.code in SAME_FROM_BOTH_ENDS
            )
        )
    assert counts[0] == counts[1]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(SEEDS)
def test_ordinary_parts_have_no_overhang(seed: int) -> None:
    """Random parts are built of upright and open walls only: the rule about overhangs stays silent."""
    case = case_of(random_profile(random.Random(seed)))
    found = run_checks(case.part, case.contour, SHOP)
    assert not [f for f in found if f.code == "checks/overhanging-wall"]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(SEEDS)
def test_walls_agree_with_shapely(seed: int) -> None:
    """Each measured wall is the length that shapely finds on the same radial line."""
    profile = random_profile(random.Random(seed), hole="stepped")
    region = polygon(profile.segments, 1e-5)
    for wall in list(ring_walls(case_of(profile)))[::7]:
        line = shapely.LineString([(wall.z, 0.0), (wall.z, wall.r + 1e-3)])
        assert shapely.intersection(line, region).length == pytest.approx(wall.thickness, abs=2e-3)


def test_stop_findings_name_a_limit() -> None:
    """Whatever stops a job says what was measured against which limit."""
    stops = []
    for seed in range(60):
        case = case_of(random_profile(random.Random(seed)))
        stops += [f for f in run_checks(case.part, case.contour, SHOP) if f.severity is Severity.STOP]
    assert all(f.measured is not None and f.source and f.hint for f in stops)
