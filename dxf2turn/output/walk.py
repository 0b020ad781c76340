"""The walk through the steps: for each step what is left after it, its path, and its tool where it ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dxf2turn.geometry.point import Point, Vector
from dxf2turn.geometry.segment import Bounds
from dxf2turn.job import Job
from dxf2turn.output import svg
from dxf2turn.output.display import Group, Item, Path, Picture, Run, View, box, polyline
from dxf2turn.output.figure_setup import base_items, setup_view, step_items, stock_items
from dxf2turn.output.polygons import thinned
from dxf2turn.output.travel import cutting
from dxf2turn.planning.model import Setup, Step
from dxf2turn.removal.model import Removal

WIDTH = 1200.0
HEIGHT = 420.0
PIXEL = 0.25  # outlines of what is left are thinned to this, pixels

Rings = tuple[tuple[Point, ...], ...]


@dataclass(frozen=True, slots=True)
class Frame:
    """One picture of the walk: a step of a setup."""

    setup: int
    no: int
    svg: str


def frames(job: Job) -> tuple[Frame, ...]:
    """One frame a step, in order; () without a checked plan."""
    if job.plan is None or job.part is None:
        return ()
    return tuple(
        Frame(setup.no, step.no, svg.inline(_picture(job, setup, step, number), f"s{setup.no}-{step.no}-"))
        for setup in job.plan.setups
        for number, step in enumerate(setup.steps)
    )


def _picture(job: Job, setup: Setup, step: Step, number: int) -> Picture:
    assert job.part is not None
    view, frame = setup_view(job.part, setup, Bounds(0.0, 0.0, WIDTH, HEIGHT))
    rest = left_after(job.removal, setup, step)
    group = Group(
        (
            *(_left(rest, view) if rest is not None else ()),
            *base_items(job.part, setup, view, frame),
            *stock_items(setup, view),
            *step_items(step, view, number),
            *_tool(step, view),
        ),
        name="step",
        clip=frame,
    )
    title = f"setup {setup.no}, step {step.no}: {step.operation}"
    border = Path((box(*frame),), "panel", closed=True)
    return Picture(WIDTH, frame.max_y, (group, border), title, step.why)


def left_after(removal: Removal | None, setup: Setup, step: Step) -> tuple[Rings, ...] | None:
    """Polygons (outer ring, holes) of what is left after a step; None when that was not recorded."""
    for setup_no, step_no, polygons in removal.after if removal is not None else ():
        if (setup_no, step_no) == (setup.no, step.no):
            return polygons
    return None


def _left(polygons: tuple[Rings, ...], view: View) -> Iterator[Item]:
    for rings in polygons:
        runs = tuple(_run(ring, view) for ring in rings)
        yield Path(runs, "left-over", closed=True, title="what is left after this step")


def _run(ring: tuple[Point, ...], view: View) -> Run:
    points = [view.point(point) for point in thinned(ring, PIXEL / view.scale)]
    return polyline(*points, points[0])


def _tool(step: Step, view: View) -> Iterator[Item]:
    """Cutting part and holder of the tool where its last cut ends."""
    cuts = cutting(step)
    if step.tool is None or not cuts:
        return
    to = cuts[-1].end - Point(0.0, 0.0)
    for piece in step.tool.holder:
        yield Path((_moved(piece, to, view),), "holder", closed=True, title="holder")
    yield Path((_moved(step.tool.outline, to, view),), "tool", closed=True, title=step.tool.insert)


def _moved(ring: tuple[Point, ...], by: Vector, view: View) -> Run:
    points = [view.point(point + by) for point in ring]
    return polyline(*points, points[0])
