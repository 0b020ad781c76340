"""Recall and precision of the recogniser on generated parts: each kind alone, in pairs, and at random.

Run: python tests/bench/features_bench.py
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from dxf2turn.contour.model import Contour  # noqa: E402
from dxf2turn.features.model import Groove  # noqa: E402
from dxf2turn.features.recognise import recognise  # noqa: E402
from dxf2turn.options import DrawingOptions  # noqa: E402
from tests.features.kinds import (  # noqa: E402
    ELEMENTS,
    FACE_ELEMENTS,
    Expected,
    bore_part,
    face_part,
    land,
    outside_part,
)
from tests.features.test_random_features import random_part  # noqa: E402

RANDOM = 1000  # parts of one to five features of random sizes, 4 to 300 mm, either end in front
LANDS = (0.5, 5.0)  # between the two of a pair, mm: narrower than either, and wide
NECK = 30.0  # a step down and a step up nearer than this are a groove, so they stand apart
UPS = ("shoulder", "filleted shoulder", "rounded shoulder", "relief", "undercut E", "undercut F")


@dataclass(frozen=True)
class Score:
    """found: expected and found; missed: expected, not found; extra: found, not expected."""

    found: int
    missed: tuple[Expected, ...]
    extra: tuple[Expected, ...]


def score(contour: Contour, expected: list[Expected]) -> Score:
    """Compare what is recognised with what was drawn, kind, side and groove form."""
    part = recognise(contour, DrawingOptions())
    got = Counter((f.kind, f.side, f.form if isinstance(f, Groove) else "") for f in part.features)
    wanted = Counter(expected)
    hits = got & wanted
    return Score(hits.total(), tuple((wanted - hits).elements()), tuple((got - hits).elements()))


def cases() -> Iterator[tuple[str, Contour, list[Expected]]]:
    """(name, contour, expected) of every case."""
    for name, element in ELEMENTS.items():
        for place, build in (("outside", outside_part), ("bore", bore_part)):
            yield f"{place}: {name}", *build(element)
    for name in FACE_ELEMENTS:
        yield f"face: {name}", *face_part(ELEMENTS[name])
    for first, a in ELEMENTS.items():
        for second, b in ELEMENTS.items():
            for width in LANDS:
                between = land(NECK if first == "step down" and second in UPS else width)
                for place, build in (("outside", outside_part), ("bore", bore_part)):
                    yield f"{place}: {first} + {width} + {second}", *build(_joined(a, between, b))
    for first in FACE_ELEMENTS:
        for second in FACE_ELEMENTS:
            yield f"face: {first} + {second}", *face_part(ELEMENTS[first], ELEMENTS[second])
    for seed in range(RANDOM):
        profile, expected = random_part(random.Random(seed))
        yield f"random part {seed}", Contour(None, profile), expected


def _joined(*elements):  # type: ignore[no-untyped-def]
    def draw(path):  # type: ignore[no-untyped-def]
        for element in elements:
            element(path)

    return draw


def main() -> None:
    """Print recall and precision, and every case that is not perfect."""
    found = missed = extra = count = 0
    for name, contour, expected in cases():
        result = score(contour, expected)
        count += 1
        found, missed, extra = found + result.found, missed + len(result.missed), extra + len(result.extra)
        if result.missed or result.extra:
            print(f"{name}: missed {list(result.missed)}, extra {list(result.extra)}")
    print(f"{count} parts, {found + missed} features expected")
    print(f"recall {found / (found + missed):.4%}, precision {found / (found + extra):.4%}")


if __name__ == "__main__":
    main()
