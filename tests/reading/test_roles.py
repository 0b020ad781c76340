"""What a line is for, by its resolved linetype."""

from __future__ import annotations

import pytest

from dxf2turn.reading.model import Role
from dxf2turn.reading.roles import role_of
from tests.reading.builders import document, read_document


@pytest.mark.parametrize(
    ("linetype", "role"),
    [
        ("CONTINUOUS", Role.OUTLINE), ("BYLAYER", Role.OUTLINE), ("", Role.OUTLINE), ("SOLID", Role.OUTLINE),
        ("CENTER", Role.CENTRE), ("CENTER2", Role.CENTRE), ("CENTERX2", Role.CENTRE), ("CENTRE", Role.CENTRE),
        ("DASHDOT", Role.CENTRE), ("DASHDOT2", Role.CENTRE), ("CHAIN", Role.CENTRE),
        ("ACAD_ISO04W100", Role.CENTRE), ("ACAD_ISO08W100", Role.CENTRE), ("ACAD_ISO10W100", Role.CENTRE),
        ("STRICHPUNKT", Role.CENTRE), ("STRICHPUNKT2", Role.CENTRE), ("MITTELLINIE", Role.CENTRE),
        ("JIS_08_15", Role.CENTRE), ("LONG_DASH_DOT", Role.CENTRE), ("AXES", Role.CENTRE),
        ("DASHED", Role.HIDDEN), ("DASHED2", Role.HIDDEN), ("HIDDEN", Role.HIDDEN), ("HIDDENX2", Role.HIDDEN),
        ("DOT", Role.HIDDEN), ("DOT2", Role.HIDDEN), ("ACAD_ISO02W100", Role.HIDDEN),
        ("ACAD_ISO07W100", Role.HIDDEN), ("VERDECKT", Role.HIDDEN), ("JIS_02_2.0", Role.HIDDEN),
        ("PHANTOM", Role.PHANTOM), ("PHANTOM2", Role.PHANTOM), ("DIVIDE", Role.PHANTOM),
        ("ACAD_ISO05W100", Role.PHANTOM), ("ACAD_ISO12W100", Role.PHANTOM), ("STRICHZWEIPUNKT", Role.PHANTOM),
        ("JIS_09_15", Role.PHANTOM), ("BORDER", Role.OTHER), ("ACAD_ISO06W100", Role.OTHER),
    ],
)  # fmt: skip
def test_names(linetype: str, role: Role) -> None:
    """The usual names of linetypes, ISO 128 numbers included, give their roles."""
    assert role_of(linetype, {}) is role


@pytest.mark.parametrize(
    ("pattern", "role"),
    [
        ((), Role.OUTLINE),
        ((5.0, -2.0), Role.HIDDEN),
        ((0.0, -2.0), Role.HIDDEN),
        ((5.0, -2.0, 5.0, -2.0), Role.HIDDEN),
        ((12.0, -2.0, 0.0, -2.0), Role.CENTRE),
        ((12.0, -2.0, 2.0, -2.0), Role.CENTRE),
        ((12.0, -2.0, 2.0, -2.0, 2.0, -2.0), Role.PHANTOM),
        ((12.0, -2.0, 12.0, -2.0, 0.0, -2.0), Role.OTHER),
    ],
)
def test_patterns_of_unknown_names(pattern: tuple[float, ...], role: Role) -> None:
    """A linetype of unknown name is judged by its dashes, gaps and dots."""
    assert role_of("LT_17", {"LT_17": pattern}) is role


def test_linetype_by_layer_and_by_entity() -> None:
    """The layer's linetype counts where the entity has none of its own; the layer's name does not."""
    doc = document()
    doc.layers.add("A", linetype="CENTER")
    doc.layers.add("AXIS")
    doc.modelspace().add_line((0, 0), (1, 0), dxfattribs={"layer": "A"})
    doc.modelspace().add_line((0, 1), (1, 1), dxfattribs={"layer": "A", "linetype": "CONTINUOUS"})
    doc.modelspace().add_line((0, 2), (1, 2), dxfattribs={"layer": "AXIS"})
    doc.modelspace().add_line((0, 3), (1, 3), dxfattribs={"linetype": "DASHED"})

    roles = [c.role for c in read_document(doc).curves]

    assert roles == [Role.CENTRE, Role.OUTLINE, Role.OUTLINE, Role.HIDDEN]
