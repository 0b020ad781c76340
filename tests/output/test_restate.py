"""Sentences in the unit of the document."""

from __future__ import annotations

import doctest

import pytest

from dxf2turn.output import restate
from dxf2turn.output.restate import restated
from dxf2turn.output.wording import Wording
from dxf2turn.units import Unit


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("diameter 558.8 mm and length 25.4 mm", "diameter 22 inch and length 1 inch"),
        ("4 to 10 mm", "0.1575 to 0.3937 inch"),
        ("0.002 mm2 at z -50.8, diameter 12.7 mm", "0.0000031 in2 at z -2, diameter 0.5 inch"),
        ("12.7 mm3", "0.000775 in3"),
        ("M12 x 1.75 and 1/2-13 UNC-2A", "M12 x 1.75 and 1/2-13 UNC-2A"),
        ("kc 1500 N/mm2, feed 0.2 mm/rev", "kc 1500 N/mm2, feed 0.2 mm/rev"),
        ("chamfer 1 x 45\u00b0", "chamfer 1 x 45\u00b0"),
        ("Z -12 X 18 (R0.1)", "Z -0.4724 X 0.7087 (R0.0039)"),
        ("4.6 times as long as thick", "4.6 times as long as thick"),
    ],
)
def test_lengths_and_places_and_nothing_else_become_inches(text: str, expected: str) -> None:
    """Numbers with a length unit or a place word change, designations and ratios stay."""
    assert restated(text, Wording(Unit.INCH)) == expected


def test_a_metric_document_keeps_the_sentence() -> None:
    """In mm nothing changes."""
    assert restated("0.6 mm at Z -12", Wording(Unit.MM)) == "0.6 mm at Z -12"


def test_the_examples_in_the_docstring_run() -> None:
    """The module's examples are true."""
    assert doctest.testmod(restate).failed == 0
