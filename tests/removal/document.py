"""A plan made by hand as the plan document, as far as the replay reads it."""

from __future__ import annotations

from typing import Any

from dxf2turn.features.model import Feature, Thread, TurnedPart
from dxf2turn.findings import Finding
from dxf2turn.geometry.region import flatten
from dxf2turn.geometry.segment import Arc, Segment
from dxf2turn.planning.model import Move, MoveKind, Plan, Setup, Step
from dxf2turn.shop.model import Tool


def document(part: TurnedPart, plan: Plan) -> dict[str, Any]:
    """The JSON document of the contract, only the keys that a replay needs."""
    tools = {s.tool.id: s.tool for setup in plan.setups for s in setup.steps if s.tool is not None}
    return {
        "format": "dxf2turn-plan/1",
        "part": {
            "contour": [_piece(segment) for segment in part.profile.segments],
            "target_contour": [_piece(segment) for segment in part.target.segments],
        },
        "features": [_feature(f) for f in part.features],
        "findings": [_finding(f) for f in plan.findings],
        "tools": {key: _tool(tool) for key, tool in tools.items()},
        "setups": [_setup(setup) for setup in plan.setups],
    }


def _piece(segment: Segment) -> dict[str, Any]:
    ends = {"from": list(segment.start), "to": list(segment.end)}
    if isinstance(segment, Arc):
        return {"type": "arc", **ends, "centre": list(segment.centre), "clockwise": segment.clockwise}
    return {"type": "line", **ends}


def _feature(f: Feature) -> dict[str, Any]:
    place = {"z_mm": [f.z_front, f.z_back], "r_mm": [f.r_small, f.r_large]}
    plain = {"id": f.id, "kind": f.kind, "side": f.side, **place}
    return plain | _thread(f) if isinstance(f, Thread) else plain


def _thread(f: Thread) -> dict[str, Any]:
    return {
        "starts": f.starts, "designation": f.designation, "major_diameter_mm": f.major_diameter_mm,
        "minor_diameter_mm": f.minor_diameter_mm, "pitch_mm": f.pitch, "taper": f.taper, "hand": f.hand,
        "cut_to_diameter_mm": f.cut_to_mm,
    }  # fmt: skip


def _finding(f: Finding) -> dict[str, Any]:
    place = {"z_mm": f.where.z, "r_mm": f.where.r}
    return {"code": f.code, "severity": f.severity.word, **place, "measured": f.measured}


def _tool(tool: Tool) -> dict[str, Any]:
    return {"outline": [list(p) for p in tool.outline], "holder": [[list(p) for p in h] for h in tool.holder]}


def _setup(setup: Setup) -> dict[str, Any]:
    return {
        "no": setup.no,
        "flipped": setup.flipped,
        "stock_outline": [list(p) for p in flatten(setup.stock, 0.0005)[:-1]],
        "jaws": [[list(p) for p in jaw] for jaw in setup.jaws],
        "grip_length_mm": setup.grip_length,
        "support": setup.support,
        "support_outline": [[list(p) for p in body] for body in setup.supports],
        "tool_change": {"x": 2.0 * setup.tool_change.y, "z": setup.tool_change.x},
        "steps": [_step(step) for step in setup.steps],
    }


def _step(step: Step) -> dict[str, Any]:
    tool = None if step.tool is None else step.tool.id
    return {
        "no": step.no,
        "operation": step.operation,
        "tool": tool,
        "features": list(step.features),
        "spindle": None if step.spindle is None else {"direction": step.spindle.direction},
        "moves": [_move(m) for m in step.moves],
    }


def _move(move: Move) -> dict[str, Any]:
    plain = {"type": move.kind.value, "z": move.z, "x": 2.0 * move.r}
    if move.kind is MoveKind.ARC and move.centre is not None:
        return {**plain, "centre": list(move.centre), "clockwise": move.clockwise}
    if move.kind is MoveKind.THREAD:
        return {**plain, "lead": move.lead}
    return plain
