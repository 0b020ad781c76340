"""Roughness notes (Ra, Rz, N grades) and the features they speak of. Ra in um."""

from __future__ import annotations

import re
from dataclasses import replace

from dxf2turn import tables
from dxf2turn.features.callouts import Callout
from dxf2turn.features.designation import plain
from dxf2turn.features.model import Feature
from dxf2turn.features.near import feature_meant
from dxf2turn.features.outline import Outline

_RA = re.compile(r"\bR[aA]\s*[=:]?\s*(\d+(?:\.\d+)?)")
_RZ = re.compile(r"\bR[zZ]\s*[=:]?\s*(\d+(?:\.\d+)?)")
_GRADE = re.compile(r"(?<![A-Za-z0-9.-])N\s?(1[0-2]|[1-9])(?![\d.A-Za-z])")
_SIZE_AHEAD = re.compile(r"\d\s*$")  # "25 N7" is a tolerance class
_MICROINCH = 0.0254  # um
_LEAST_MICROINCH = 16.0  # on inch drawings values from here up are microinches (series 16, 32, 63, 125, 250)
_OVERLAYS = ("thread", "knurl", "centre_hole")


def with_roughness(
    outline: Outline, features: tuple[Feature, ...], notes: tuple[Callout, ...], inch: bool
) -> tuple[Feature, ...]:
    """The features with the roughness asked for; a note that points at nothing holds for the rest."""
    general: float | None = None
    own: dict[str, float] = {}
    surfaces = [feature for feature in features if feature.kind not in _OVERLAYS]
    for callout in notes:
        value = roughness_in(callout.raw, inch)
        if value is None:
            continue
        meant = feature_meant(outline, surfaces, callout)
        if meant is not None:
            own.setdefault(meant.id, value)
        elif general is None:
            general = value
    return tuple(replace(f, roughness_ra_um=own.get(f.id, general)) for f in features)


def roughness_in(raw: str, inch: bool = False) -> float | None:
    """The roughness that a text asks for as Ra in um, None when it asks for none.

    >>> roughness_in("Ra 1,6"), roughness_in("N7"), roughness_in("Rz 16"), roughness_in("Ra 63", inch=True)
    (1.6, 1.6, 3.2, 1.6)
    """
    text = plain(raw)
    ra = _RA.search(text)
    if ra:
        value = float(ra[1])
        return round(value * _MICROINCH, 3) if inch and value >= _LEAST_MICROINCH else value
    rz = _RZ.search(text)
    if rz:
        return _ra_of_rz(float(rz[1]))
    grade = _GRADE.search(text)
    if grade and not _SIZE_AHEAD.search(text[: grade.start()]):
        rows = [row for row in tables.rows("surface") if row["n_grade"] == f"N{grade[1]}"]
        return rows[0].number("ra_um")
    return None


def _ra_of_rz(rz: float) -> float:
    """The largest Ra of the table whose Rz (the low end of a range) does not exceed the one asked for."""
    fits = [
        row.number("ra_um")
        for row in tables.rows("surface")
        if float(row["rz_um_approximate"].split()[0]) <= rz
    ]
    return max(fits, default=tables.rows("surface")[0].number("ra_um"))
