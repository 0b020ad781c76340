"""How the replay judges what holds the work: pressed against it, the jaws must enter it along the grip."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import shapely
from shapely import Polygon

from tests.replay_form import polygons, trouble
from tests.replay_shapes import EMPTY, flat, parts, solid, thick, to_z

PRESS = 0.02  # the jaws are moved so far against the work
TOUCH = 0.01  # and must then be deeper in it than this
SHARE = 0.9  # of the stated length
EDGE = 0.3  # a length below this is an edge
NEVER = ("thread", "knurl", "groove", "taper")


def grip_faults(machine: Any, doc: dict[str, Any], when: str) -> Iterator[dict[str, Any]]:
    """In the work, too short, in a bore that is not finished, on a thread, a knurl, a groove or a taper."""
    setup = machine.setup
    inside = flat(machine.jaws.intersection(machine.stock))
    if thick(inside, TOUCH):
        text = f"the work stands in the jaws or the chuck {when}"
        yield trouble("grip", setup["no"], 0, 0, inside, inside.area, text)
    held = 0.0
    for ring in polygons(setup["jaws"]):
        for way, side in ((-PRESS, "outside"), (PRESS, "inside")):
            bites = list(pressed(solid(Polygon(ring)), machine.stock, way))
            held += sum(map(width, bites))
            own = [flat(bite.intersection(machine.target)) for bite in bites]
            rough = sum(map(width, bites)) - sum(map(width, own))
            if side == "inside" and rough > EDGE:
                yield trouble("grip", setup["no"], 0, 0, bites[0], rough, f"the bore is not finished {when}")
            for bite in own:
                yield from spoilt(machine, doc, bite, side)
    wanted = max(SHARE * (setup.get("grip_length_mm") or 0.0), EDGE)
    if held < wanted:
        text = f"held over {held:.2f} mm {when}, not {wanted:.2f}"
        yield trouble("grip", setup["no"], 0, 0, EMPTY, held, text)


def pressed(jaw: Any, stock: Any, way: float) -> Iterator[Any]:
    """Where a body would enter the stock if it went a little in or out, deeper than a touch."""
    moved = shapely.transform(jaw, lambda p: p + [0.0, way])
    for bite in parts(flat(moved.intersection(stock))):
        if width(bite) > 0.0 and bite.area / width(bite) > TOUCH:
            yield bite


def width(bite: Any) -> float:
    return 0.0 if bite.is_empty else bite.bounds[2] - bite.bounds[0]


def spoilt(machine: Any, doc: dict[str, Any], bite: Any, side: str) -> Iterator[dict[str, Any]]:
    """The features under a bite that jaws must not hold."""
    on_part = EMPTY if bite.is_empty else to_z(bite, machine.flipped, machine.part.length)
    for f in doc["features"]:
        if f["kind"] in NEVER and f["side"] == side and not on_part.is_empty:
            low, high = sorted(f["z_mm"])
            shared = min(high, on_part.bounds[2]) - max(low, on_part.bounds[0])
            if shared > EDGE:
                text = f"holds the {f['kind']} {f.get('id')}"
                yield trouble("grip", machine.setup["no"], 0, 0, bite, shared, text)
