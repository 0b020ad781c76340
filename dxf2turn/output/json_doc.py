"""The plan document, format `dxf2turn-plan/1` (docs/outputs.md). mm, s, rev/min, m/min, mm/rev, degrees.

A job that stopped early gives the same keys: what was not reached is null or empty, and
`verification.ok` is false. Key order is fixed; equal input gives equal bytes.
"""

from __future__ import annotations

import json
from typing import Any

from dxf2turn.errors import BrokenInvariant
from dxf2turn.job import Job
from dxf2turn.output import json_features
from dxf2turn.output.json_geometry import (
    contour,
    coordinate,
    holder,
    keep_out,
    move,
    outline,
    ring,
    supports,
    value,
)
from dxf2turn.output.model import OutputOptions
from dxf2turn.planning.model import Plan, Setup, Spindle, Step
from dxf2turn.shop.model import Tool

FORMAT = "dxf2turn-plan/1"
CHECK_FORMAT = "dxf2turn-check/1"
FEATURES_FORMAT = "dxf2turn-features/1"


def render(job: Job, options: OutputOptions) -> str:
    """The document as text. The unit of the texts (`options`) has no say here."""
    return dumps(document(job))


def dumps(content: dict[str, Any]) -> str:
    """JSON text that a person can read: one line for what holds no further objects. Never NaN."""
    return _pretty(content, "") + "\n"


def _pretty(content: Any, indent: str) -> str:
    inner = indent + " "
    if isinstance(content, dict) and any(_nested(item) for item in content.values()):
        lines = (f"{_flat(key)}: {_pretty(item, inner)}" for key, item in content.items())
        return "{\n" + ",\n".join(inner + line for line in lines) + f"\n{indent}}}"
    if isinstance(content, list) and any(isinstance(item, dict) for item in content):
        return "[\n" + ",\n".join(inner + _pretty(item, inner) for item in content) + f"\n{indent}]"
    return _flat(content)


def _nested(item: Any) -> bool:
    """Whether an item is an object, or a list that holds objects or points."""
    return isinstance(item, dict) or (
        isinstance(item, list) and any(isinstance(x, list | dict) for x in item)
    )


def _flat(content: Any) -> str:
    return json.dumps(content, ensure_ascii=False, allow_nan=False)


def document(job: Job) -> dict[str, Any]:
    """The document as plain values."""
    plan = job.plan
    return {
        "format": FORMAT,
        "drawing": drawing(job),
        "part": part(job),
        "features": features(job),
        "findings": findings(job),
        "tools": {} if plan is None else _tools(plan),
        "setups": [] if plan is None else [_setup(setup) for setup in plan.setups],
        "verification": _verification(job),
        "times": None if plan is None else _times(plan),
    }


def check_document(job: Job) -> dict[str, Any]:
    """The findings alone, for `check --json`; `stopped` says whether a plan can be written."""
    return {
        "format": CHECK_FORMAT,
        "drawing": drawing(job),
        "findings": findings(job),
        "stopped": job.stopped,
    }


def features_document(job: Job) -> dict[str, Any]:
    """What was recognised, for `features --json`; candidates are the parts on the sheet."""
    candidates = job.contour.candidates if job.contour is not None else ()
    return {
        "format": FEATURES_FORMAT,
        "drawing": drawing(job),
        "part": part(job),
        "features": features(job),
        "limits": [json_features.limits(item) for item in job.part.limits] if job.part is not None else [],
        "findings": findings(job),
        "candidates": [
            {
                "part": item.number,
                "drawing_box": [coordinate(edge) for edge in item.drawing_bounds],
                "length_mm": coordinate(item.length),
                "max_diameter_mm": coordinate(item.max_diameter_mm),
                "note": item.note,
            }
            for item in candidates
        ],
    }


def drawing(job: Job) -> dict[str, Any]:
    """What was read, in which unit and view, and what was mended."""
    unit = job.clean.unit if job.clean is not None else None
    return {
        "file": job.drawing.file,
        "sha256": job.drawing.sha256,
        "dxf_version": job.drawing.header.dxf_version,
        "unit": unit.unit.value if unit else None,
        "unit_source": unit.source if unit else None,
        "view": job.contour.view if job.contour is not None else None,
        "scale": value(unit.scale) if unit else None,
        "repairs": [json_features.repair(item) for item in job.repairs],
    }


