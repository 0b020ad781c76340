"""The source drawing with the findings on layers of their own. The only user of ezdxf outside reading.

Nothing of a sound drawing is changed; layers, markers and texts are added. Where the library can't read the
source, a new drawing holds the contour and the findings instead.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Iterable
from typing import Any

from dxf2turn.findings import Finding, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Segment
from dxf2turn.job import Job
from dxf2turn.output.finding_rows import worst_first
from dxf2turn.output.model import OutputOptions
from dxf2turn.output.restate import restated
from dxf2turn.output.wording import Wording, sentences
from dxf2turn.reading.model import Curve, Drawing
from dxf2turn.units import Unit

LAYERS = {
    Severity.STOP: ("FINDING_STOP", 1),
    Severity.FIX: ("FINDING_FIX", 30),
    Severity.NOTE: ("FINDING_NOTE", 5),
}
CONTOUR_LAYER = ("FOUND_CONTOUR", 3)
MARK_SHARE = 1.0 / 60.0  # size of a marker over the part's size
SAME_SHARE = 1e-6  # of a coordinate: two readings of one number differ by less
# What reading said about a source that the library reads with other numbers or other entities.
MISREAD = frozenset(
    (
        "reading/decimal-comma",
        "reading/unusual-number",
        "reading/second-differs",
        "reading/second-has-more",
    )
)
LEAST_CODE, LARGEST_CODE = -5, 1071  # group codes, DXF reference
LONGEST_TEXT = 250  # characters of a DXF text, R12
LEAST_MARK = 0.5  # mm
_SILENT = logging.NullHandler()  # the library's remarks are not for the user
BINARY_START = b"AutoCAD Binary DXF"  # sentinel of binary files, DXF reference


def render(job: Job, options: OutputOptions) -> bytes:
    """DXF text of the drawing with its findings, in the version of the source."""
    import ezdxf  # noqa: PLC0415  (slow to load, needed here only)

    logging.getLogger("ezdxf").addHandler(_SILENT)
    kept = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True  # no time stamps: equal input, equal bytes
    try:
        return _marked_source(job) or _written(_marked(job, _new(job)))
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = kept


def _marked_source(job: Job) -> bytes | None:
    """The marked source; None when the library can't read it as our reader did, or can't write it again."""
    said = {item.code for item in (*job.drawing.repairs, *job.drawing.findings)}
    if said & MISREAD:
        return None
    try:
        document = _loaded(job.drawing.data)
        marked = _written(_marked(job, document)) if _agrees(document, job.drawing) else None
        return marked if marked is not None and _in_step(marked) else None
    except Exception:  # the library raises many kinds on damaged files; the answer is always the same
        return None


def _marked(job: Job, document: Any) -> Any:
    """The document with the found contour and the findings added."""
    names = {severity: _layer(document, *LAYERS[severity]) for severity in Severity}
    contour_layer = _layer(document, *CONTOUR_LAYER)
    space, size = document.modelspace(), _mark_size(job)
    for segment in _contour_in_drawing(job):
        _draw(space, segment, {"layer": contour_layer})
    unplaced = 0
    for number, finding in enumerate(worst_first(job.findings), start=1):
        at = finding.where.drawing_xy
        if at is None:
            unplaced += 1
            at = _beside(job, size, unplaced)
        _mark(space, at, size, _words(job, number, finding), names[finding.severity])
    return document


def _loaded(data: bytes) -> Any:
    """The library's document of DXF bytes, text or binary, mended where it can mend."""
    from ezdxf import recover  # noqa: PLC0415
    from ezdxf.document import Drawing as Document  # noqa: PLC0415
    from ezdxf.lldxf.tagger import binary_tags_loader  # noqa: PLC0415

    if data.startswith(BINARY_START):
        data = _written(Document.load(binary_tags_loader(data, errors="surrogateescape")))
    return recover.read(io.BytesIO(data))[0]


def _in_step(data: bytes) -> bool:
    """Whether every second line is a group code: the library writes what it did not understand as it was."""
    return all(LEAST_CODE <= int(code) <= LARGEST_CODE for code in data.split(b"\n")[:-1:2])


