"""One line of words for each feature kind: what a machinist would call it, with its sizes."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable

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
from dxf2turn.output.wording import Wording, degrees, one_line


def describe(feature: Feature, wording: Wording) -> str:
    """Name and sizes of a feature, e.g. `square groove 4 wide, 1.5 deep, floor (diameter) 17`."""
    for kind, words in _WORDS:
        if isinstance(feature, kind):
            return words(feature, wording)
    return {"face": "front face", "end": "back face"}.get(feature.side, "shoulder")


def general_roughness(features: Iterable[Feature]) -> float | None:
    """The roughness Ra (um) that all features share, None when they differ or say none."""
    values = {feature.roughness_ra_um for feature in features}
    return values.pop() if len(values) == 1 else None


def extra_notes(feature: Feature, general_ra: float | None = None) -> str:
    """What is known beside the sizes: purpose, standard, note, roughness; nothing said twice.

    general_ra: a roughness that is said elsewhere for the whole part.
    """
    ra = feature.roughness_ra_um
    known = [
        getattr(feature, "purpose", None),
        getattr(feature, "standard", None),
        one_line(feature.note),
        None if ra is None or ra == general_ra else f"Ra {ra:g}",
    ]
    said = {_bare(getattr(feature, "designation", "")), _bare(getattr(feature, "form", "")), ""}
    return ", ".join(text for text in dict.fromkeys(known) if text and _bare(text) not in said)


def _bare(text: str) -> str:
    """Letters and digits of a text: `M 20 X 1.5 - 6g` says what `M20x1.5-6g` says."""
    return re.sub(r"[\W_]", "", text).lower()


def _cylinder(feature: Cylinder, w: Wording) -> str:
    return f"cylinder {w.diameter(feature.radius)}"


def _taper(feature: Taper, w: Wording) -> str:
    ratio = f", 1:{1 / feature.ratio:.4g}" if 0 < feature.ratio <= 1 else ""
    ends = f"{w.diameter(feature.r_small)} to {w.diameter(feature.r_large)}"
    return f"taper {ends}, {degrees(feature.half_angle)} to the axis{ratio}"


def _chamfer(feature: Chamfer, w: Wording) -> str:
    if math.isclose(feature.axial, feature.radial, abs_tol=5e-4):
        return f"chamfer {w.short(feature.axial)} x 45\u00b0"
    return f"chamfer {w.short(feature.axial)} x {degrees(feature.angle)}"


def _fillet(feature: Fillet, w: Wording) -> str:
    return f"fillet R{w.short(feature.radius)}"


def _edge_round(feature: EdgeRound, w: Wording) -> str:
    return f"rounded edge R{w.short(feature.radius)}"


def _arc(feature: FreeArc, w: Wording) -> str:
    return f"arc R{w.short(feature.radius)}"


def _groove(feature: Groove, w: Wording) -> str:
    words = [f"{feature.form} groove {w.short(feature.width)} wide", f"{w.short(feature.depth)} deep"]
    if feature.side in ("outside", "inside"):
        words.append(f"floor {w.diameter(feature.floor_radius)}")
    if feature.corner_radius:
        words.append(f"corners R{w.short(feature.corner_radius)}")
    return ", ".join(words)


def _thread(feature: Thread, w: Wording) -> str:
    words = [f"thread {one_line(feature.designation)}"]
    if feature.hand != "right":
        words.append(f"{feature.hand} hand")
    if feature.starts > 1:
        words.append(f"{feature.starts} starts")
    return ", ".join(words)


def _hole(feature: Hole, w: Wording) -> str:
    depth = "through" if feature.through else f"{w.short(feature.depth)} deep"
    return f"hole {w.diameter(feature.diameter_mm / 2)}, {depth}"


def _bore(feature: Bore, w: Wording) -> str:
    return f"bore {w.diameter(feature.diameter_mm / 2)}"


def _centre_hole(feature: CentreHole, w: Wording) -> str:
    return f"centre hole {one_line(f'{feature.form} {feature.size}')}"


def _knurl(feature: Knurl, w: Wording) -> str:
    return f"knurl {one_line(feature.form)}, pitch {w.short(feature.pitch)}"


_WORDS: tuple[tuple[type[Feature], Callable[..., str]], ...] = (
    (Cylinder, _cylinder),
    (Taper, _taper),
    (Chamfer, _chamfer),
    (Fillet, _fillet),
    (EdgeRound, _edge_round),
    (FreeArc, _arc),
    (Groove, _groove),
    (Thread, _thread),
    (Hole, _hole),
    (Bore, _bore),
    (CentreHole, _centre_hole),
    (Knurl, _knurl),
)
