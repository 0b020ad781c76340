"""Limits of sizes in words: of a feature's diameter or thread, and of all sizes as rows."""

from __future__ import annotations

from dxf2turn.features.model import Feature, Limits, Thread, TurnedPart
from dxf2turn.output.wording import Wording, one_line

ROUND = ("cylinder", "bore", "hole")
SAME = 1e-6  # mm: a size and the surface it speaks of have one radius
HEADS = ("size", "nominal", "least", "largest", "target", "Z from", "Z to", "by")


def limits_of(part: TurnedPart, feature: Feature, w: Wording) -> str:
    """The limits of a cylinder, a bore, a hole or a thread; empty without any.

    A thread: crest and pitch diameter in its class. Others: what the drawing asks for, with its class.
    """
    if isinstance(feature, Thread):
        names = {"d": "crest", "D1": "crest", "d2": "pitch", "D2": "pitch"}
        said = [(names[name], least, most) for name, least, most in feature.limits if name in names]
        return ", ".join(f"{what} {_range(least, most, w)}" for what, least, most in said if least < most)
    return ", ".join(_in_words(limits, w) for limits in part.limits if _speaks_of(limits, feature))


def _in_words(limits: Limits, w: Wording) -> str:
    name = f"{limits.source.split(',')[0]} " if limits.grade is not None else ""
    return name + _range(limits.nominal + limits.lower, limits.nominal + limits.upper, w)


def limit_rows(part: TurnedPart, w: Wording) -> tuple[tuple[str, ...], ...]:
    """All sizes with limits, in the order of the drawing; cells as in HEADS."""
    return tuple(
        (
            f"{limits.what} {one_line(limits.text)}",
            w.length(limits.nominal),
            w.length(limits.nominal + limits.lower),
            w.length(limits.nominal + limits.upper),
            w.length(limits.middle),
            w.length(limits.z_front),
            w.length(limits.z_back),
            limits.source.partition(", S")[0],
        )
        for limits in part.limits
    )


def _speaks_of(limits: Limits, feature: Feature) -> bool:
    """Whether a diameter's limits are those of a feature: same radius, and they lie beside each other."""
    if limits.what != "diameter" or feature.kind not in ROUND:
        return False
    beside = min(limits.z_front, feature.z_front) > max(limits.z_back, feature.z_back)
    return beside and abs(limits.r - feature.r_large) <= SAME


def _range(least: float, most: float, w: Wording) -> str:
    return f"{w.diameter(0.5 * least)} to {w.diameter(0.5 * most)}"
