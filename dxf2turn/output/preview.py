"""The preview: a page with the part as a drawing and one picture for each setup, 1600 pixels wide."""

from __future__ import annotations

from dxf2turn.features.model import TurnedPart
from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Bounds
from dxf2turn.job import Job
from dxf2turn.output.display import Group, Item, Path, Picture, Text, View, box
from dxf2turn.output.figure_labels import (
    MOST_FINDINGS,
    balloons,
    bounds_on_page,
    diameters,
    in_half,
    mark,
    marks,
    running_z,
    stations,
)
from dxf2turn.output.figure_part import part_items
from dxf2turn.output.figure_setup import base_items, setup_view, stock_items, travel_items, unreached_items
from dxf2turn.output.finding_rows import finding_rows, worst_first
from dxf2turn.output.legend import Entry, columns, wrapped
from dxf2turn.output.model import OutputOptions, unit_for
from dxf2turn.output.rows import feature_rows
from dxf2turn.output.setup_rows import setup_row
from dxf2turn.output.sheet import sheet_panel
from dxf2turn.output.styles import step_index
from dxf2turn.output.summary import part_lines, plan_line, verdict_line, verdict_style
from dxf2turn.output.wording import Wording, duration, one_line
from dxf2turn.planning.model import Plan, Setup, Step

WIDTH = 1600.0
MARGIN = 30.0
PART_HEIGHT = 520.0  # most that the part may take, pixels
SETUP_HEIGHT = 420.0
BALLOON_ROOM = 80.0  # above the part, for balloons and flags
MOST_LISTED = 80  # features under the picture; the setup sheet has all
SIDE_ROOM = 60.0  # left and right of the part, for axis and labels
Panel = tuple[tuple[Item, ...], float]  # items and the page height where the panel ends


def display(job: Job, options: OutputOptions) -> Picture:
    """The preview of a job, as far as it got."""
    w = Wording(unit_for(job, options))
    items, y = _header(job, w)
    for panel_of in (part_panel, finding_panel):
        panel = panel_of(job, w, y)
        items, y = items + panel[0], panel[1]
    if job.plan is not None and job.part is not None:
        for setup in job.plan.setups:
            panel = setup_panel(job.part, job.plan, setup, w, y)
            items, y = items + panel[0], panel[1]
    return _page(job, items, y, "preview")


def features_display(job: Job, options: OutputOptions) -> Picture:
    """The recognised part with its labels; where no part was found, what is on the sheet."""
    w = Wording(unit_for(job, options))
    items, y = _header(job, w)
    found, y = part_panel(job, w, y)
    several = job.contour is not None and len(job.contour.candidates) > 1
    sheet, y = sheet_panel(job, w, MARGIN, y, WIDTH - 2 * MARGIN) if several or job.part is None else ((), y)
    said, y = finding_panel(job, w, y)
    return _page(job, items + found + sheet + said, y, "features")


def part_picture(job: Job, options: OutputOptions) -> Picture:
    """The part alone, with its labels and lists, for the report."""
    items, height = part_panel(job, Wording(unit_for(job, options)), 0.0)
    return Picture(WIDTH, height, items, f"{one_line(job.drawing.file)}: the part", plan_line(job))


def _page(job: Job, items: tuple[Item, ...], height: float, what: str) -> Picture:
    height = height + MARGIN / 2
    ground = Path((box(0.0, 0.0, WIDTH, height),), "paper", closed=True)
    words = f"{one_line(job.drawing.file)}: {what}"
    return Picture(WIDTH, height, (ground, *items), words, plan_line(job))


def _header(job: Job, w: Wording) -> Panel:
    """Name, size, unit and verdict."""
    y = MARGIN + 18.0
    items: list[Item] = [Text(Point(MARGIN, y), one_line(job.drawing.file), "title")]
    for line in part_lines(job, w):
        y += 24.0
        items.append(Text(Point(MARGIN, y), line, "text"))
    if job.plan is not None:
        material = f"{job.plan.material.name}, {job.plan.machine.name}"
        right = [(material, "text"), (plan_line(job).split(": ")[-1], "text")]
        right.append((verdict_line(job, w), verdict_style(job)))
        for index, (line, style) in enumerate(right):
            items.append(Text(Point(WIDTH - MARGIN, MARGIN + 18.0 + 24.0 * index), line, style, "end"))
        y = max(y, MARGIN + 66.0)
    return tuple(items), y + 22.0