def part(job: Job) -> dict[str, Any] | None:
    """The part's sizes and both contours; null when no contour was found."""
    drawn = job.contour.profile if job.contour is not None else None
    # The features count the pieces of the part's own profile: a thread over part of a cylinder cuts it.
    profile = job.part.profile if job.part is not None else drawn
    if profile is None:
        return None
    target = job.part.target if job.part is not None else profile
    material = job.plan.material if job.plan is not None else None
    mass = None if material is None else profile.volume * 1e-9 * material.density
    return {
        "length_mm": coordinate(profile.length),
        "max_diameter_mm": coordinate(2.0 * profile.max_radius),
        "volume_mm3": value(profile.volume),
        "mass_kg": value(mass),
        "material": material.name if material else None,
        "contour": contour(profile.segments),
        "target_contour": contour(target.segments),
    }


def features(job: Job) -> list[dict[str, Any]]:
    """All features from front to back."""
    return [] if job.part is None else [json_features.feature(item) for item in job.part.features]


def findings(job: Job) -> list[dict[str, Any]]:
    """All findings in the order of the stages."""
    return [json_features.finding(item) for item in job.findings]


def _tools(plan: Plan) -> dict[str, Any]:
    """Every tool that some step uses, in the order of first use."""
    used: dict[str, Tool] = {}
    for setup in plan.setups:
        for step in setup.steps:
            if step.tool is not None and used.setdefault(step.tool.id, step.tool) != step.tool:
                raise BrokenInvariant(f"two different tools are both called {step.tool.id}")
    return {name: _tool(tool) for name, tool in used.items()}


def _tool(tool: Tool) -> dict[str, Any]:
    return {
        "kind": tool.kind,
        "insert": tool.insert,
        "holder_style": tool.holder_style,
        "nose_radius_mm": value(tool.nose_radius),
        "width_mm": value(tool.width),
        "outline": ring(tool.outline),
        "holder": holder(tool.holder),
        "note": _note(tool),
    }


def _note(tool: Tool) -> str:
    """The tool's own note; it always names the controlled point."""
    point = f"controlled point: {tool.controlled}"
    if not tool.note:
        return point
    return tool.note if "controlled point" in tool.note else f"{point}; {tool.note}"


def _setup(setup: Setup) -> dict[str, Any]:
    return {
        "no": setup.no,
        "flipped": setup.flipped,
        "stock_outline": outline(setup.stock),
        "jaws": keep_out(setup.jaws),
        "grip": setup.grip,
        "grip_length_mm": value(setup.grip_length),
        "support": setup.support,
        "support_outline": supports(setup.supports),
        "prepare": setup.prepare,
        "tool_change": {"x": coordinate(2.0 * setup.tool_change.y), "z": coordinate(setup.tool_change.x)},
        "steps": [_step(step) for step in setup.steps],
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "no": step.no,
        "operation": step.operation,
        "tool": step.tool.id if step.tool is not None else None,
        "side": step.side,
        "spindle": _spindle(step.spindle),
        "feed_mm_per_rev": value(step.feed),
        "depth_mm": value(step.depth),
        "passes": step.passes,
        "features": list(step.features),
        "why": step.why,
        "cut_time_s": value(step.cut_time_s),
        "rapid_time_s": value(step.rapid_time_s),
        "moves": [move(item) for item in step.moves],
    }


def _spindle(spindle: Spindle | None) -> dict[str, Any] | None:
    if spindle is None:
        return None
    return {
        "mode": spindle.mode,
        "value": value(spindle.value),
        "limit_rpm": value(spindle.limit_rpm),
        "direction": spindle.direction,
    }


def _verification(job: Job) -> dict[str, Any]:
    removal = job.removal
    if removal is None:
        return {"ok": False}
    return {
        "gouge_mm3": value(removal.gouge_mm3),
        "max_gouge_mm": value(removal.max_gouge),
        "left_mm3": value(removal.left_mm3),
        "max_left_mm": value(removal.max_left),
        "rapid_contacts": removal.rapid_contacts,
        "holder_contacts": removal.holder_contacts,
        "jaw_contacts": removal.jaw_contacts,
        "ok": removal.ok and not job.stopped,
    }


def _times(plan: Plan) -> dict[str, Any]:
    times = plan.times
    return {
        "cut_s": value(times.cut_s),
        "rapid_s": value(times.rapid_s),
        "tool_change_s": value(times.tool_change_s),
        "total_s": value(times.total_s),
        "bound_s": value(times.bound_s),
    }
