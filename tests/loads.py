"""What every move of a NAME.plan.json asks of the lathe: an outsider, nothing here comes from dxf2turn.

Only the document and the shop's own files (machine.toml, materials.toml, holder_styles.csv) are read. The
work of a cut is its specific cutting force times the volume taken off (S89: power from the removal rate at
the mean diameter), so the torque is kc V / 2 pi; V, of one turn, is the feed times what 1 mm of way takes.
kc = kc1.1 h^-mc (Kienzle, S32), h = f sin kappa; of a drill half the feed times the sine of half its point
angle, of a thread the section of the pass over its contact, of a tap its depth over ten teeth (from memory).
Knurls press and have no published formula: their speed and rates are judged only. mm, N, Nm, kW, rev/min.
"""

from __future__ import annotations

import csv
import math
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely import Polygon, box

from tests.replay_form import place
from tests.replay_shapes import common, course, flat, fold, solid, sweep

DATA = Path(__file__).resolve().parents[1] / "dxf2turn" / "data"
LEG = 1.0  # mm of travel over which the chip is averaged: three turns or more
SOME = 1e-4  # mm2, less is the flattening of outlines
ROUND = 1.001  # stated values are rounded
TAP_TEETH = 10.0  # teeth that share a tap's depth: some three lands times three pitches of chamfer
ON_AXIS = ("drill", "flat drill", "centre drill", "reamer", "tap")


@dataclass(frozen=True)
class Lathe:
    """One [[machine]] of machine.toml and one material of materials.toml, as they are printed there."""

    machine: dict[str, Any]
    material: dict[str, Any]

    def torque(self, rpm: float) -> float:
        """What the spindle gives at a speed: the printed curve, and no more than its power (P = 2 pi n M)."""
        speeds, torques = zip(*self.machine["torque_points"])
        power = 1000.0 * self.machine["power_kw"] * self.machine["efficiency"]
        return min(float(np.interp(rpm, speeds, torques)), power / (math.tau * rpm / 60.0))

    def specific(self, thickness: float) -> float:
        return self.material["kc11_n_per_mm2"] * thickness ** -self.material["mc"]


@dataclass(frozen=True)
class Load:
    """One stretch of a move: what it asks for and what there is."""

    setup: int
    step: int
    operation: str
    what: str
    asked: float
    there: float
    z: float
    r: float

    @property
    def share(self) -> float:
        return self.asked / self.there


def lathe(doc: dict[str, Any], machine: str) -> Lathe:
    """The named machine and the document's material, from the packaged files."""
    machines = tomllib.loads((DATA / "machine.toml").read_text("utf-8"))["machine"]
    materials = tomllib.loads((DATA / "materials.toml").read_text("utf-8"))["material"]
    return Lathe(
        next(m for m in machines if m["name"] == machine),
        next(m for m in materials if m["name"] == doc["part"]["material"]),
    )


def overloads(doc: dict[str, Any], of: Lathe) -> list[Load]:
    """Everything that is more than the machine has."""
    return [load for load in loads(doc, of) if not load.asked <= ROUND * load.there]


def loads(doc: dict[str, Any], of: Lathe) -> Iterator[Load]:
    """All that the moves of a plan ask for, in their order."""
    for setup in doc["setups"]:
        stock = solid(Polygon(setup["stock_outline"]))
        for step in setup["steps"]:
            if step["tool"] is None:
                continue
            one = _Step(doc, setup["no"], step, of)
            yield from one.speeds()
            yield one.rapids()
            yield from one.thread_cuts() if one.threads else ()
            for before, move in zip(step["moves"], step["moves"][1:]):
                yield from one.rates(before, move)
                if move["type"] != "rapid" and step["operation"] != "knurl":
                    taken = fold(sweep(one.edge, course({**move, "from": place(before), "to": place(move)})))
                    yield from () if one.threads else one.cut(before, move, stock)
                    stock = flat(shapely.difference(stock, taken))


