"""The tag pairs of a text DXF: one pass, every pair in step, the line named where it is not."""

from __future__ import annotations

from collections.abc import Sequence

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.reading.file.numbers import quoted
from dxf2turn.reading.file.sniff import decode_text
from dxf2turn.reading.file.tags import Tags

LEAST_CODE, LARGEST_CODE = -5, 9999
_PADDING = " \t\x00\x1a"  # what old systems fill the rest of a file with
_BACK = 200  # pairs looked back for the entity that a message names


def read_text_tags(data: bytes, name: str) -> Tags:
    """Tags of a text DXF. Raises UnreadableDrawing when it is none or when the pairs fall out of step."""
    decoded = decode_text(data)
    lines = decoded.text.split("\n")
    skipped = 0
    while skipped < len(lines) and not lines[skipped].strip():
        skipped += 1
    if skipped:
        del lines[:skipped]
    _check_start(lines, name)
    end = _end_of_file(lines)
    body = lines[:end] if end else _without_blank_tail(lines)
    codes = _group_codes(body[::2], body, name, skipped)
    values = body[1::2]
    mended = decoded.mended + (("blank-lines",) if skipped else ())
    return Tags(codes[: len(values)], values, skipped + 1, None, mended)


def _check_start(lines: Sequence[str], name: str) -> None:
    """A DXF text starts with `0 SECTION`, comments (999) before it allowed."""
    if len(lines) > 1 and lines[0].strip() in ("0", "999"):
        return
    raise UnreadableDrawing(
        f"{name} is no DXF file: it starts with {quoted(lines[0])} instead of the group code 0 "
        "of a section. Export the drawing as DXF."
    )


def _end_of_file(lines: list[str]) -> int | None:
    """Number of lines up to and with `0 EOF`; what follows is not part of the drawing."""
    start = 0
    while True:
        try:
            at = lines.index("EOF", start)
        except ValueError:
            break
        if at % 2 == 1 and lines[at - 1].strip() == "0":
            return at + 1
        start = at + 1
    # Blanks around the word or lower case: rare, so looked for only among the last lines.
    for at in range(len(lines) - 1, max(0, len(lines) - 50), -1):
        if at % 2 == 1 and lines[at].strip().upper() == "EOF" and lines[at - 1].strip() == "0":
            return at + 1
    return None


def _without_blank_tail(lines: list[str]) -> list[str]:
    """The lines without empty ones at the end, but for one that completes a pair."""
    size = len(lines) - 1 if not lines[-1].strip(_PADDING) else len(lines)
    filled = size
    while filled and not lines[filled - 1].strip(_PADDING):
        filled -= 1
    return lines[: filled + 1] if filled % 2 == 1 and filled < size else lines[:filled]


def _group_codes(column: list[str], body: list[str], name: str, skipped: int) -> list[int]:
    try:
        codes = list(map(int, column))
        in_range = min(codes) >= LEAST_CODE and max(codes) <= LARGEST_CODE and "_" not in "".join(column)
    except ValueError:
        in_range = False
    if not in_range:
        raise _out_of_step(column, body, name, skipped)
    return codes


def _out_of_step(column: list[str], body: list[str], name: str, skipped: int) -> UnreadableDrawing:
    """Name the first line that should be a group code and is none, and the entity it lies in."""
    index = next(index for index, text in enumerate(column) if not _is_code(text))
    line = skipped + 2 * index + 1
    if 2 * index + 1 >= len(body):
        cause = "the file is cut off there"
    else:
        cause = "a line is missing or too many before it, or the file is damaged"
    return UnreadableDrawing(
        f"{name}, line {line}: a group code is expected and {quoted(column[index])} stands there"
        f"{_inside(column, body, index)}; {cause}. Export the drawing again."
    )


def _is_code(text: str) -> bool:
    try:
        return LEAST_CODE <= int(text) <= LARGEST_CODE and "_" not in text
    except ValueError:
        return False


def _inside(column: list[str], body: list[str], index: int) -> str:
    """The entity in which the pairs fell out of step, for the message."""
    for back in range(index - 1, max(-1, index - _BACK), -1):
        kind = body[2 * back + 1].strip()
        if column[back].strip() == "0" and kind[:1].isalpha():
            return f" (in the {quoted(kind)[1:-1]} that starts {2 * (index - back)} lines before)"
    return ""
