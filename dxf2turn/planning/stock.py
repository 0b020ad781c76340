"""The bar or tube that the part comes out of. Rules and their standing are in docs/planning.md."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from dxf2turn.findings import Finding, Severity
from dxf2turn.options import StockOption
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.shop.model import Machine, Material, Shop
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

    @property
    def wall_share(self) -> float:
        """Thickness of the wall over the diameter; a half of solid stock."""
        return 0.5 * (self.diameter - self.bore) / self.diameter


def allowance(diameter: float, practice: StockPractice) -> float:
    """Least stock over the largest diameter, mm: 1 to 3 mm, growing with size (rule T43, common practice)."""
    return _by_size(diameter, practice.oversize_mm)


def bore_allowance(bore: float, practice: StockPractice) -> float:
    """Least difference between the smallest bore of a part and the bore of its tube, mm (common practice)."""
    return _by_size(bore, practice.tube_undersize_mm)


def _by_size(size: float, steps: Sequence[Sequence[float]]) -> float:
    """The value for a size in steps of [up to this size, value]."""
    return next((value for limit, value in steps if size <= limit), steps[-1][1])


def through_bore(part: PlacedPart) -> float:
    """Smallest diameter of a bore that goes through, mm; 0 for a part that is closed somewhere."""
    return 0.0 if part.is_solid else 2.0 * min(s.bounds.min_y for s in part.segments)


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


def choose_tube(part: PlacedPart, shop: Shop, material: Material) -> Stock | None:
    """The tube of the shop with the least to cut off; None where the part is closed or none of them fits.

    Tubes that hard jaws would press out of round are left out: they are only taken when asked for.
    """
    bore, practice = through_bore(part), shop.practice.stock
    if bore <= 0.0 or material.group not in shop.tube_groups:
        return None
    largest = 2.0 * part.max_radius
    over, under = allowance(largest, practice), bore_allowance(bore, practice)
    tubes = (Stock(diameter=outside, bore=inside) for outside, inside in shop.tubes_mm)
    fitting = [
        tube
        for tube in tubes
        if tube.diameter >= largest + over - EXACT
        and tube.bore <= bore - under + EXACT
        and tube.wall_share >= practice.thin_wall_share - EXACT
    ]
    found = min(fitting, key=lambda tube: tube.diameter**2 - tube.bore**2, default=None)
    if found is None:
        return None
    text = (
        f"round {found.name}: the one with the least to cut off that is at least {plain_text(over)} mm over "
        f"the largest diameter {plain_text(largest)} mm and {plain_text(under)} mm under the smallest bore "
        f"{plain_text(bore)} mm"
    )
    return replace(found, text=text)


def is_sawn(stock: Stock, machine: Machine) -> bool:
    """Whether pieces must be sawn off because bar of this diameter can't come through the spindle."""
    return not machine.bar_feed or stock.diameter > machine.spindle_bore_mm + EXACT


def _wanted(part: PlacedPart, wanted: StockOption, diameter: float) -> Stock | Finding:
    bore = through_bore(part)
    small = wanted.diameter < diameter - EXACT
    short = wanted.length < part.length - EXACT
    wide = wanted.bore > bore + EXACT
    if small or short or wide:
        reasons = [
            f"its diameter is below the part's {plain_text(diameter)} mm" if small else "",
            f"it is shorter than the part, {plain_text(part.length)} mm" if short else "",
            _too_wide(bore) if wide else "",
        ]
        return Finding(
            code="planning/stock-too-small",
            severity=Severity.STOP,
            text=f"the part does not fit into the stock asked for: {'; '.join(r for r in reasons if r)}",
            hint="give a larger --stock, or leave it out to get the next preferred bar",
            measured=wanted.diameter,
            limit=diameter,
        )
    stock = Stock(diameter=wanted.diameter, bore=wanted.bore, length=wanted.length)
    return replace(stock, text=f"round {stock.name}, {plain_text(wanted.length)} mm long, as asked for")


def _too_wide(bore: float) -> str:
    if bore <= 0.0:
        return "it is a tube, and the part has no bore that goes through"
    return f"its bore is wider than the part's smallest, {plain_text(bore)} mm"


def grip_length(diameter: float, machine: Machine, practice: StockPractice) -> float:
    """Length to hold, mm: one diameter, at most what the jaws take, at least 10 (rule T45).

    >>> from types import SimpleNamespace
    >>> lathe, usual = SimpleNamespace(jaw_length=40.0), SimpleNamespace(least_grip_mm=10.0)
    >>> grip_length(6.0, lathe, usual), grip_length(60.0, lathe, usual)
    (10.0, 40.0)
    """
    return max(practice.least_grip_mm, min(diameter, machine.jaw_length))
