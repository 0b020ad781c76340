"""Which stock the ways begin with, and what is said about the one that was taken in the end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from dxf2turn.findings import Finding, Severity
from dxf2turn.options import StockOption
from dxf2turn.planning.bench import Cell
from dxf2turn.planning.placed import PlacedPart
from dxf2turn.planning.stock import Stock, choose_stock, choose_tube, is_sawn
from dxf2turn.planning.stock_findings import gives_way, sawn_piece, stock_findings
from dxf2turn.planning.variant import Variant


def stock_for(part: PlacedPart, cell: Cell, wanted: StockOption | None) -> Stock | Finding:
    """What was asked for, else bar, else tube where no bar is thick enough; a finding that stops for none."""
    stock = choose_stock(part, cell.shop, wanted)
    if isinstance(stock, Finding):
        tube = None if wanted else choose_tube(part, cell.shop, cell.material)
        return tube or stock
    return gives_way(stock, cell.practice.stock) or stock


def stock_notes(part: PlacedPart, best: Variant, variants: Sequence[Variant]) -> Iterator[Finding]:
    """What to look at about the stock, what the part would take from other stock, how bar is sawn."""
    cell = best.benches[0].cell
    yield from stock_findings(part, best.stock, cell.practice.stock)
    others = {v.source: v for v in sorted(variants, key=lambda way: way.rank, reverse=True)}
    times = [_timed(v, best) for source, v in others.items() if source != best.source]
    if times:
        yield Finding(
            code="planning/stock-compared",
            severity=Severity.NOTE,
            text=f"the least time that is safe: {_timed(best, best)}; compared with {', '.join(times)}",
            hint="give --stock DIAMETERxLENGTH or DIAMETERxLENGTHxBORE to have it made of other stock",
        )
    parting = next((b.clamping.parting for b in best.benches if b.clamping.parting is not None), None)
    if parting is not None and is_sawn(best.stock, cell.machine):
        yield sawn_piece(best.stock, cell.machine, best.benches[0].clamping, parting)


def _timed(way: Variant, best: Variant) -> str:
    worse = " (leaves more, or is held less well)" if way.times.total_s < best.times.total_s else ""
    return f"{way.source}, {way.times.total_s:.0f} s{worse}"
