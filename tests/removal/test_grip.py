"""What is never held: threads, grooves and tapers, in the bore as outside."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from dxf2turn.features.model import Feature, Groove, Taper, Thread
from dxf2turn.removal.verify import verify
from tests.removal.document import document
from tests.removal.plans import held_in_bore, two_sided
from tests.replay import replay

PLACE = {"z_front": -5.0, "z_back": -25.0, "r_small": 10.0, "r_large": 10.0}
SPOILT = (
    Taper(id="F9", side="inside", half_angle=0.0, ratio=0.0, **PLACE),
    Groove(id="F9", side="inside", width=20.0, depth=1.0, floor_radius=10.0, form="square", **PLACE),
    Thread(
        id="F9", side="inside", designation="M21x1", family="M", major_diameter_mm=21.0, pitch=1.0,
        minor_diameter_mm=20.0, pitch_diameter_mm=20.35, form_angle=math.radians(60.0), **PLACE,
    ),
)  # fmt: skip


def _grip_texts(part, plan) -> list[str]:
    return [t.text for t in verify(part, plan).troubles if t.kind == "grip"]


@pytest.mark.parametrize("feature", SPOILT, ids=lambda f: f.kind)
def test_jaws_in_a_bore_never_lie_on(feature: Feature) -> None:
    """The same jaws that hold a plain bore well are refused where the drawing has something else there."""
    part, plan = held_in_bore()
    spoilt = replace(part, features=(feature,))

    assert not _grip_texts(part, plan)
    assert any(f"lies on the {feature.kind} F9" in text for text in _grip_texts(spoilt, plan))
    found = replay(document(spoilt, plan))["troubles"]
    assert any(t["kind"] == "grip" and feature.kind in t["text"] for t in found)


@pytest.mark.parametrize("feature", SPOILT[:2], ids=lambda f: f.kind)
def test_a_feature_of_the_other_side_does_not_count(feature: Feature) -> None:
    """A groove outside, over the same length, does not spoil the bore."""
    part, plan = held_in_bore()
    other = replace(part, features=(replace(feature, side="outside", r_small=15.0, r_large=15.0),))

    assert verify(other, plan).ok and replay(document(other, plan))["ok"]


@pytest.mark.parametrize("kind", ["taper", "groove"])
def test_jaws_outside_never_lie_on(kind: str) -> None:
    """The front of the shaft with a collar is held at last: a groove or a taper there is refused."""
    part, plan = two_sided()
    base = next(f for f in SPOILT if f.kind == kind)
    feature = replace(base, side="outside", z_front=-2.0, z_back=-15.0, r_small=8.0, r_large=8.0)
    spoilt = replace(part, features=(feature,))

    assert not _grip_texts(part, plan)
    assert _grip_texts(spoilt, plan)
    assert any(t["kind"] == "grip" for t in replay(document(spoilt, plan))["troubles"])