class _Step:
    def __init__(self, doc: dict[str, Any], setup: int, step: dict[str, Any], of: Lathe) -> None:
        self.doc, self.setup, self.step, self.of = doc, setup, step, of
        self.tool = doc["tools"][step["tool"]]
        self.edge = Polygon(self.tool["outline"])
        self.spindle = step["spindle"]
        self.threads = any(move["type"] == "thread" for move in step["moves"])

    def load(self, what: str, asked: float, there: float, z: float = 0.0, r: float = 0.0) -> Load:
        return Load(self.setup, self.step["no"], self.step["operation"], what, asked, there, z, r)

    def rpm(self, r: float) -> float:
        """n = 1000 v / (pi D), never above the limit (S45, S47)."""
        limit, value = self.spindle["limit_rpm"], self.spindle["value"]
        if self.spindle["mode"] == "rpm":
            return value
        return limit if abs(r) < 1e-9 else min(limit, 1000.0 * value / (math.tau * abs(r)))

    def speeds(self) -> Iterator[Load]:
        """Spindle speeds where the tool cuts; a surface speed only where the control can hold it."""
        machine = self.of.machine
        if self.spindle["mode"] != "rpm" and not machine["constant_surface_speed"]:
            yield self.load("constant surface speed", 1.0, 0.0)
        radii = [place(m)[1] for m in self.step["moves"] if m["type"] != "rapid"]
        for r in radii:
            yield self.load("rev/min", self.rpm(r), machine["max_rpm"], 0.0, r)
            yield self.load("least rev/min", machine["min_rpm"], self.rpm(r), 0.0, r)

    def rapids(self) -> Load:
        """The least time that the rapids take at the slides' rates, against what the plan says of them."""
        moves = self.step["moves"]
        pairs = [(place(a), place(b)) for a, b in zip(moves, moves[1:]) if b["type"] == "rapid"]
        z_rate, x_rate = self.of.machine["rapid_z_mm_per_min"], self.of.machine["rapid_x_mm_per_min"]
        least = math.fsum(max(abs(z1 - z0) / z_rate, abs(r1 - r0) / x_rate) for (z0, r0), (z1, r1) in pairs)
        return self.load("rapid seconds", 60.0 * least, self.step["rapid_time_s"])

    def rates(self, before: Any, move: Any) -> Iterator[Load]:
        """Rates of the slide, mm/min; at the smaller radius of a move the spindle is quickest."""
        r0, (z, r) = place(before)[1], place(move)
        if move["type"] == "rapid":
            return
        n, machine = self.rpm(min(abs(r0), abs(r)) if r0 * r > 0.0 else 0.0), self.of.machine
        if move["type"] == "thread":
            rate = machine["thread_rate_max_mm_per_min"]
            yield self.load("thread rate", move["lead"] * self.rpm(r), rate, z, r)
        else:
            yield self.load("feed rate", move["feed"] * n, machine["feed_max_mm_per_min"], z, r)

    def cut(self, before: Any, move: Any, stock: Any) -> Iterator[Load]:
        """Torque along a move, leg by leg."""
        path = course({**move, "from": place(before), "to": place(move)})
        rest = common(fold(sweep(self.edge, path)), stock)
        if rest.area < SOME:
            return
        for a, b in _legs(path):
            length = math.dist(a, b)
            taken = common(fold(sweep(self.edge, (a, b))), rest)
            if taken.area / length < SOME:
                continue
            rest = flat(shapely.difference(rest, taken))
            around = math.tau * taken.centroid.y * taken.area / length  # mm3 per mm of travel (Pappus)
            kc = self.of.specific(self.thickness(move["feed"]))
            asked = kc * move["feed"] * around / math.tau / 1000.0
            yield self.load("torque", asked, self.of.torque(self.rpm(b[1])), *b)

    def thickness(self, feed: float) -> float:
        """Chip thickness h: the feed across the main edge."""
        if self.tool["kind"] in ON_AXIS:
            return 0.5 * feed * self.point_sine()
        return feed * math.sin(math.radians(_kappa(self.tool["holder_style"])))

    def point_sine(self) -> float:
        """Sine of half the point angle, from the outline: the steepest edge that begins at the tip."""
        upper = sorted((z, r) for z, r in self.tool["outline"] if r > 1e-6)
        (z, r) = upper[0]
        return max(0.1, r / math.hypot(z, r))

    def thread_cuts(self) -> Iterator[Load]:
        """Torque of each pass of a thread: its own section, less what the passes before have cut."""
        feature = next(f for f in self.doc["features"] if f["id"] in self.step["features"])
        mean = 0.25 * (feature["major_diameter_mm"] + feature["minor_diameter_mm"])
        if self.tool["kind"] == "tap":
            depth = 0.5 * (feature["major_diameter_mm"] - feature["minor_diameter_mm"])
            half = math.tan(math.radians(0.5 * feature["form_angle_deg"]))
            pitch = feature["pitch_mm"]
            section = depth * (0.875 * pitch - half * depth)  # basic groove: 7/8 pitch wide at its mouth
            yield self.turned(section, depth / TAP_TEETH, mean)
            return
        inside = self.tool["kind"].startswith("inside")
        crest = 0.5 * feature["minor_diameter_mm" if inside else "major_diameter_mm"]
        deepest = 0.0
        for before, move in zip(self.step["moves"], self.step["moves"][1:]):
            if move["type"] != "thread" or before["type"] == "thread":
                continue  # The second of two thread moves leaves the groove that the first has cut.
            depth = (place(before)[1] - crest) * (1.0 if inside else -1.0)
            deepest = 0.0 if depth < deepest - 1e-6 else deepest  # the next start of the thread
            (section, contact), (cut, _) = self.tooth(depth, inside), self.tooth(deepest, inside)
            deepest = max(deepest, depth)
            if section - cut > SOME:
                yield self.turned(section - cut, (section - cut) / contact, mean)

    def tooth(self, depth: float, inside: bool) -> tuple[float, float]:
        """Area of the tooth down to a depth, and the length of its edge there: tip and one flank about."""
        up = -1.0 if inside else 1.0
        tip = min(up * r for _, r in self.tool["outline"])
        low, high = sorted((up * tip, up * (tip + depth)))
        tooth = flat(self.edge.intersection(box(-1e3, low, 1e3, high)))
        return tooth.area, 0.5 * tooth.length

    def turned(self, section: float, thickness: float, radius: float) -> Load:
        asked = self.of.specific(thickness) * section * radius / 1000.0
        return self.load("torque", asked, self.of.torque(self.rpm(radius)), 0.0, radius)


def _legs(path: Any) -> Iterator[tuple[Any, Any]]:
    """A way in stretches of about LEG."""
    line = shapely.LineString(path)
    count = max(1, math.ceil(line.length / LEG))
    stops = [line.interpolate(i / count, normalized=True).coords[0] for i in range(count + 1)]
    return zip(stops, stops[1:])


def _kappa(letter: str | None) -> float:
    """Cutting edge angle of a holder style (ISO 5608), degrees; blades meet the work square."""
    return _styles().get(letter or "", 90.0)


@cache
def _styles() -> dict[str, float]:
    with (DATA / "holder_styles.csv").open(encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {row["style"]: float(row["cutting_edge_angle_deg"]) for row in rows}
