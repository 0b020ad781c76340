"""Numbers that the writer formatted in an odd way: decimal commas and Fortran exponents."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.reading.file.numbers import quoted
from dxf2turn.reading.file.tags import Tags

# Group codes that hold real numbers (DXF reference, "Group code value types"; from memory).
_REAL_RANGES = ((10, 59), (110, 149), (210, 239), (460, 469), (1010, 1059))
REAL_CODES = frozenset(code for first, last in _REAL_RANGES for code in range(first, last + 1))
_UNUSUAL = re.compile(r"[dD]|[eE] \d")


def with_points(tags: Tags, drawn: Iterable[range], name: str) -> Tags:
    """The tags with decimal points; refused when only some numbers of the drawing have commas.

    drawn: the ranges of tags that hold the drawing itself (entities and blocks). Tables and header are
    left out of the question, since some writers put fixed texts there; they are converted all the same.
    """
    codes, values = tags.codes, tags.values
    where = [i for run in drawn for i in run if codes[i] in REAL_CODES]
    joined = "\n".join([values[i] for i in where])
    mended = tags.mended + (("unusual-number",) if _UNUSUAL.search(joined) else ())
    if "," not in joined:
        return replace(tags, mended=mended)
    if "." in joined or any(values[i].count(",") > 1 for i in where):
        index = next(i for i in where if "," in values[i])
        raise UnreadableDrawing(
            f"{name}, {tags.place(index)}: {quoted(values[index])} has a comma and other numbers of the "
            "drawing have points, so its value is not clear. Export the drawing with decimal points."
        )
    changed = [value.replace(",", ".") if code in REAL_CODES else value for code, value in zip(codes, values)]
    return replace(tags, values=changed, mended=(*mended, "decimal-comma"))
