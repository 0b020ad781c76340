"""What is to be looked at about the stock: thin walls, little to cut off, sawing."""

from __future__ import annotations

from collections.abc import Iterator

from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.planning.clamping import Clamping
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.stock import EXACT, Stock, allowance, bore_allowance, through_bore
from dxf2turn.shop.model import Machine
from dxf2turn.shop.practice import StockPractice
from dxf2turn.units import plain_text

NEARLY = 0.05  # stock so little below the rule is not told, mm


def gives_way(stock: Stock, practice: StockPractice) -> Finding | None:
    """A finding that stops where the wall of a tube is too thin to be held at all."""
    if stock.wall_share >= practice.least_wall_share - EXACT:
        return None
    return Finding(
        code="planning/wall-gives-way",
        severity=Severity.STOP,
        text=f"{stock.name} can't be held: {_wall(stock)}",
        hint="take a tube with a thicker wall, or bar",
        measured=stock.wall_share,
        limit=practice.least_wall_share,
        unit="",
        source="practice of the shop, least_wall_share",
    )


def stock_findings(part: PlacedPart, stock: Stock, practice: StockPractice) -> Iterator[Finding]:
    """What a person should look at before the first cut."""
    if stock.wall_share < practice.thin_wall_share - EXACT:
        yield Finding(
            code="planning/thin-tube",
            severity=Severity.FIX,
            text=f"{stock.name} is held outside: {_wall(stock)}, hard jaws press it out of round",
            hint="hold it in soft jaws bored to its diameter, a plug in its bore, and clamp lightly",
            where=Location(z=-part.length, r=stock.radius),
            measured=stock.wall_share,
            limit=practice.thin_wall_share,
            unit="",
            source="practice of the shop, thin_wall_share",
        )
    yield from _scant(part, stock, practice)


def _wall(stock: Stock) -> str:
    wall = 0.5 * (stock.diameter - stock.bore)
    return f"its wall of {plain_text(wall)} mm is {plain_text(100.0 * stock.wall_share, 1)} % of its diameter"


def _scant(part: PlacedPart, stock: Stock, practice: StockPractice) -> Iterator[Finding]:
    """Where the stock asked for has less to cut off than the rules want."""
    largest, bore = 2.0 * part.max_radius, through_bore(part)
    places = [("outside", stock.diameter - largest, allowance(largest, practice), (0.0, part.max_radius))]
    if stock.bore:
        places.append(("bore", bore - stock.bore, bore_allowance(bore, practice), (0.0, 0.5 * bore)))
    if stock.length is not None:
        places.append(("length", stock.length - part.length, 2.0 * practice.face_mm, (-part.length, 0.0)))
    for name, has, wants, (z, r) in places:
        if has < wants - NEARLY:
            yield Finding(
                code="planning/little-to-cut-off",
                severity=Severity.FIX,
                text=(
                    f"the stock leaves {plain_text(has)} mm to cut off at the {name}; "
                    f"{plain_text(wants)} mm are usual"
                ),
                hint="see that the stock is clean, round and straight there, or take larger stock",
                where=Location(z=z, r=r),
                measured=has,
                limit=wants,
                source="rule T43 and the practice of the shop",
            )


def sawn_piece(stock: Stock, machine: Machine, first: Clamping, parting: float) -> Finding:
    """That stock can't come through the spindle. parting: z of the parted face, mm."""
    back, _, front, _ = first.stock.bounds
    bore = f"up to {plain_text(machine.spindle_bore_mm)} mm" if machine.bar_feed else "no bar feed"
    return Finding(
        code="planning/sawn-piece",
        severity=Severity.NOTE,
        text=(
            f"{stock.name} can't come through the spindle ({bore}): "
            f"a piece of {plain_text(front - back, 1)} mm is sawn off for each part, and "
            f"{plain_text(parting - back, 1)} mm of it are lost with the cut"
        ),
        hint="nothing has to be done; a longer piece does not go into the chuck",
        measured=stock.diameter,
        limit=machine.spindle_bore_mm,
        source=machine.source,
    )
