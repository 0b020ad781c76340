"""Seeded damage: drawings with nasty values, missing and doubled lines, cuts and flipped bytes."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from functools import cache

from tests.reading.builders import block, document, document_bytes, insert, line, raw_dxf

NASTY = (
    "", "0", "-1", "nan", "inf", "-inf", "1e400", "1e15", "1e7", "-1e7", "1e-320", "99999999999", "1,5",
    "SECTION", "ENDSEC", "EOF", "LINE", "POLYLINE", "SPLINE", "B", "OUTER",
    "\x00", "\ud7ff", "{", "\\S1^2", "%%", "1.0D5",
)  # fmt: skip


@cache
def seeds() -> tuple[bytes, ...]:
    """One drawing a version with every kind of entity that is read, and a small one by hand."""
    made = [_small()]
    for version in ("R12", "R2000", "R2010"):
        doc = _everything(version)
        made += [document_bytes(doc), document_bytes(doc, binary=True)]
    return tuple(made)


def _small() -> bytes:
    entities = [*line(0, 0, 10, 0), *insert("B", 1, 1, (41, 2), (50, 30)), *insert("OUTER")]
    blocks = [*block("B", line(0, 0, 1, 1)), *block("OUTER", insert("B"))]
    return raw_dxf(entities, blocks=blocks)


def _everything(version: str):  # noqa: ANN202 - a document of the library
    doc = document(version)
    msp = doc.modelspace()
    msp.add_line((0, 0), (10, 0), dxfattribs={"linetype": "CENTER"})
    msp.add_arc((0, 0), 5, 10, 170)
    msp.add_circle((3, 3), 2, dxfattribs={"extrusion": (0, 0, -1)})
    msp.add_polyline2d([(0, 0, 0.3), (5, 5, 0), (9, 1, -1)], format="xyb", close=True)
    content = doc.blocks.new("B")
    content.add_line((0, 0), (1, 1))
    content.add_arc((0, 0), 1, 0, 90)
    doc.blocks.new("OUTER").add_blockref("B", (1, 0), dxfattribs={"xscale": 2, "rotation": 33})
    msp.add_blockref("OUTER", (5, 5), dxfattribs={"row_count": 2, "column_count": 2}).add_attrib(
        "T", "x", (1, 1)
    )
    msp.add_text("%%c20 h6", height=2).set_placement((1, 1))
    if version != "R12":
        msp.add_lwpolyline([(0, 0, 0.5), (4, 4, 0), (8, 0, 0)], format="xyb")
        msp.add_ellipse((0, 0), (5, 1), 0.4, 0.3, 4.0)
        msp.add_spline([(0, 0), (3, 4), (8, 2)])
        msp.add_open_spline([(0, 0), (3, 4), (8, 2), (9, 9)])
        msp.add_mtext("{\\fArial;M20}\\S+0.1^-0.2;")
        msp.add_leader([(0, 0), (5, 5)])
        path = msp.add_hatch().paths.add_edge_path()
        path.add_line((0, 0), (5, 0))
        path.add_arc((0, 0), 5, 0, 90)
        path.add_ellipse((0, 0), (5, 0), 0.5, 0, 90)
        msp.add_xline((0, 0), (1, 0), dxfattribs={"linetype": "CENTER"})
    doc.dimstyles.new("PLAIN")
    msp.add_linear_dim((0, 9), (0, 0), (10, 0), dimstyle="PLAIN").render()
    return doc


def mutants(seed: int, count: int, bases: Sequence[bytes] = ()) -> Iterator[bytes]:
    """`count` damaged files of `bases` (none = `seeds()`), the same for the same seed."""
    rng = random.Random(seed)
    for _ in range(count):
        data = rng.choice(bases or seeds())
        yield (
            _damaged_bytes(data, rng)
            if b"Binary" in data[:22] or rng.random() < 0.1
            else _damaged_lines(data, rng)
        )


def _damaged_bytes(data: bytes, rng: random.Random) -> bytes:
    damaged = bytearray(data)
    for _ in range(rng.randint(1, 12)):
        at = rng.randrange(len(damaged))
        damaged[at] = rng.choice((0, 255, 128, 10, rng.randrange(256)))
    if rng.random() < 0.1:
        del damaged[rng.randrange(len(damaged)) :]
    return bytes(damaged)


def _damaged_lines(data: bytes, rng: random.Random) -> bytes:
    lines = data.decode().splitlines()
    # Mostly behind the tables, where the drawing itself is.
    first = lines.index("BLOCKS") if rng.random() < 0.9 else 0
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(first, len(lines) - 6)
        action = rng.random()
        if action < 0.6:
            lines[at | 1] = rng.choice(NASTY)
        elif action < 0.7:
            del lines[at : at + rng.choice((1, 2, 2, 4))]
        elif action < 0.8:
            size = rng.choice((2, 8, 40))
            at -= at % 2
            lines[at:at] = lines[at : at + size]
        elif action < 0.9:
            lines[at - at % 2] = str(rng.choice((0, 10, 11, 20, 40, 42, 66, 70, 91, 93, 97, 100, 330)))
        else:
            other = rng.randrange(first, len(lines) - 6)
            lines[at | 1], lines[other | 1] = lines[other | 1], lines[at | 1]
    if rng.random() < 0.03:
        del lines[rng.randrange(first, len(lines)) :]
    return "\n".join(lines).encode("utf-8", "replace")
