"""Features and findings of the plan document. Written by hand, key by key: the document is a promise."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from dxf2turn.features import model as kinds
from dxf2turn.findings import Finding, Repair
from dxf2turn.output.json_geometry import coordinate, pair, value


def feature(item: kinds.Feature) -> dict[str, Any]:
    """A feature: the keys that all have, the roughness where one is asked for, then those of its kind."""
    common: dict[str, Any] = {
        "id": item.id,
        "kind": item.kind,
        "side": item.side,
        "z_mm": [coordinate(item.z_front), coordinate(item.z_back)],
        "r_mm": [coordinate(item.r_small), coordinate(item.r_large)],
        "segments": list(item.segments),
        "note": item.note,
    }
    if item.roughness_ra_um is not None:
        common["roughness_ra_um"] = value(item.roughness_ra_um)
    for kind, keys in _KEYS:
        if isinstance(item, kind):
            return common | keys(item)
    return common


def limits(item: kinds.Limits) -> dict[str, Any]:
    """A size with limits: nominal, least, largest, what is cut, its place, where the limits come from."""
    return {
        "what": item.what,
        "nominal_mm": value(item.nominal),
        "least_mm": value(item.nominal + item.lower),
        "largest_mm": value(item.nominal + item.upper),
        "target_mm": value(item.middle),
        "z_mm": [coordinate(item.z_front), coordinate(item.z_back)],
        "r_mm": coordinate(item.r),
        "it_grade": item.grade,
        "text": item.text,
        "source": item.source,
        "handle": item.handle,
    }


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


def _taper(item: kinds.Taper) -> dict[str, Any]:
    return {
        "half_angle_deg": _degrees(item.half_angle),
        "ratio": value(item.ratio),
        "standard": item.standard,
    }


def _chamfer(item: kinds.Chamfer) -> dict[str, Any]:
    return {
        "axial_mm": value(item.axial),
        "radial_mm": value(item.radial),
        "angle_deg": _degrees(item.angle),
    }


def _radius(item: kinds.Fillet | kinds.EdgeRound | kinds.FreeArc) -> dict[str, Any]:
    return {"radius_mm": value(item.radius)}


def _groove(item: kinds.Groove) -> dict[str, Any]:
    return {
        "width_mm": value(item.width),
        "depth_mm": value(item.depth),
        "floor_diameter_mm": value(2.0 * item.floor_radius),
        "form": item.form,
        "corner_radius_mm": value(item.corner_radius),
        "purpose": item.purpose,
        "standard": item.standard,
    }


def _thread(item: kinds.Thread) -> dict[str, Any]:
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
        "full_thread_mm": value(item.z_front - item.z_back),
        "limits_mm": {name: [value(least), value(most)] for name, least, most in item.limits},
        "limits_source": item.limits_source,
        "relief": item.relief,
        "start_chamfer": item.start_chamfer,
        "entry": item.entry,
    }


def _finite(number: float) -> float | None:
    """Room before or behind a thread; null when it is endless."""
    return value(number) if math.isfinite(number) else None


def _hole(item: kinds.Hole) -> dict[str, Any]:
    return {
        "diameter_mm": value(item.diameter_mm),
        "depth_mm": value(item.depth),
        "point_angle_deg": _degrees(item.point_angle),
        "through": item.through,
    }


_KEYS: tuple[tuple[type[kinds.Feature], Callable[[Any], dict[str, Any]]], ...] = (
    (kinds.Cylinder, lambda item: {"diameter_mm": value(2.0 * item.radius)}),
    (kinds.Taper, _taper),
    (kinds.Chamfer, _chamfer),
    (kinds.Fillet, _radius),
    (kinds.EdgeRound, _radius),
    (kinds.FreeArc, _radius),
    (kinds.Groove, _groove),
    (kinds.Thread, _thread),
    (kinds.Hole, _hole),
    (kinds.Bore, lambda item: {"diameter_mm": value(item.diameter_mm)}),
    (kinds.CentreHole, lambda item: {"form": item.form, "size": item.size}),
    (kinds.Knurl, lambda item: {"form": item.form, "pitch_mm": value(item.pitch)}),
)
