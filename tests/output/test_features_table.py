"""The table of features as a machinist reads it: limits beside sizes, nothing said twice."""

from __future__ import annotations

from dxf2turn.features.model import Thread
from dxf2turn.output.feature_limits import limit_rows, limits_of
from dxf2turn.output.feature_words import extra_notes
from dxf2turn.output.wording import Wording
from dxf2turn.units import Unit
from tests.features.shapes import C, dimension, note, recognised

MM = Wording(Unit.MM)
SHAFT = [C(0, 0), C(0, 20, chamfer=1.5), C(-25, 20), C(-25, 30), C(-60, 30), C(-60, 0)]


def test_limits_stand_beside_the_diameter_they_belong_to() -> None:
    """30 k6: +15/+2 um (ISO 286, S4 in docs/tables.md); the other cylinder has none."""
    part = recognised(SHAFT, None, dimension("⌀30 k6", (-40, 15), (-40, -15)))
    said = [limits_of(part, feature, MM) for feature in part.of_kind("cylinder")]

    assert [text.replace("⌀", "").replace("\u2300", "") for text in said] == ["", "k6 30.002 to 30.015"]


def test_a_thread_shows_crest_and_pitch_diameter() -> None:
    """M20x1.5-6g: 19.732 to 19.968 and 18.854 to 18.994 (ISO 965, TS05 in docs/tables.md)."""
    part = recognised(SHAFT, None, note("M 20 X 1.5 - 6g", (-10, 20), ((-12, 10),)))
    (thread,) = part.of_kind("thread")
    said = limits_of(part, thread, MM).replace("⌀", "").replace("\u2300", "")

    assert isinstance(thread, Thread)
    assert said == "crest 19.732 to 19.968, pitch 18.854 to 18.994"
    assert extra_notes(thread) == "ISO 261 / ISO 965-1"  # the note says what the designation says


def test_all_sizes_with_limits_are_listed_with_their_target() -> None:
    """25 +0.2/0 from the front: between 25 and 25.2, cut to 25.1, by what the drawing says."""
    part = recognised(SHAFT, None, dimension("25 +0.2/0", (0, 15), (-25, 15)))
    (row,) = limit_rows(part, MM)

    assert row == (
        "length 25 +0.2/0", "25.000", "25.000", "25.200", "25.100", "0.000", "-25.000",
        "written on the drawing",
    )  # fmt: skip