def _agrees(document: Any, drawing: Drawing) -> bool:
    """Whether the library has the lines that our reader has, at the same places.

    The library mends damaged files in silence: it can lose entities and change numbers. Lines outside of
    blocks are held against each other, by handle or, in a file without handles, in order.
    """
    space = document.modelspace()
    if drawing.curves and len(space) == 0:
        return False
    lines = [c for c in drawing.curves if c.origin.kind == "LINE" and not c.origin.block]
    theirs = list(space.query("LINE"))
    known = {entity.dxf.handle: entity for entity in theirs}
    if not any(line.origin.handle in known for line in lines):
        return all(_same_start(entity, line) for entity, line in zip(theirs, lines))
    pairs = ((known[line.origin.handle], line) for line in lines if line.origin.handle in known)
    return all(_same_start(entity, line) for entity, line in pairs)


def _same_start(entity: Any, line: Curve) -> bool:
    x, y, _ = entity.dxf.start
    start = line.segments[0].start
    return start.distance(Point(x, y)) <= SAME_SHARE * max(1.0, abs(x), abs(y))


def _new(job: Job) -> Any:
    import ezdxf  # noqa: PLC0415
    from ezdxf import units  # noqa: PLC0415

    document = ezdxf.new("R2000")
    inch = job.clean is not None and job.clean.unit.unit is Unit.INCH
    document.units = units.IN if inch else units.MM
    return document


def _written(document: Any) -> bytes:
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _layer(document: Any, name: str, colour: int) -> str:
    """Add a layer under `name`, or under `name` and a number when the drawing has one of that name."""
    free, number = name, 1
    while free in document.layers:
        number += 1
        free = f"{name}_{number}"
    document.layers.add(free, color=colour)
    return free


def _contour_in_drawing(job: Job) -> Iterable[Segment]:
    """The found contour in drawing coordinates."""
    contour = job.contour
    if contour is None or contour.profile is None or contour.frame is None:
        return ()
    frame = contour.frame
    (zx, zy), (rx, ry) = frame.z_axis, frame.r_axis
    mirrored = zx * ry - zy * rx < 0.0

    def place(point: Point) -> Point:
        z, r = point.x / frame.mm_per_unit, point.y / frame.mm_per_unit
        return Point(frame.origin.x + z * zx + r * rx, frame.origin.y + z * zy + r * ry)

    def moved(segment: Segment) -> Segment:
        start, end = place(segment.start), place(segment.end)
        if isinstance(segment, Arc):
            return Arc(start, end, place(segment.centre), segment.clockwise is not mirrored)
        return type(segment)(start, end)

    return [moved(segment) for segment in contour.profile.segments]


def _draw(space: Any, segment: Segment, look: dict[str, Any]) -> None:
    if isinstance(segment, Arc):
        start, end = (segment.end, segment.start) if segment.clockwise else (segment.start, segment.end)
        space.add_arc(
            tuple(segment.centre),
            segment.radius,
            _degrees(segment.centre, start),
            _degrees(segment.centre, end),
            dxfattribs=look,
        )
    else:
        space.add_line(tuple(segment.start), tuple(segment.end), dxfattribs=look)


def _degrees(centre: Point, point: Point) -> float:
    from math import degrees  # noqa: PLC0415

    return degrees((point - centre).angle)


def _mark(space: Any, at: Point, size: float, words: str, layer: str) -> None:
    """A circle round the place, a leader line and the words."""
    look = {"layer": layer}
    foot = Point(at.x + 0.7071 * size, at.y + 0.7071 * size)
    head = Point(at.x + 2.0 * size, at.y + 2.0 * size)
    space.add_circle(tuple(at), size, dxfattribs=look)
    space.add_line(tuple(foot), tuple(head), dxfattribs=look)
    space.add_text(words, height=0.8 * size, dxfattribs={**look, "insert": tuple(head)})


def _words(job: Job, number: int, finding: Finding) -> str:
    """The sentence beside a marker, in the drawing's own unit."""
    wording = Wording(job.clean.unit.unit if job.clean is not None else Unit.MM)
    sentence = restated(sentences(finding.text, finding.hint), wording)
    return f"{number} {finding.severity.word}: {sentence}"[:LONGEST_TEXT]


def _mark_size(job: Job) -> float:
    """Radius of a marker, drawing units."""
    profile = job.contour.profile if job.contour is not None else None
    per_unit = job.clean.unit.mm_per_unit if job.clean is not None else 1.0
    return max(profile.bounds.size * MARK_SHARE if profile else 0.0, LEAST_MARK) / per_unit


def _beside(job: Job, size: float, number: int) -> Point:
    """A place for a finding that has none: above the contour's origin, one below the other."""
    frame = job.contour.frame if job.contour is not None else None
    origin = frame.origin if frame is not None else Point(0.0, 0.0)
    return Point(origin.x + 10.0 * size, origin.y - (10.0 + 4.0 * number) * size)
