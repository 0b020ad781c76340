"""The smallest turned part as DXF text (R12), with faults on request, for tests of command line and bulk."""

from __future__ import annotations

from collections.abc import Sequence

Pair = tuple[float | str, float | str]

# A pin 20 mm thick and 30 mm long with a chamfer of 1 mm; front at x = 0, axis on y = 0.
PIN: tuple[Pair, ...] = ((0, 0), (0, 9), (-1, 10), (-30, 10), (-30, 0))


def dxf(
    points: Sequence[Pair] = PIN,
    insunits: int | str | None = 4,
    axis: bool = True,
    more: Sequence[Pair] = (),
) -> bytes:
    """Lines from point to point and a centre line, as an R12 file; `more`: a second outline, at x = 200."""
    header = ["0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1009"]
    if insunits is not None:
        header += ["9", "$INSUNITS", "70", str(insunits)]
    lines = [*header, "0", "ENDSEC", "0", "SECTION", "2", "ENTITIES"]
    for start, end in zip(points, points[1:]):
        lines += _line(start, end, "CONTINUOUS")
    if axis:
        lines += _line((-35, 0), (5, 0), "CENTER")
    for start, end in zip(more, more[1:]):
        lines += _line(start, end, "CONTINUOUS")
    if more:
        lines += _line((165, 0), (205, 0), "CENTER")
    return "\n".join([*lines, "0", "ENDSEC", "0", "EOF", ""]).encode("ascii")


def _line(start: Pair, end: Pair, linetype: str) -> list[str]:
    place = ["10", str(start[0]), "20", str(start[1]), "11", str(end[0]), "21", str(end[1])]
    return ["0", "LINE", "8", "0", "6", linetype, *place]
