"""The target of randomly toleranced parts: mid-limit sizes, neighbours kept true, a sound contour."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dxf2turn.contour.model import Contour, PlacedNote, Profile
from dxf2turn.features.outline import Outline
from dxf2turn.features.plain import is_chamfer
from dxf2turn.features.recognise import recognise
from dxf2turn.features.rules import RULES
from dxf2turn.geometry import region
from dxf2turn.geometry.path import is_closed
from dxf2turn.geometry.segment import Arc, Line, Segment
from dxf2turn.options import DrawingOptions
from tests.features.kinds import ELEMENTS, Path, bore_part, outside_part, shoulder
from tests.features.shapes import C, dimension, recognised

SEEDS = st.integers(min_value=0, max_value=100_000)
EXACT = 1e-9  # mm and radians: what a few additions of doubles leave
Wanted = list[tuple[str, int, float]]  # "d" or "z", index of the segment, size wanted


def rounded_cone(path: Path) -> None:
    """A taper between two large blends, then a shoulder: what loses its tangents first."""
    lean, radius = math.radians(12.0), 6.0
    reach = radius * math.tan(lean / 2)
    low, rise = path.height, 18.0 * math.tan(lean)
    for kind, along, up, bulge in (
        ("cylinder", 6.0, low, 0.0),
        ("fillet", reach * (1 + math.cos(lean)), low + reach * math.sin(lean), -math.tan(lean / 4)),
        ("taper", 18.0 - reach * (1 + math.cos(lean)), low + rise - reach * math.sin(lean), 0.0),
        ("edge_round", reach * (1 + math.cos(lean)), low + rise, math.tan(lean / 4)),
    ):
        path.arc(kind, along, up, bulge)
    path.line("cylinder", 6.0, path.height)
    shoulder(3.0, fillet=0.8, chamfer=0.5)(path)


def random_part(chosen: random.Random) -> Profile:
    """Up to four elements on a shaft or in a bore, far enough apart to be features of their own."""
    names = [chosen.choice([*ELEMENTS, "rounded cone"]) for _ in range(chosen.randint(1, 4))]
    elements = [ELEMENTS.get(name, rounded_cone) for name in names]
    build = chosen.choice((outside_part, outside_part, bore_part))
    contour, _ = build(*elements)
    assert contour.profile is not None
    return contour.profile


def toleranced(profile: Profile, chosen: random.Random) -> tuple[tuple[PlacedNote, ...], Wanted]:
    """Deviations on about half of the cylinders and a third of the planes, with what is then wanted."""
    notes: list[PlacedNote] = []
    wanted: Wanted = []
    for index in profile.run("outside", "inside", "back"):
        line = profile.segments[index]
        if not isinstance(line, Line):
            continue
        r = max(line.start.y, line.end.y)
        if line.start.y == line.end.y and chosen.random() < 0.5:
            upper = chosen.choice((0.0, 0.01, 0.02, -0.01))
            lower = upper - chosen.choice((0.013, 0.021, 0.05))
            z = 0.5 * (line.start.x + line.end.x)
            notes.append(dimension(f"%%c{2 * r:.6f} {upper:+.3f}/{lower:+.3f}", (z, r), (z, -r)))
            wanted.append(("d", index, 2 * r + 0.5 * (upper + lower)))
        elif line.start.x == line.end.x and chosen.random() < 0.3:
            upper, lower = chosen.choice(((0.1, 0.0), (0.05, -0.05), (0.0, -0.2)))
            text = f"{-line.start.x:.6f} {upper:+.2f}/{lower:+.2f}"
            notes.append(dimension(text, (0.0, r), (line.start.x, r)))
            wanted.append(("z", index, -line.start.x + 0.5 * (upper + lower)))
    return tuple(notes), wanted


def turn_between(a: Segment, b: Segment) -> float:
    into, out = a.tangent_at(1.0), b.tangent_at(0.0)
    return abs(math.atan2(into.cross(out), into.dot(out)))


@settings(derandomize=True, deadline=None, max_examples=150)
@given(SEEDS)
def test_toleranced_sizes_end_in_the_middle_and_all_else_stays_true(seed: int) -> None:
    """Each size mid-limit unless a finding says otherwise; cylinders, planes, chamfers, tangents and radii
    kept; closed to the last bit, simple, as many pieces as before, front at 0."""
    chosen = random.Random(seed)
    profile = random_part(chosen)
    notes, wanted = toleranced(profile, chosen)
    part = recognise(Contour(None, profile, notes=notes), DrawingOptions())
    target = part.target.segments

    assert is_closed(target, 0.0) and region.polygon(target, 0.002).is_valid
    assert len(target) == len(profile.segments)
    assert part.target.bounds.max_x == pytest.approx(0.0, abs=EXACT)
    assert_kept(profile, target)
    if not any(f.code in ("features/over-toleranced", "features/target-impossible") for f in part.findings):
        for what, index, size in wanted:
            start = target[index].start
            assert (2 * start.y if what == "d" else -start.x) == pytest.approx(size, abs=1e-6)


def assert_kept(profile: Profile, target: tuple[Segment, ...]) -> None:
    """Cylinders and planes, chamfers, tangents; radii, but of half-round grooves, which keep their width."""
    outline = Outline(profile, RULES, DrawingOptions().tolerances)
    count = len(target)
    for i, (old, new) in enumerate(zip(profile.segments, target)):
        after = (i + 1) % count
        if turn_between(old, profile.segments[after]) < EXACT:
            assert turn_between(new, target[after]) < 1e-7
        if isinstance(old, Arc) and isinstance(new, Arc):
            half_round = abs(abs(old.sweep) - math.pi) < 0.001
            assert new.radius == pytest.approx(old.radius, abs=0.11 if half_round else EXACT)
            continue
        assert old.start.y != old.end.y or new.start.y == new.end.y
        assert old.start.x != old.end.x or new.start.x == new.end.x
        if is_chamfer(outline, i):
            assert new.end - new.start == pytest.approx(old.end - old.start, abs=EXACT)


def test_fillets_between_a_moved_cylinder_and_a_taper_stay_tangent() -> None:
    """20 +0.4/0 goes to 20.2; the far end of the cone stays: it gets a little flatter, its blends follow.

    By hand: the corners of the cone lie at r 10.1 and 15 over 30 mm, so it leans atan(4.9/30); the blend of
    radius 5 at the cylinder begins 5 tan(lean/2) before the corner at z -20.
    """
    part = recognised([
        C(0, 0), C(0, 20), C(-20, 20, radius=5), C(-50, 30, radius=5), C(-70, 30), C(-70, 0)
    ], None, dimension("%%c20 +0.4/0", (-10, 10), (-10, -10)))  # fmt: skip
    lean = math.atan(4.9 / 30)
    blend, cone = part.target.segments[2], part.target.segments[3]

    assert isinstance(blend, Arc) and blend.radius == pytest.approx(5.0)
    assert blend.start == pytest.approx((-20 + 5 * math.tan(lean / 2), 10.1))
    assert math.atan2(cone.end.y - cone.start.y, cone.start.x - cone.end.x) == pytest.approx(lean)
    assert_kept(part.profile, part.target.segments)


def test_a_cone_that_a_groove_cuts_stays_one_cone() -> None:
    """30 -0.2/-0.4 at the large end: both pieces lie on the line from (-10, 10) to (-50, 14.85)."""

    def r(z: float) -> float:
        return 10 + 5 * (-z - 10) / 40

    part = recognised([
        C(0, 0), C(0, 20), C(-10, 20), C(-28, 2 * r(-28)), C(-28, 20), C(-31, 20), C(-31, 2 * r(-31)),
        C(-50, 30), C(-60, 30), C(-60, 0),
    ], None, dimension("%%c30 -0.2/-0.4", (-55, 15), (-55, -15)))  # fmt: skip

    for place in (part.target.segments[3].start, part.target.segments[5].end):
        assert place.y == pytest.approx(10 + 4.85 * (-place.x - 10) / 40)


def test_a_half_round_groove_takes_the_width_that_its_walls_get() -> None:
    """Walls at -20 +0/-0.2 and -26: 6 wide becomes 5.9 wide, so the floor has 2.95 instead of 3."""
    shaft = [
        C(0, 0), C(0, 40), C(-20, 40), C(-20, 34, bulge=-1.0), C(-26, 34), C(-26, 40), C(-50, 40), C(-50, 0)
    ]  # fmt: skip
    lengths = (dimension("20 +0.2/0", (0, 20), (-20, 20)), dimension("26 ±0.1", (0, 20), (-26, 20)))
    part = recognised(shaft, None, *lengths)
    (floor,) = (s for s in part.target.segments if isinstance(s, Arc))

    assert floor.radius == pytest.approx(2.95)
    assert floor.centre.y == pytest.approx(17.0)


def test_a_vee_groove_moves_with_its_lands() -> None:
    """40 -0.1/-0.3: the lands go to 39.8 and the vee, whose depth nobody toleranced, with them."""
    part = recognised([
        C(0, 0), C(0, 40), C(-20, 40), C(-22, 34), C(-24, 40), C(-50, 40), C(-50, 0)
    ], None, dimension("%%c40 -0.1/-0.3", (-10, 20), (-10, -20)))  # fmt: skip

    assert [(s.start.x, round(2 * s.start.y, 9)) for s in part.target.segments[2:5]] == [
        (-20, 39.8), (-22, 33.8), (-24, 39.8),
    ]  # fmt: skip
