"""Replay of NAME.plan.json by an outsider: nothing here comes from dxf2turn, only the document is read.

    python -m tests.replay FILE...          prints the verdicts; exit code 1 when one is not good

It judges as the project's own removal check does, but in other ways, so that the two check each other: the
material is never a running polygon but "the stock of the setup less the list of cuts so far", asked only
where a tool comes; depth is the thickness of an overlap; the holder is followed in small steps of time; each
setup starts from the stock it states. Lengths mm, r radii, x diameters as in the document.
"""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely import Polygon, box

from tests.replay_form import PLACE, form_faults, place, polygons, trouble
from tests.replay_grip import grip_faults
from tests.replay_shapes import (
    EMPTY,
    common,
    course,
    depth,
    flat,
    fold,
    mirror,
    parts,
    rings,
    solid,
    surface,
    sweep,
    thick,
    to_z,
)

DEEP = 0.002  # an overlap thicker than this is a gouge or a contact
LEFT = 0.01  # material beside the part
NOISE = 0.003  # left-over thinner than this is the flattening of the outlines
STATED = 0.01  # the stock a setup states against what is there
THREAD = 0.02  # depth of a thread beyond the root that the document states
CLASS = (
    0.06  # share of the pitch by which the middle of a class may lie beyond the nominal root, on the radius
)
SHORT = 3.01  # pitches that a finding may say stay without full thread before a shoulder
SEAT = 0.25  # a centre's cone touches its hole at least over this length
CREEP = 0.2  # length of one step of time for the holder
NEAR = 1.0  # a finding explains left-over when its place is this close to it
SAID = 1.5  # and when that is no thicker than so many times what the finding says


def replay(doc: dict[str, Any]) -> dict[str, Any]:
    """The verdicts on one document; `troubles` says in words what is wrong, `ok` whether nothing is."""
    part = Part(doc)
    troubles: list[dict[str, Any]] = list(form_faults(doc))
    machine: Machine | None = None
    for setup in doc["setups"]:
        before = None if machine is None else to_z(machine.piece(), machine.flipped, part.length)
        machine = Machine(part, setup, doc["tools"], troubles)
        machine.check_start(before)
        begun = list(grip_faults(machine, doc, "at the start"))
        machine.run()
        ended = grip_faults(machine, doc, "at the end") if not begun and machine.parted is None else ()
        troubles.extend([*begun, *ended])
    piece = EMPTY if machine is None else to_z(machine.piece(), machine.flipped, part.length)
    lost = part.lost
    left = list(left_over(piece, part.target, doc.get("findings", ())))
    troubles.extend(part.uncut_threads())
    count = {kind: sum(t["kind"] == kind for t in troubles) for kind in ("rapid", "holder", "jaws")}
    unexplained = max((one["depth"] for one in left if not one["explained"]), default=0.0)
    return {
        "ok": not troubles and unexplained <= LEFT and machine is not None,
        "gouge_mm3": rings(shapely.union_all(lost)),
        "max_gouge_mm": max((t["size"] for t in troubles if t["kind"] == "gouge"), default=0.0),
        "left_mm3": math.fsum(one["volume"] for one in left),
        "max_left_mm": max((one["depth"] for one in left), default=0.0),
        "max_left_unexplained_mm": unexplained,
        "rapid_contacts": count["rapid"],
        "holder_contacts": count["holder"],
        "jaw_contacts": count["jaws"],
        "left": left,
        "troubles": troubles,
        "stated": doc.get("verification"),
    }


