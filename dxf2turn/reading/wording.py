"""What the stage says: repairs by code, and why some kinds of entity are no use for a turned part."""

from __future__ import annotations

# Repairs of form and of entities: short code -> sentence.
MENDS: dict[str, str] = {
    "doubled-line-ends": "line ends were doubled (CR CR LF) and are read as one",
    "blank-lines": "blank lines before the first section were skipped",
    "decimal-comma": "all numbers are written with a decimal comma and are read so",
    "unusual-number": "numbers with a Fortran exponent or a blank in it are read as meant",
    "no-eof": "the file has no EOF mark, but its last section is complete",
    "section-not-closed": "a section without ENDSEC ends where the next one begins",
    "extra-endsec": "an ENDSEC without a section was skipped",
    "no-seqend": "a POLYLINE or INSERT without SEQEND ends at the next other entity",
    "no-subclass": "entities without subclass markers are read by their group codes",
    "codes-out-of-order": "LINE coordinates in the order x, x, y, y are read by their group codes",
    "repeated-vertex": "a vertex that repeats the one before it draws nothing and was left out",
    "full-arc": "an ARC whose two angles are equal is read as a whole circle",
    "zero-extrusion": "an extrusion direction without length is read as straight up",
    "flattened": "a line that leaves the drawing plane by less than a hundredth of its length was laid flat",
    "spline-rebuilt": "a spline without usable control points is rebuilt from its fit points",
    "frame-rebuilt": "a spline-fit polyline is drawn from the spline of its frame, not from its chords",
    "model-block": "the model space is taken from its block, the ENTITIES section holds none of it",
}

# Kinds that never give an outline or a note: reason, and whether a person should look at it.
ASIDE: dict[str, tuple[str, bool]] = {
    "POINT": ("a point draws no line", False),
    "SOLID": ("a filled area (arrow head, fill)", False),
    "TRACE": ("a filled area", False),
    "3DFACE": ("a face in space, no outline", True),
    "WIPEOUT": ("a mask", False),
    "VIEWPORT": ("a window of the paper space", False),
    "IMAGE": ("a picture", False),
    "OLEFRAME": ("an embedded document", False),
    "OLE2FRAME": ("an embedded document", False),
    "UNDERLAY": ("another file laid under the drawing", True),
    "PDFUNDERLAY": ("a PDF laid under the drawing", True),
    "DWFUNDERLAY": ("another file laid under the drawing", True),
    "DGNUNDERLAY": ("another file laid under the drawing", True),
    "PDFREFERENCE": ("a PDF laid under the drawing", True),
    "DWFREFERENCE": ("another file laid under the drawing", True),
    "3DSOLID": ("a solid body; export a 2D view of it", True),
    "BODY": ("a solid body; export a 2D view of it", True),
    "REGION": ("a region; explode it into lines and arcs", True),
    "SURFACE": ("a surface; export a 2D view of it", True),
    "EXTRUDEDSURFACE": ("a surface; export a 2D view of it", True),
    "LOFTEDSURFACE": ("a surface; export a 2D view of it", True),
    "REVOLVEDSURFACE": ("a surface; export a 2D view of it", True),
    "SWEPTSURFACE": ("a surface; export a 2D view of it", True),
    "PLANESURFACE": ("a surface; export a 2D view of it", True),
    "MESH": ("a surface mesh; export a 2D view of it", True),
    "ACAD_PROXY_ENTITY": ("an object of another program that only it can draw; explode it there", True),
    "HELIX": ("a helix runs through space; draw its outline", True),
    "XLINE": ("an endless construction line", False),
    "RAY": ("an endless construction line", False),
    "MLINE": ("a multiline; explode it into lines", True),
    "SHAPE": ("a symbol from a shape file", False),
    "ACAD_TABLE": ("a table", False),
    "LIGHT": ("a lamp", False),
    "SUN": ("a lamp", False),
    "CAMERA": ("a camera", False),
    "SECTION": ("a section plane", False),
    "SECTIONOBJECT": ("a section plane", False),
    "GEOPOSITIONMARKER": ("a map mark", False),
    "VERTEX": ("a vertex outside a polyline", True),
    "REPEAT": ("an array of a very old drawing", True),
    "ENDREP": ("an array of a very old drawing", False),
}
# Kinds and reasons of what no one misses: marks, fills, frames of texts, and what repeats other entities.
NO_MATTER = frozenset(
    (
        "POINT", "SOLID", "TRACE", "WIPEOUT", "VIEWPORT", "VERTEX", "ATTRIB", "ATTDEF", "TEXT", "MTEXT",
        "in the picture of a dimension", "in a block that is not shown", "holds no text",
    )
)  # fmt: skip
UNKNOWN_KIND = ("an entity of a kind that this program does not know", True)


def counted(number: int, one: str, many: str) -> str:
    """`1 curve is` or `3 curves are`."""
    return f"{number} {one if number == 1 else many}"


def value_name(kind: str, code: int) -> str:
    """What a group code of an entity holds, for people; `value` where that has no short name."""
    return _VALUES.get((kind, code)) or _COORDINATES.get(code, "value")


_VALUES = {
    ("LINE", 11): "end point", ("LINE", 21): "y of its end point",
    ("ARC", 40): "radius", ("CIRCLE", 40): "radius", ("ARC", 50): "start angle", ("ARC", 51): "end angle",
    ("ARC", 10): "centre", ("CIRCLE", 10): "centre", ("ELLIPSE", 10): "centre", ("ELLIPSE", 11): "long axis",
    ("DIMENSION", 13): "first measured point", ("DIMENSION", 14): "second measured point",
    ("INSERT", 10): "place",
}  # fmt: skip
_COORDINATES = {
    10: "first point",
    20: "y of its first point",
    11: "second point",
    21: "y of its second point",
}
