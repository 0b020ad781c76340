"""Stock, grip and tools of each setup, worded: what the person at the lathe sets up before the first cut."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.output.restate import restated
from dxf2turn.output.travel import setup_bounds
from dxf2turn.output.wording import Wording, degrees, duration, one_line
from dxf2turn.planning.model import Plan, Setup
from dxf2turn.shop.model import Tool

INSIDE_KINDS = ("boring", "inside grooving", "inside threading")
ON_THE_AXIS = ("centre drill", "drill", "reamer", "tap")


@dataclass(frozen=True, slots=True)
class ToolRow:
    """One tool: what it is, which point is programmed, how it is touched off."""

    id: str
    kind: str
    insert: str
    holder: str
    nose_radius: str
    width: str
    controlled: str
    touch_x: str
    touch_z: str
    steps: str
    note: str


@dataclass(frozen=True, slots=True)
class SetupRow:
    """One clamping. prepare: what is done first, "" when there is nothing to say."""

    no: str
    title: str
    stock: str
    grip: str
    prepare: str
    support: str
    datum: str
    tool_change: str


def setup_row(plan: Plan, setup: Setup, w: Wording) -> SetupRow:
    """Stock, grip, support, datum and tool-change point of a setup."""
    box = setup_bounds(setup)
    size = f"{w.diameter(box.max_y)} x {w.size(box.max_x - box.min_x)}"
    size += f", bore {w.diameter(box.min_y)}" if box.min_y > 0.0 else ""
    first = setup is plan.setups[0]
    grip = restated(one_line(setup.grip), w) or "as the shop does"
    if setup.grip_length:
        grip += f", {w.size(setup.grip_length)} long on {w.diameter(setup.grip_radius)}"
    return SetupRow(
        no=str(setup.no),
        title=_title(plan, setup),
        stock=f"{stock_words(plan, w)} ({size})" if first else f"as setup {setup.no - 1} left it ({size})",
        grip=grip,
        prepare=restated(one_line(setup.prepare), w),
        support=_support(setup, w),
        datum=f"Z 0 = finished face of this end; raw face at Z {w.length(box.max_x)}",
        tool_change=f"X {w.x(setup.tool_change.y)} Z {w.length(setup.tool_change.x)}",
    )


def _support(setup: Setup, w: Wording) -> str:
    """The supports and where they stand."""
    steadies = [ring for ring in setup.supports if min(point.y for point in ring) > 0.0]
    point = next((ring for ring in setup.supports if ring not in steadies), None)
    words = []
    if point is not None:
        nose, tip = max(p.y for p in point), min(p.x for p in point)
        words.append(
            f"tailstock, live centre with a nose of {w.diameter(nose)}, its point at Z {w.length(tip)}"
        )
    for ring in steadies:
        low, high = min(p.x for p in ring), max(p.x for p in ring)
        words.append(
            f"steady on {w.diameter(min(p.y for p in ring))}, from Z {w.length(high)} to {w.length(low)}"
        )
    return "; ".join(words) or setup.support


def _title(plan: Plan, setup: Setup) -> str:
    """Number, and which end stands out of the chuck where that is not the drawn front in a single setup."""
    if len(plan.setups) == 1 and not setup.flipped:
        return f"Setup {setup.no}"
    end = "back end as drawn, the part turned end for end" if setup.flipped else "front end as drawn"
    return f"Setup {setup.no}: {end}"


def stock_words(plan: Plan, w: Wording) -> str:
    """The stock without the reason for it (which the job's list gives)."""
    return restated(one_line(plan.stock_text).split(":")[0], w)


def alternative_lines(plan: Plan, w: Wording) -> tuple[str, ...]:
    """The ways that were worked out, each with its time."""
    return tuple(f"{restated(one_line(way), w)}: {duration(seconds)}" for way, seconds in plan.alternatives)


def tool_rows(setup: Setup, w: Wording) -> tuple[ToolRow, ...]:
    """The tools of a setup in the order of first use."""
    used: dict[str, list[int]] = {}
    tools: dict[str, Tool] = {}
    for step in setup.steps:
        if step.tool is not None:
            tools.setdefault(step.tool.id, step.tool)
            used.setdefault(step.tool.id, []).append(step.no)
    return tuple(_tool_row(setup, tools[name], steps, w) for name, steps in used.items())


def _tool_row(setup: Setup, tool: Tool, steps: list[int], w: Wording) -> ToolRow:
    holder = [f"style {tool.holder_style}"] if tool.holder_style else []
    if tool.cutting_edge_angle is not None:
        holder.append(f"edge {degrees(tool.cutting_edge_angle)}")
    size = tool.width if tool.width is not None else tool.diameter_mm
    touch_x, touch_z = _touch_off(setup, tool, steps[0], w)
    return ToolRow(
        id=tool.id,
        kind=f"{tool.kind}, {tool.hand} hand" if tool.hand != "neutral" else tool.kind,
        insert=one_line(tool.insert),
        holder=", ".join(holder),
        nose_radius=w.length(tool.nose_radius) if tool.nose_radius else "",
        width=w.length(size) if size else "",
        controlled=tool.controlled,
        touch_x=touch_x,
        touch_z=touch_z,
        steps=", ".join(str(no) for no in steps),
        note=one_line(tool.note),
    )


def _touch_off(setup: Setup, tool: Tool, first_step: int, w: Wording) -> tuple[str, str]:
    """What to touch and which value to set there, for X and for Z.

    The tool that faces touches the raw face; all later ones the finished face. Outside tools take X from the
    raw diameter (measure it first), tools on the axis are at X 0, inside tools take X from the bore as made.
    """
    box = setup_bounds(setup)
    facing = next((step.no for step in setup.steps if step.operation == "face"), None)
    faced = facing is not None and first_step > facing
    face = f"finished face: Z {w.length(0.0)}" if faced else f"raw face: Z {w.length(box.max_x)}"
    if tool.kind in ON_THE_AXIS:
        return f"on the axis: X {w.length(0.0)}", face
    if tool.kind in INSIDE_KINDS:
        drilled = any(step.operation == "drill" for step in setup.steps)
        bore = "bore as drilled" if drilled or not box.min_y else "bore as it is"
        return f"{bore}: X = its measured diameter", face
    return f"raw diameter, measured (nominal X {w.x(box.max_y)})", face
