"""Threads by what is drawn: thin lines, rows of crest lines, layers; on views with both halves."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import pytest

from dxf2turn.features.model import Thread, TurnedPart
from dxf2turn.features.recognise import recognise
from dxf2turn.options import DrawingOptions
from tests.contour.sketch import axis, both, chain, contour
from tests.strokes import Stroke

BOLT = [(0, 0), (0, 9), (-1, 10), (-40, 10), (-40, 15), (-50, 15), (-50, 0)]
VIEW = both(BOLT) + chain([(-1, 10), (-1, -10)]) + chain([(-40, 15), (-40, -15)]) + axis(5, -55)
ROD = [(0, 0), (0, 9), (-1, 10), (-99, 10), (-100, 9), (-100, 0)]
STUD = both(ROD) + chain([(-1, 10), (-1, -10)]) + chain([(-99, 10), (-99, -10)]) + axis(5, -105)


def crests(pitch: float, count: int, rise: float = 0.0, first: float = -4.0) -> list[Stroke]:
    """Lines from border to border, a pitch apart, each further back at its lower end by half a rise."""
    places = [first - i * pitch for i in range(count)]
    return [s for z in places for s in chain([(z, 10), (z - 0.5 * rise, -10)])]


def on_layer(strokes: Iterable[Stroke], layer: str) -> list[Stroke]:
    return [replace(stroke, layer=layer, linetype="CONTINUOUS") for stroke in strokes]


def part_of(strokes: Sequence[Stroke], *options: str) -> TurnedPart:
    wanted = DrawingOptions(threads=options)
    return recognise(contour(strokes, wanted), wanted)


def threads(part: TurnedPart) -> list[Thread]:
    return [f for f in part.features if isinstance(f, Thread)]


def codes(part: TurnedPart) -> list[str]:
    return [f.code for f in part.findings]


# Sizes and pitches: ISO 261 (TS03 in docs/tables.md).
@pytest.mark.parametrize(("pitch", "name"), [(2.5, "M20"), (2.0, "M20x2"), (1.5, "M20x1.5"), (2.54, "M20")])
def test_crest_lines_give_the_thread_of_their_pitch(pitch: float, name: str) -> None:
    """A row of lines over 20 mm is the standard thread whose pitch is their distance, and it is said."""
    part = part_of(VIEW + crests(pitch, 10))
    (thread,) = threads(part)

    assert (thread.designation, thread.source, thread.pitch) == (name, "thin line", round(pitch, 1))
    assert codes(part) == ["features/thread-guessed"]
    assert "no designation was found" in part.findings[0].text


def test_crest_lines_of_no_standard_pitch_are_no_thread() -> None:
    """1.8 mm on 20 mm: the pitches that M20 has are named."""
    part = part_of(VIEW + crests(1.8, 10))

    assert threads(part) == []
    assert codes(part) == ["features/thread-unknown"]
    assert "M20 x2.5, x2, x1.5, x1" in part.findings[0].hint


def test_the_thread_reaches_as_far_as_its_crest_lines() -> None:
    """Six lines from z -4 to -16.5: the thread runs from the chamfer to half a pitch behind the last one."""
    (thread,) = threads(part_of(VIEW + crests(2.5, 6)))

    assert (thread.z_front, thread.z_back) == pytest.approx((-1.0, -17.75))


@pytest.mark.parametrize(("rise", "said"), [(-2.5, False), (2.5, True), (0.0, False)])
def test_the_slant_of_crest_lines_tells_the_hand(rise: float, said: bool) -> None:
    """Coming down to the right, towards the front, is right-hand; the other way is left-hand, and is said."""
    part = part_of(VIEW + crests(2.5, 12, rise))
    (thread,) = threads(part)

    assert thread.hand == "right"
    assert ("left-hand" in part.findings[0].text) == said


def test_crest_lines_and_thin_lines_together() -> None:
    """The root line says how far it reaches, the crest lines which pitch."""
    part = part_of(VIEW + both([(-1, 9.08), (-30, 9.08)]) + crests(1.5, 18, 1.5))
    (thread,) = threads(part)

    assert (thread.designation, thread.z_back) == ("M20x1.5", pytest.approx(-30.0))


def test_a_zigzag_inside_the_outline() -> None:
    """Flanks drawn up and down between crest and root: M20 by their pitch of 2.5."""
    flanks = both([(-2 - 1.25 * i, 10.0 if i % 2 == 0 else 8.2) for i in range(21)])
    (thread,) = threads(part_of(VIEW + flanks))

    assert thread.designation == "M20"


def test_a_stud_drawn_as_one_cylinder_has_a_thread_at_either_end() -> None:
    """Thin lines at both ends of one cylinder of 20 mm: two threads, the shank between them stays."""
    part = part_of(STUD + both([(-1, 8.5), (-30, 8.5)]) + both([(-99, 8.5), (-80, 8.5)]))

    assert [(t.z_front, t.z_back, t.entry) for t in threads(part)] == [
        (pytest.approx(-1), pytest.approx(-30), "front"), (pytest.approx(-80), pytest.approx(-99), "back"),
    ]  # fmt: skip
    shank = [s for s in part.target.segments if s.start.y == s.end.y == 10.0]
    assert [(s.start.x, s.end.x) for s in shank] == [(pytest.approx(-32.5), pytest.approx(-77.5))]


def test_an_end_drawn_like_the_thread_that_is_called_out_is_cut_like_it() -> None:
    """--thread names the front one M20x1.5; the back one has the same lines and is no M20x2.5."""
    lines = both([(-1, 8.5), (-30, 8.5)]) + both([(-99, 8.5), (-80, 8.5)])
    part = part_of(STUD + lines, "M20x1.5-6g@-1..-30")

    assert [t.designation for t in threads(part)] == ["M20x1.5-6g", "M20x1.5-6g"]
    assert "drawn like M20x1.5-6g at z -1 to -30" in part.findings[0].text


@pytest.mark.parametrize("layer", ["THREAD M20x1.5", "M20X1.5-6G", "GEWINDE_M20x1,5"])
def test_a_layer_named_by_a_designation(layer: str) -> None:
    """Its thin lines are the root of that thread."""
    (thread,) = threads(part_of(VIEW + on_layer(both([(-1, 8.5), (-30, 8.5)]), layer)))

    assert (thread.major_diameter_mm, thread.pitch, thread.z_back) == (20.0, 1.5, pytest.approx(-30.0))


def test_a_surface_on_a_layer_named_by_a_designation() -> None:
    """The crest itself lies on that layer; the other diameters do not."""
    crest = both([(-1, 10), (-40, 10)])
    rest = [s for s in VIEW if all(s.segments[0] != own.segments[0] for own in crest)]
    (thread,) = threads(part_of(rest + on_layer(crest, "M20x1.5")))

    assert (thread.designation, thread.z_front, thread.z_back) == ("M20x1.5", -1.0, -40.0)


def test_a_part_on_a_layer_that_is_named_like_a_thread_has_none() -> None:
    """Where all of the outline lies on the layer M20, the name tells of the part, not of one diameter."""
    plain = [s for s in VIEW if s.layer != "AXIS"]
    part = part_of(on_layer(plain, "M20") + axis(5, -55))

    assert threads(part) == [] and part.findings == ()


@pytest.mark.parametrize(
    ("options", "expected"),
    [
        (("M20x1.5@-5..-25",), [("M20x1.5", -5, -25, "right", 1)]),
        (("M20x1,5@-25..-5",), [("M20x1.5", -5, -25, "right", 1)]),
        (("M20x1.5-6g @ -1 .. -30", "M20x1.5-6g-LH @ -70 .. -99"),
         [("M20x1.5-6g", -1, -30, "right", 1), ("M20x1.5-6g-LH", -70, -99, "left", 1)]),
        (("M20xPh3P1.5-6g@-1..-40",), [("M20xPh3P1.5-6g", -1, -40, "right", 2)]),
        (("Tr20x4 LH@-1..-99",), [("Tr20x4-LH", -1, -99, "left", 1)]),
    ],
)  # fmt: skip
def test_options_place_threads(
    options: tuple[str, ...], expected: list[tuple[str, float, float, str, int]]
) -> None:
    """Ranges either way round, several on one cylinder, left hand, several starts."""
    found = threads(part_of(STUD, *options))
    got = [(t.designation, round(t.z_front, 9), round(t.z_back, 9), t.hand, t.starts) for t in found]

    assert got == expected


def test_options_in_inches_and_inside() -> None:
    """1/2-13 UNC on 12.7 mm and G1/4 in a bore of 11.45 mm (ISO 228-1: D1 11.445, S16)."""
    places = [(0, 5.725), (0, 15), (-30, 15), (-30, 6.35), (-60, 6.35), (-60, 0), (-25, 0), (-25, 5.725)]
    part = part_of(chain(places, close=False) + chain([(-25, 5.725), (0, 5.725)]) + axis(5, -65),
                   "1/2-13 UNC-2A@-30..-60", "G1/4@0..-20")  # fmt: skip

    assert [(t.designation, t.side) for t in threads(part)] == [
        ("1/2-13 UNC-2A", "outside"),
        ("G1/4", "inside"),
    ]


def test_an_option_where_no_such_diameter_is() -> None:
    """M20 asked for on the head of 30 mm: both values are said, and no other place is taken."""
    part = part_of(VIEW, "M20x1.5@-42..-50")

    assert threads(part) == []
    assert codes(part) == ["features/thread-unplaced"]
    assert (part.findings[0].measured, part.findings[0].limit) == (30.0, 20.0)


def test_the_root_line_of_an_inside_thread_tells_nothing_of_the_outside() -> None:
    """Half-section of a nut M30x1.5 in a blank of 44 mm: the line at 30 mm lies within the outside, too."""
    cut = [(0, 14.188), (0, 22), (-20, 22), (-20, 14.188)]
    strokes = chain(cut, close=True) + chain([(0, 15), (-20, 15)]) + axis(5, -25)
    part = part_of(strokes)

    assert [(t.designation, t.side) for t in threads(part)] == [("M30x1.5", "inside")]
    assert codes(part) == ["features/thread-guessed"]