def part_panel(job: Job, w: Wording, top: float) -> Panel:
    """The part with balloons, dimensions and marks, and the list of features under it."""
    part = job.part
    if part is None:
        return (), top
    findings = worst_first(job.findings, MOST_FINDINGS)
    inside = bool(in_half(part, inside=True))
    view, bottom = _part_view(part, top + BALLOON_ROOM)
    span = (MARGIN + 20.0, WIDTH - MARGIN - 20.0)
    edge = bottom + (66.0 if inside else 0.0)
    items: list[Item] = [*part_items(part, view), *diameters(part, view, w)]
    items += running_z(stations(part.profile.segments), view, edge + 4.0, span, w)
    items += balloons(part, view, top + 22.0, False, span)
    items += balloons(part, view, bottom + 44.0, True, span)
    items += marks(part, findings, view)
    bottom = edge + 104.0
    items.append(Text(Point(MARGIN, bottom), f"Z from the front face, {w.unit_word}", "tiny"))
    rows = feature_rows(job, w)
    entries = [Entry(", ".join(filter(None, (r.words, r.limits, r.notes))), r.id) for r in rows[:MOST_LISTED]]
    if len(rows) > MOST_LISTED:
        entries.append(Entry(f"and {len(rows) - MOST_LISTED} more, in the setup sheet"))
    listed, height = columns(entries, Point(MARGIN, bottom + 8.0), WIDTH - 2 * MARGIN, 380.0)
    return (*items, *listed), bottom + 8.0 + height


def _part_view(part: TurnedPart, top: float) -> tuple[View, float]:
    """The view of both halves below `top`, centred on the page, and the page height where the part ends."""
    bounds = part.profile.bounds
    room = WIDTH - 2 * (MARGIN + SIDE_ROOM)
    scale = min(room / (bounds.max_x - bounds.min_x), PART_HEIGHT / (2.0 * bounds.max_y))
    left = 0.5 * (WIDTH - scale * (bounds.max_x - bounds.min_x))
    view = View(scale, Point(left - scale * bounds.min_x, top + scale * bounds.max_y))
    return view, bounds_on_page(view, bounds).max_y


def finding_panel(job: Job, w: Wording, top: float) -> Panel:
    """The findings, worst first, with their flags."""
    ordered = worst_first(job.findings, MOST_FINDINGS)
    items: list[Item] = []
    y = top + 6.0
    for number, (finding, row) in enumerate(zip(ordered, finding_rows(ordered, w)), start=1):
        entry = Entry(f"{row.severity}: {row.text}" + (f" ({row.place})" if row.place else ""))
        listed, height = columns([entry], Point(MARGIN + 30.0, y), WIDTH - 2 * MARGIN - 30.0, 1500.0)
        items += [mark(Point(MARGIN + 12.0, y + 16.0), number, finding), *listed]
        y += height
    hidden = len(job.findings) - len(ordered)
    if hidden:
        items.append(
            Text(Point(MARGIN, y + 16.0), f"and {hidden} more findings, in the setup sheet", "small")
        )
        y += 24.0
    return tuple(items), y + 6.0 if ordered else top


def setup_panel(part: TurnedPart, plan: Plan, setup: Setup, w: Wording, top: float) -> Panel:
    """One setup: heading, picture, list of steps."""
    about = setup_row(plan, setup, w)
    heading = Text(Point(MARGIN, top + 24.0), about.title, "heading")
    held = f"Stock {about.stock}. Grip: {about.grip}. Support: {about.support.split(',')[0]}."
    told = held + (f" First: {about.prepare}." if about.prepare else "")
    lines = [
        Text(Point(MARGIN, top + 46.0 + 18.0 * number), words, "small")
        for number, words in enumerate(wrapped(told, WIDTH - 2 * MARGIN))
    ]
    above = top + 40.0 + 18.0 * len(lines)
    room = Bounds(MARGIN, above, WIDTH - MARGIN, above + SETUP_HEIGHT)
    view, frame = setup_view(part, setup, room)
    picture = (
        *base_items(part, setup, view, frame),
        *stock_items(setup, view),
        *travel_items(setup.steps, view),
    )
    picture += tuple(unreached_items(plan, setup, part.target.length, view))
    drawing = Group(picture, name=f"setup-{setup.no}", clip=frame)
    border = Path((box(*frame),), "panel", closed=True)
    key = [Entry("feed", swatch="edge"), Entry("rapid", swatch="rapid-0"), Entry("stock", swatch="stock")]
    keys, used = columns(key, Point(MARGIN, frame.max_y + 2.0), 480.0, 160.0)
    steps, height = columns(step_entries(setup), Point(MARGIN, frame.max_y + used), WIDTH - 2 * MARGIN, 380.0)
    return (heading, *lines, drawing, border, *keys, *steps), frame.max_y + used + height + 8.0


def _time(step: Step) -> str:
    """The time of a step, never broken between number and unit."""
    return duration(step.cut_time_s + step.rapid_time_s).replace(" ", "\u00a0")


def step_entries(setup: Setup) -> list[Entry]:
    """The list of a setup's steps, each with its line."""
    return [
        Entry(
            f"{step.no} {step.operation}" + (f", {step.tool.id}, {_time(step)}" if step.tool else ""),
            swatch=f"feed-{step_index(number)}" if step.moves else "",
        )
        for number, step in enumerate(setup.steps)
    ]
