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
            yield from lead_faults(doc, setup, step)
            yield from hand_faults(doc, setup, step)
    yield from start_faults(doc)
    yield from knurl_faults(doc)


def lead_faults(doc: dict[str, Any], setup: dict[str, Any], step: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Thread moves whose lead no thread of the step has."""
    leads = [f["pitch_mm"] * (f.get("starts") or 1) for f in named(doc, "thread", step)]
    for index, move in enumerate(step.get("moves") or []):
        if move["type"] == "thread" and leads and min(abs(move["lead"] - lead) for lead in leads) > 1e-4:
            at, text = shapely.Point(place(move)), f"lead {move['lead']}, not {leads}"
            yield trouble("thread", setup["no"], step["no"], index, at, move["lead"], text)


def hand_faults(doc: dict[str, Any], setup: dict[str, Any], step: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Passes of the wrong hand: a right-hand thread is cut towards the chuck while the spindle turns M03."""
    hands = {f["hand"] for f in named(doc, "thread", step) if f.get("hand")}
    moves, spindle = step.get("moves") or [], step.get("spindle")
    for index, (last, move) in enumerate(zip(moves, moves[1:]), start=1):
        if move["type"] != "thread" or last["type"] == "thread" or not spindle:
            continue
        cut = "right" if (spindle["direction"] == "M03") == (move["z"] < last["z"]) else "left"
        if hands and cut not in hands:
            at, text = shapely.Point(place(move)), f"cuts a {cut}-hand thread, not {hands}"
            yield trouble("thread", setup["no"], step["no"], index, at, move["lead"], text)


def named(doc: dict[str, Any], kind: str, step: dict[str, Any]) -> list[dict[str, Any]]:
    """The features of a kind that a step names."""
    ids = step.get("features") or ()
    return [f for f in doc["features"] if f["kind"] == kind and f.get("id") in ids]


def start_faults(doc: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Threads with several starts whose deepest passes begin at fewer places along the lead."""
    steps = [step for setup in doc["setups"] for step in setup["steps"]]
    for f in doc["features"]:
        if f["kind"] != "thread" or (f.get("starts") or 1) < 2 or f.get("taper"):
            continue
        moves = [s["moves"] for s in steps if f in named(doc, "thread", s)]
        pairs = [pair for one in moves for pair in zip(one, one[1:])]
        begun = [place(a) for a, b in pairs if b["type"] == "thread" and a["type"] != "thread"]
        if begun:
            deep = (max if f["side"] == "inside" else min)(r for _, r in begun)
            tenths = [10.0 * (z - begun[0][0]) / f["pitch_mm"] for z, r in begun if abs(r - deep) < 0.01]
            count = len({round(t) % (10 * f["starts"]) for t in tenths})
            if count != f["starts"]:
                yield trouble("thread", 0, 0, 0, EMPTY, count, f"{count} starts of {f['starts']}")


def knurl_faults(doc: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Knurls that no step names."""
    steps = [s for setup in doc["setups"] for s in setup["steps"] if s["operation"] == "knurl"]
    for f in doc["features"]:
        if f["kind"] == "knurl" and not any(f in named(doc, "knurl", s) for s in steps):
            yield trouble("knurl", 0, 0, 0, EMPTY, 0.0, f"knurl {f.get('id')} is not made")


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
