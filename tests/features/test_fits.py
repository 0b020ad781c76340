"""ISO 286 classes against printed examples, ISO 2768 against its table."""

from __future__ import annotations

import pytest

from dxf2turn.features.fits import fit_limits, it_width
from dxf2turn.features.general import general_edge_limit, general_limit

# (nominal mm, class, upper um, lower um). Source: class tables of the public repository
# georgievm/py-tkinter-iso-fits, commit 61f5370 (S4 in docs/tables.md), and unit tests and read-me examples of
# three more: pressfit 0.1.0 (25 p6), isoFits (29 h7), rf-tolerance (45 H7, 45 k8).
PRINTED = [
    (20, "h6", 0, -13), (25, "g6", -7, -20), (30, "k6", 15, 2), (40, "H7", 25, 0), (10, "H7", 15, 0),
    (12, "h6", 0, -11), (16, "H8", 27, 0), (6, "h6", 0, -8), (8, "f7", -13, -28), (35, "f7", -25, -50),
    (25, "m6", 21, 8), (40, "n6", 33, 17), (50, "p6", 42, 26), (60, "r6", 60, 41), (30, "h9", 0, -52),
    (30, "h11", 0, -130), (100, "h6", 0, -22), (25, "js6", 6.5, -6.5), (20, "F8", 53, 20), (20, "G7", 28, 7),
    (47, "K7", 7, -18), (52, "N7", -9, -39), (62, "P7", -21, -51), (47, "JS7", 12.5, -12.5),
    (80, "H11", 190, 0), (150, "H7", 40, 0), (200, "k6", 33, 4), (30, "d6", -65, -78), (45, "e6", -50, -66),
    (40, "M7", 0, -25), (100, "K7", 10, -25), (25, "p6", 35, 22), (50, "e6", -50, -66),
    (29, "h7", 0, -21), (45, "H7", 25, 0), (45, "k8", 39, 0),
]  # fmt: skip


@pytest.mark.parametrize(("nominal", "name", "upper", "lower"), PRINTED)
def test_classes_as_printed(nominal: float, name: str, upper: float, lower: float) -> None:
    """The deviations equal the printed ones to a tenth of a micrometre."""
    fit = fit_limits(nominal, name)

    assert fit is not None
    assert (fit.upper * 1000, fit.lower * 1000) == pytest.approx((upper, lower), abs=0.1)


def test_ranges_include_their_upper_end() -> None:
    """ISO 286-1: over 18 up to and including 30 mm."""
    assert it_width(18.0, 7) == pytest.approx(0.018)
    assert it_width(18.001, 7) == pytest.approx(0.021)


def test_grades_above_14_are_ten_times_five_grades_below() -> None:
    """IT15 is ten times IT10 (ISO 286-1; the table of S1 lists IT15 as such)."""
    assert it_width(25.0, 15) == pytest.approx(10 * 0.084)


@pytest.mark.parametrize("name", ["h", "6", "w6", "h3", "hh6", "h66"])
def test_what_is_no_class_gives_none(name: str) -> None:
    """Unknown letters and grades are not guessed."""
    assert fit_limits(25.0, name) is None


def test_a_size_outside_the_tables_gives_none() -> None:
    """The tables end at 500 mm."""
    assert fit_limits(501.0, "h6") is None


# ISO 2768-1 table 1, read in rf-tolerance (S2) and a partial copy (S64), see docs/tables.md.
@pytest.mark.parametrize(
    ("size", "tolerance_class", "limit"),
    [
        (2, "f", 0.05),
        (5, "m", 0.1),
        (6, "m", 0.1),
        (20, "m", 0.2),
        (100, "m", 0.3),
        (300, "c", 1.2),
        (20, "v", 1.0),
    ],
)
def test_general_tolerances(size: float, tolerance_class: str, limit: float) -> None:
    """Linear sizes of ISO 2768-1."""
    found = general_limit(size, tolerance_class)

    assert found is not None
    assert found[0] == limit


def test_general_tolerances_of_edges_and_holes_in_the_table() -> None:
    """Radii and chamfers have their own row; class v has no value up to 3 mm."""
    edge = general_edge_limit(1.0, "m")

    assert edge is not None and edge[0] == 0.2
    assert general_limit(2.0, "v") is None
