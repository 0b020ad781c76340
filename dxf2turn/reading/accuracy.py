"""How fine fitted arcs must be in a drawing whose unit is not settled yet.

The tolerance is given in mm of the part, the fit is done in drawing units. The header's unit is wrong in
many real drawings, so the fit is made fine enough for every unit that the drawing may turn out to have.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dxf2turn.options import DrawingOptions
from dxf2turn.reading.damage import Damage
from dxf2turn.reading.file.numbers import real
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.model import Header
from dxf2turn.units import MM_PER_INCH

_MM, _FEET, _METRE = 4, 2, 6  # $INSUNITS
_MM_PER = {_FEET: 304.8, _METRE: 1000.0}
_POINTS = ((10, 11), (20, 21))  # group codes of x and of y
_MANY_POINTS = frozenset(("LWPOLYLINE", "POLYLINE", "SPLINE"))
_SURELY_MM = 50.0  # drawing units: a drawing in mm, by its header, that is larger is none in inches
_MAY_BE_METRES = 10.0  # drawing units: a larger one holds mm or inches, whatever its header says


def drawing_fit(header: Header, records: Sequence[Record], options: DrawingOptions) -> float:
    """Largest distance of fitted arcs, in drawing units."""
    fit = options.tolerances.fit
    if options.units is not None:
        return fit / options.units.mm
    size = _size(records, options.limits.max_coordinate)
    if header.insunits == _MM and size > _SURELY_MM:
        return fit
    if header.insunits in _MM_PER and size < _MAY_BE_METRES:
        return fit / _MM_PER[header.insunits]
    return fit / MM_PER_INCH


def _size(records: Sequence[Record], limit: float) -> float:
    """Extent of the entities' points along x or y, whichever is larger; blocks are left out."""
    extents = []
    for codes in _POINTS:
        values = [value for record in records for value in _values(record, codes, limit)]
        extents.append(max(values) - min(values) if values else 0.0)
    return max(extents)


def _values(record: Record, codes: tuple[int, int], limit: float) -> Iterator[float]:
    """The sound numbers of a record with these codes: all of a polyline or a spline, else the first."""
    if record.kind in _MANY_POINTS:
        texts = [value for code, value in zip(record.codes, record.values) if code in codes]
        texts += [child.fields[codes[0]] for child in record.children if codes[0] in child.fields]
    else:
        texts = [record.fields[code] for code in codes if code in record.fields]
    for text in texts:
        try:
            yield real(text, limit)
        except Damage:
            continue
