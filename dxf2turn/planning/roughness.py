"""Which roughness a step has to reach."""

from __future__ import annotations

from collections.abc import Iterable

from dxf2turn.features.model import Feature


def finest(features: Iterable[Feature], sides: tuple[str, ...], usual: float) -> float:
    """The finest Ra asked for on these sides, the usual one where none is asked for; micrometres."""
    asked = [f.roughness_ra_um for f in features if f.side in sides and f.roughness_ra_um is not None]
    return min(asked, default=usual)
