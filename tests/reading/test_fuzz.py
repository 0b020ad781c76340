"""Damaged files by the hundred: one documented error or a drawing that keeps its promises, nothing else."""

from __future__ import annotations

import math

import pytest

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.geometry.segment import Arc
from dxf2turn.options import DrawingOptions, Tolerances
from dxf2turn.reading.model import Drawing
from tests.reading.builders import read
from tests.reading.mutants import mutants, seeds

LIMIT = 1e7
COARSE = DrawingOptions(tolerances=Tolerances(fit=0.2))  # the damage is the point here, not the fit


def assert_sound(drawing: Drawing) -> None:
    """The invariants that the model promises."""
    assert drawing.census.total == drawing.census.used + drawing.census.aside
    assert sum(aside.count for aside in drawing.set_aside) == drawing.census.aside
    assert drawing.curves
    for curve in drawing.curves:
        for segment in curve.segments:
            places = (*segment.start, *segment.end)
            assert all(math.isfinite(value) and abs(value) <= LIMIT for value in places)
            assert segment.start != segment.end
            if isinstance(segment, Arc):
                assert segment.radius > 0.0 and math.isfinite(segment.sweep)
        for a, b in zip(curve.segments, curve.segments[1:]):
            assert a.end == b.start or curve.role.value == "hatch"
    for note in drawing.notes:
        note.text.encode()
        assert all(math.isfinite(value) for tip in (note.at, *note.tips) for value in tip)


@pytest.mark.parametrize("index", range(7))
def test_undamaged_seeds_are_read_whole(index: int) -> None:
    """The drawings that the damage is done to are sound and nothing in them is a finding but the fit."""
    drawing = read(seeds()[index])

    assert_sound(drawing)
    assert {f.code for f in drawing.findings} <= {"reading/fitted"}


@pytest.mark.parametrize("seed", range(8))
def test_damaged_files_keep_the_promise(seed: int) -> None:
    """Twenty damaged files a seed: UnreadableDrawing with a printable message, or a sound drawing."""
    for data in mutants(seed, 20):
        try:
            drawing = read(data, COARSE)
        except UnreadableDrawing as error:
            assert str(error).isprintable()
            continue
        assert_sound(drawing)
