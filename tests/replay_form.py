"""What the contract says of the plan document's form, as far as the replay relies on it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import shapely
from shapely import Polygon

from tests.replay_shapes import EMPTY, course

PLACE = 0.002  # ends of steps, radii of arcs, mm


def form_faults(doc: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """What the contract says of the document's form and this replay relies on."""
    if doc.get("format") != "dxf2turn-plan/1":
        yield trouble("form", 0, 0, 0, EMPTY, 0.0, f"unknown format {doc.get('format')!r}")
    for name in ("contour", "target_contour"):
        pieces = doc["part"].get(name) or []
        for one, following in zip(pieces, pieces[1:] + pieces[:1]):
            if math.dist(one["to"], following["from"]) > 1e-4:
                yield trouble("form", 0, 0, 0, shapely.Point(one["to"]), 0.0, f"{name} is not closed")
            if min(one["from"][1], one["to"][1]) < -1e-9:
                yield trouble("form", 0, 0, 0, shapely.Point(one["to"]), 0.0, f"{name} lies at r < 0")
        ring = [point for piece in pieces for point in course(piece)[:-1]]
        if ring and not (Polygon(ring).is_valid and Polygon(ring).exterior.is_ccw):
            yield trouble("form", 0, 0, 0, EMPTY, 0.0, f"{name} is not simple or not counter-clockwise")
    for setup in doc["setups"]:
        for step in setup["steps"]:
            yield from arc_faults(setup["no"], step)


def arc_faults(setup: int, step: dict[str, Any]) -> Iterator[dict[str, Any]]:
    moves = step.get("moves") or []
    for index, (last, move) in enumerate(zip(moves, moves[1:]), start=1):
        if move["type"] == "arc":
            off = math.dist(place(last), move["centre"]) - math.dist(place(move), move["centre"])
            if abs(off) > PLACE:
                at = shapely.Point(place(move))
                yield trouble("path", setup, step["no"], index, at, abs(off), "an arc with two radii")


def place(move: dict[str, Any]) -> tuple[float, float]:
    return move["z"], move["x"] / 2.0


def polygons(value: Any) -> list[Any]:
    """A polygon, a list of polygons, or null."""
    if not value:
        return []
    return [value] if isinstance(value[0][0], (int, float)) else list(value)


def trouble(
    kind: str, setup: int, step: int, move: int, where: Any, size: float, text: str
) -> dict[str, Any]:
    at = (None, None) if where.is_empty else where.representative_point().coords[0]
    return {
        "kind": kind, "setup": setup, "step": step, "move": move, "z": at[0], "r": at[1], "size": size,
        "text": text,
    }  # fmt: skip