class Part:
    """The target contour, its threads, and what was lost of it (z of the part)."""

    def __init__(self, doc: dict[str, Any]) -> None:
        contour = doc["part"].get("target_contour") or doc["part"]["contour"]
        self.target = solid(Polygon([point for piece in contour for point in course(piece)[:-1]]))
        self.length = self.target.bounds[2] - self.target.bounds[0]
        whole = self.target.union(mirror(self.target))
        self.skin = whole.boundary
        self.lost: list[Polygon] = []
        self.threads = [(f, *thread_zone(f)) for f in doc["features"] if f["kind"] == "thread"]
        self.knurls = [
            box(f["z_mm"][1] - 0.5, min(f["r_mm"]) - 0.5 * f["pitch_mm"], f["z_mm"][0] + 0.5, 1e4)
            for f in doc["features"]
            if f["kind"] == "knurl"
        ]
        self.grooves: list[Polygon] = []
        self.short = [
            box(f["z_mm"] - 0.5 * f["measured"] - LEFT, 0.0, f["z_mm"] + 0.5 * f["measured"] + LEFT, 1e4)
            for f in doc.get("findings", ())
            if f["code"] == "planning/thread-short" and f["measured"] <= SHORT * self.widest_pitch(doc)
        ]

    @staticmethod
    def widest_pitch(doc: dict[str, Any]) -> float:
        return max((f["pitch_mm"] for f in doc["features"] if f["kind"] == "thread"), default=0.0)

    def uncut_threads(self) -> Iterator[dict[str, Any]]:
        """Threads whose groove does not reach the root somewhere along the zone, and no finding says so."""
        cut = shapely.union_all(self.grooves)
        for feature, _, must in self.threads:
            rest = must.intersection(self.target).difference(shapely.union_all([cut, *self.short]))
            if thick(rest, DEEP):
                yield trouble("thread", 0, 0, 0, rest, rest.area, f"{feature['designation']} is not cut")


