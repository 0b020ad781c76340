"""The bar or blank that the part comes out of. Rules and their standing are in docs/planning.md."""

from __future__ import annotations

from dataclasses import dataclass

from dxf2turn.findings import Finding, Severity
from dxf2turn.options import StockOption
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.shop.model import Machine, Shop
from dxf2turn.shop.practice import StockPractice
from dxf2turn.units import plain_text

EXACT = 1e-6  # two sizes closer than this are one, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Round stock. diameter and bore mm; length: of the piece, None for a bar cut as needed.

    text: for people, with the rule behind the choice.
    """

    diameter: float
    bore: float = 0.0
    length: float | None = None
    text: str = ""

    @property
    def radius(self) -> float:
        return 0.5 * self.diameter

    @property
    def name(self) -> str:
        """For people: "bar 55 mm", "tube 80 x 50 mm"."""
        outside = plain_text(self.diameter)
        return f"tube {outside} x {plain_text(self.bore)} mm" if self.bore else f"bar {outside} mm"


def allowance(diameter: float, practice: StockPractice) -> float:
    """Least stock over the largest diameter, mm: 1 to 3 mm, growing with size (rule T43, common practice)."""
    steps = practice.oversize_mm
    return next((more for limit, more in steps if diameter <= limit), steps[-1][1])


def choose_stock(part: PlacedPart, shop: Shop, wanted: StockOption | None) -> Stock | Finding:
    """The next preferred bar over the largest diameter, or what the user asked for.

    Returns a finding with severity STOP when nothing in the shop, or not the wanted stock, holds the part.
    """
    diameter = 2.0 * part.max_radius
    if wanted is not None:
        return _wanted(part, wanted, diameter)
    over = allowance(diameter, shop.practice.stock)
    least = diameter + over
    fitting = [bar for bar in sorted(shop.bar_diameters_mm) if bar >= least - EXACT]
    if not fitting:
        return Finding(
            code="planning/no-bar",
            severity=Severity.STOP,
            text=f"no bar of the shop is large enough: the part needs {plain_text(least)} mm",
            hint="add the size to the shop's bars or give --stock DIAMETERxLENGTH",
            measured=diameter,
            limit=max(shop.bar_diameters_mm, default=0.0),
            source="rule T43: 1 to 3 mm over the largest diameter, common practice",
        )
    text = (
        f"round bar {plain_text(fitting[0])} mm: the next preferred size at least "
        f"{plain_text(over)} mm over the largest diameter {plain_text(diameter)} mm"
    )
    return Stock(diameter=fitting[0], text=text)


def _wanted(part: PlacedPart, wanted: StockOption, diameter: float) -> Stock | Finding:
    bore_radius = min((min(s.start.y, s.end.y) for s in part.segments), default=0.0)
    small = wanted.diameter < diameter - EXACT
    short = wanted.length < part.length - EXACT
    wide = wanted.bore > 2.0 * bore_radius + EXACT
    if small or short or wide:
        reasons = [
            f"its diameter is below the part's {plain_text(diameter)} mm" if small else "",
            f"it is shorter than the part, {plain_text(part.length)} mm" if short else "",
            f"its bore is wider than the part's smallest, {plain_text(2.0 * bore_radius)} mm" if wide else "",
        ]
        return Finding(
            code="planning/stock-too-small",
            severity=Severity.STOP,
            text=f"the part does not fit into the stock asked for: {'; '.join(r for r in reasons if r)}",
            hint="give a larger --stock, or leave it out to get the next preferred bar",
            measured=wanted.diameter,
            limit=diameter,
        )
    kind = f"tube, bore {plain_text(wanted.bore)} mm" if wanted.bore else "bar"
    text = f"round {kind} {plain_text(wanted.diameter)} mm, {plain_text(wanted.length)} mm long, as asked for"
    return Stock(diameter=wanted.diameter, bore=wanted.bore, length=wanted.length, text=text)


def grip_length(diameter: float, machine: Machine, practice: StockPractice) -> float:
    """Length to hold, mm: one diameter, at most what the jaws take, at least 10 (rule T45).

    >>> from types import SimpleNamespace
    >>> lathe, usual = SimpleNamespace(jaw_length=40.0), SimpleNamespace(least_grip_mm=10.0)
    >>> grip_length(6.0, lathe, usual), grip_length(60.0, lathe, usual)
    (10.0, 40.0)
    """
    return max(practice.least_grip_mm, min(diameter, machine.jaw_length))
