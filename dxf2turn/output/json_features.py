"""Features and findings of the plan document. Written by hand, key by key: the document is a promise."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from dxf2turn.features.model import (
    Bore,
    CentreHole,
    Chamfer,
    Cylinder,
    EdgeRound,
    Feature,
    Fillet,
    FreeArc,
    Groove,
    Hole,
    Knurl,
    Taper,
    Thread,
)
from dxf2turn.findings import Finding, Repair
from dxf2turn.output.json_geometry import coordinate, pair, value


def feature(item: Feature) -> dict[str, Any]:
    """A feature: the keys that all have, then those of its kind."""
    common = {
        "id": item.id,
        "kind": item.kind,
        "side": item.side,
        "z_mm": [coordinate(item.z_front), coordinate(item.z_back)],
        "r_mm": [coordinate(item.r_small), coordinate(item.r_large)],
        "segments": list(item.segments),
        "note": item.note,
    }
    for kind, keys in _KEYS:
        if isinstance(item, kind):
            return common | keys(item)
    return common


def finding(item: Finding) -> dict[str, Any]:
    """A finding; what is not known is null."""
    where = item.where
    return {
        "code": item.code,
        "severity": item.severity.word,
        "text": item.text,
        "hint": item.hint,
        "z_mm": value(where.z),
        "r_mm": value(where.r),
        "drawing_xy": None if where.drawing_xy is None else pair(where.drawing_xy),
        "handles": list(where.handles),
        "measured": value(item.measured),
        "limit": value(item.limit),
        "unit": item.unit,
        "source": item.source,
    }


def repair(item: Repair) -> dict[str, Any]:
    """A repair; `at` is in drawing coordinates."""
    return {
        "code": item.code,
        "text": item.text,
        "moved_mm": value(item.moved),
        "handles": list(item.handles),
        "at": None if item.at is None else pair(item.at),
    }


def _degrees(radians: float) -> float | None:
    return value(math.degrees(radians))


def _taper(item: Taper) -> dict[str, Any]:
    return {
        "half_angle_deg": _degrees(item.half_angle),
        "ratio": value(item.ratio),
        "standard": item.standard,
    }


def _chamfer(item: Chamfer) -> dict[str, Any]:
    return {
        "axial_mm": value(item.axial),
        "radial_mm": value(item.radial),
        "angle_deg": _degrees(item.angle),
    }


def _radius(item: Fillet | EdgeRound | FreeArc) -> dict[str, Any]:
    return {"radius_mm": value(item.radius)}


def _groove(item: Groove) -> dict[str, Any]:
    return {
        "width_mm": value(item.width),
        "depth_mm": value(item.depth),
        "floor_diameter_mm": value(2.0 * item.floor_radius),
        "form": item.form,
        "corner_radius_mm": value(item.corner_radius),
        "purpose": item.purpose,
        "standard": item.standard,
    }


def _thread(item: Thread) -> dict[str, Any]:
    return {
        "designation": item.designation,
        "major_diameter_mm": value(item.major_diameter_mm),
        "minor_diameter_mm": value(item.minor_diameter_mm),
        "pitch_diameter_mm": value(item.pitch_diameter_mm),
        "pitch_mm": value(item.pitch),
        "starts": item.starts,
        "hand": item.hand,
        "form_angle_deg": _degrees(item.form_angle),
        "class": item.thread_class,
        "taper": value(item.taper),
        "source": item.source,
        "standard": item.standard,
        # What the threading tool's tip does: for a check of the moves.
        "cut_from_diameter_mm": value(item.cut_from_mm),
        "cut_to_diameter_mm": value(item.cut_to_mm),
        "run_in_mm": _finite(item.run_in),
        "run_out_mm": _finite(item.run_out),
    }


def _finite(number: float) -> float | None:
    """Room before or behind a thread; null when it is endless."""
    return value(number) if math.isfinite(number) else None


def _hole(item: Hole) -> dict[str, Any]:
    return {
        "diameter_mm": value(item.diameter_mm),
        "depth_mm": value(item.depth),
        "point_angle_deg": _degrees(item.point_angle),
        "through": item.through,
    }


_KEYS: tuple[tuple[type[Feature], Callable[[Any], dict[str, Any]]], ...] = (
    (Cylinder, lambda item: {"diameter_mm": value(2.0 * item.radius)}),
    (Taper, _taper),
    (Chamfer, _chamfer),
    (Fillet, _radius),
    (EdgeRound, _radius),
    (FreeArc, _radius),
    (Groove, _groove),
    (Thread, _thread),
    (Hole, _hole),
    (Bore, lambda item: {"diameter_mm": value(item.diameter_mm)}),
    (CentreHole, lambda item: {"form": item.form, "size": item.size}),
    (Knurl, lambda item: {"form": item.form, "pitch_mm": value(item.pitch)}),
)