class Machine:
    """One setup at work."""

    def __init__(self, part: Part, setup: dict[str, Any], tools: dict[str, Any], troubles: list[Any]) -> None:
        self.part, self.setup, self.tools, self.troubles = part, setup, tools, troubles
        self.flipped = bool(setup["flipped"])
        self.stock = solid(Polygon(setup["stock_outline"]))
        self.jaws = shapely.union_all([solid(Polygon(p)) for p in polygons(setup["jaws"])])
        self.support = shapely.union_all(
            [solid(Polygon(p)) for p in polygons(setup.get("support_outline") or [])]
        )
        self.target = to_z(part.target, self.flipped, part.length)
        self.skin = to_z(part.skin, self.flipped, part.length)
        self.rooms = shapely.union_all([to_z(t[1], self.flipped, part.length) for t in part.threads])
        self.knurls = shapely.union_all([to_z(k, self.flipped, part.length) for k in part.knurls])
        self.cuts: list[Any] = []
        self.boxes = np.zeros((0, 4))
        self.teeth: Any = EMPTY
        self.parted: Any = None

    def piece(self) -> Any:
        """The piece that is the part (setup coordinates)."""
        self.settle()
        stock = self.stock if self.parted is None else self.parted
        return max(parts(stock), key=lambda one: one.intersection(self.target).area, default=EMPTY)

    def settle(self) -> None:
        """Take all noted cuts out of the stock at once."""
        if self.cuts:
            self.stock = flat(self.stock.difference(shapely.union_all(self.cuts)))
            self.cuts, self.boxes = [], np.zeros((0, 4))

    def material(self, region: Any) -> Any:
        """What is there of the material inside a region."""
        there = flat(region.intersection(self.stock))
        if there.is_empty or not self.cuts:
            return there
        z0, r0, z1, r1 = there.bounds
        b = self.boxes
        near = np.flatnonzero((b[:, 0] < z1) & (b[:, 2] > z0) & (b[:, 1] < r1) & (b[:, 3] > r0))
        return flat(there.difference(shapely.union_all([self.cuts[i] for i in near])))

    def cut(self, region: Any) -> None:
        if not region.is_empty:
            self.cuts.append(region)
            self.boxes = np.vstack([self.boxes, region.bounds])

    def note(self, kind: str, step: dict[str, Any], move: int, where: Any, text: str) -> None:
        size = depth(where, self.skin if kind == "gouge" else surface(self.stock))
        self.troubles.append(trouble(kind, self.setup["no"], step["no"], move, where, size, text))

    def check_start(self, before: Any) -> None:
        """The first stock holds the part; a later one is what was left (threads aside).

        What is there and not stated is there all the same.
        """
        there = self.target if before is None else to_z(before, self.flipped, self.part.length)
        pairs = [(there, self.stock)] if before is None else [(there, self.stock), (self.stock, there)]
        for a, b in pairs:
            extra = flat(a.difference(b.buffer(STATED)).difference(self.rooms))
            if extra.area > 1e-6:
                text = "the stated stock is not what is there"
                self.troubles.append(trouble("stock", self.setup["no"], 0, 0, extra, extra.area, text))
        self.stock = self.stock if before is None else flat(self.stock.union(there))

    def run(self) -> None:
        self.check_support("at the start")
        for step in self.setup["steps"]:
            if step.get("tool") and step.get("moves"):
                self.run_step(step)
            self.settle()
            self.let_go(step)
        self.check_support("at the end")

    def check_support(self, when: str) -> None:
        """The centre or the steady touches the work, and does not stand in it."""
        named = self.setup.get("support", "none")
        if named == "none":
            return
        if self.parted is not None:
            self.troubles.append(
                trouble("support", self.setup["no"], 0, 0, self.parted, 0.0, f"parted off in the {named}")
            )
        elif self.support.is_empty:
            self.troubles.append(trouble("support", self.setup["no"], 0, 0, EMPTY, 0.0, "it has no shape"))
        else:
            for body in parts(self.support):
                self.check_seat(body, when)

    def check_seat(self, body: Any, when: str) -> None:
        """A centre (it reaches the axis) runs on a cone, a steady's pads lie on the work."""
        low, inner, high, _ = body.bounds
        inside = flat(body.intersection(self.stock))
        on = self.stock.boundary.intersection(body.buffer(STATED)).length
        if thick(inside, DEEP) or on < (SEAT if inner < DEEP else 0.9 * (high - low)):
            name = "centre" if inner < DEEP else "steady"
            text = f"the {name} has no seat {when}: it touches over {on:.2f} mm"
            self.troubles.append(trouble("support", self.setup["no"], 0, 0, body, on, text))

    def run_step(self, step: dict[str, Any]) -> None:
        tool = self.tools[step["tool"]]
        edge = Polygon(tool["outline"])
        holders = [Polygon(p) for p in polygons(tool.get("holder"))]
        home = (self.setup["tool_change"]["z"], self.setup["tool_change"]["x"] / 2.0)
        first, last = place(step["moves"][0]), place(step["moves"][-1])
        for index, end in ((0, first), (len(step["moves"]) - 1, last)):
            if math.dist(end, home) > PLACE:
                self.note("path", step, index, shapely.Point(end), "not at the tool-change point")
        here = first
        self.teeth = EMPTY
        for index, move in enumerate(step["moves"]):
            path = [here, here] if index == 0 else course({**move, "from": here, "to": place(move)})
            here = place(move)
            self.travel(step, index, move["type"], path, edge, holders)

    def travel(
        self, step: Any, index: int, kind: str, path: list[Any], edge: Any, holders: list[Any]
    ) -> None:
        taken = fold(sweep(edge, path))
        reach = [fold(sweep(h, path)) for h in holders]
        for region in (taken, *reach):
            if thick(flat(region.intersection(self.jaws)), DEEP):
                self.note("jaws", step, index, region.intersection(self.jaws), "tool or holder in the jaws")
                break
            if thick(flat(region.intersection(self.support)), DEEP):
                hit = region.intersection(self.support)
                self.note("jaws", step, index, hit, f"tool or holder in the {self.setup['support']}")
                break
        if kind == "rapid":
            hit = flat(self.material(taken).difference(self.teeth))
            if thick(hit, DEEP):
                self.note("rapid", step, index, hit, "rapid through the stock")
        there = [hit for hit in map(self.material, reach) if thick(hit, DEEP)]
        if there and (kind == "rapid" or step["operation"] == "knurl"):
            self.note("holder", step, index, there[0], "holder in the stock")
        elif there:
            self.creep(step, index, path, edge, holders)
        if kind != "rapid":
            self.take(step, index, kind, taken)

    def take(self, step: Any, index: int, kind: str, taken: Any) -> None:
        """Note what is cut, and what of it was part."""
        inside = common(taken, self.target) if self.parted is None else EMPTY
        allowed = self.rooms if kind == "thread" else self.knurls if step["operation"] == "knurl" else EMPTY
        bad = flat(inside.difference(allowed))
        if thick(bad, DEEP):
            self.note("gouge", step, index, bad, "cuts into the part")
            self.part.lost.append(to_z(bad, self.flipped, self.part.length))
        if kind == "thread":
            self.teeth = self.teeth.union(inside)
            self.part.grooves.append(to_z(inside, self.flipped, self.part.length))
            taken = flat(taken.difference(self.target))
        if step["operation"] != "knurl":
            self.cut(taken)

    def creep(self, step: Any, index: int, path: list[Any], edge: Any, holders: list[Any]) -> None:
        """Follow a cutting move in small steps of time: first the edge cuts, then the holder is looked at."""
        there = self.material(shapely.union_all([fold(sweep(holder, path)) for holder in holders]))
        for a, b in zip(path, path[1:]):
            n = max(1, math.ceil(math.dist(a, b) / CREEP))
            stops = [(a[0] + (b[0] - a[0]) * i / n, a[1] + (b[1] - a[1]) * i / n) for i in range(n + 1)]
            for leg in zip(stops, stops[1:]):
                there = flat(there.difference(fold(sweep(edge, leg))))
                for holder in holders if not there.is_empty else ():
                    hit = flat(there.intersection(fold(sweep(holder, leg))))
                    if thick(hit, DEEP):
                        self.note("holder", step, index, hit, "holder in the stock")
                        return

    def let_go(self, step: dict[str, Any]) -> None:
        """Parting off takes the part away; what else is loose falls, unless the jaws hold it."""
        pieces = parts(self.stock)
        if len(pieces) < 2 or self.parted is not None:
            return
        own = max(pieces, key=lambda one: one.intersection(self.target).area)
        rest = [one for one in pieces if one is not own]
        if step["operation"] == "part off":
            self.parted, self.stock = own, shapely.union_all(rest)
            return
        held = [one for one in rest if not self.jaws.is_empty and self.jaws.distance(one) < PLACE]
        if held or any(thick(flat(one.intersection(self.target)), DEEP) for one in rest):
            text = "the part is cut apart, or off from what is held"
            self.troubles.append(trouble("loose", self.setup["no"], step["no"], 0, rest[0], 0.0, text))
        self.stock = shapely.union_all([own, *held])


def thread_zone(f: dict[str, Any]) -> tuple[Any, Any]:
    """Where thread moves may enter the part, and what of it they must have cut."""
    pitch, inside = f["pitch_mm"], f["side"] == "inside"
    (front, back), (small, large) = sorted(f["z_mm"], reverse=True), sorted(f["r_mm"])
    root = 0.5 * (f["major_diameter_mm"] if inside else f["minor_diameter_mm"])
    slack = CLASS * pitch  # the class moves the root away from the nominal one
    if f.get("cut_to_diameter_mm"):
        root, slack = 0.5 * f["cut_to_diameter_mm"], THREAD
    before, behind = (min(f.get(key) or 2.0 * pitch, 100.0) + pitch for key in ("run_in_mm", "run_out_mm"))
    if f.get("taper"):
        slack += large - small
        return band(front + before, back - behind, root, slack, inside), EMPTY
    return band(front + before, back - behind, root, slack, inside), band(front, back, root, -slack, inside)


def band(front: float, back: float, root: float, deeper: float, inside: bool) -> Any:
    return box(back, 0.0, front, root + deeper) if inside else box(back, root - deeper, front, 1e4)


def left_over(piece: Any, target: Any, findings: Any) -> Iterator[dict[str, Any]]:
    """Material beside the part, and whether a finding has its place there and says that it is so thick."""
    beside = flat(piece.difference(target))
    places = [
        (shapely.Point(f["z_mm"], f["r_mm"]), f["measured"])
        for f in findings
        if None not in (f.get("z_mm"), f.get("r_mm"), f.get("measured")) and f["code"].startswith("planning/")
    ]
    for one in parts(beside):
        deep = depth(one, target)
        if deep > NOISE:
            z, r = one.representative_point().coords[0]
            explained = any(one.distance(p) <= NEAR and not thick(one, SAID * m + LEFT) for p, m in places)
            yield {"depth": deep, "z": z, "r": r, "volume": rings(one), "explained": explained}


def main(files: list[str]) -> int:
    """Print the verdict on each file."""
    good = True
    for name in files:
        verdict = replay(json.loads(Path(name).read_text(encoding="utf-8")))
        good = good and verdict["ok"]
        print(name)
        for key, value in verdict.items():
            if key in ("left", "troubles"):
                print(f"  {key}: {len(value)}")
                for one in value[:40]:
                    print("    " + json.dumps(one))
            else:
                print(f"  {key}: {value}")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
