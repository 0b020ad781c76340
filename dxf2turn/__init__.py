"""From the DXF drawing of a turned part to a verified lathe plan.

    import dxf2turn

    drawing = dxf2turn.read("shaft.dxf")
    job = dxf2turn.recognise(drawing)       # contour and features
    job = dxf2turn.plan(drawing)            # the whole job: features, checks, plan, removal check
    files = dxf2turn.render(job)            # {"shaft.plan.json": b"...", ...}

A drawing with faults gives a `Job` with findings; only what can't be read at all raises (see `errors`).
The names are loaded when they are first used, so that `import dxf2turn` stays quick.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dxf2turn.errors import BadOptions, BadShopData, BrokenInvariant, Dxf2TurnError, UnreadableDrawing
    from dxf2turn.findings import Finding, Location, Repair, Severity
    from dxf2turn.job import Job
    from dxf2turn.options import DrawingOptions, PlanOptions, StockOption, Tolerances
    from dxf2turn.output.files import render
    from dxf2turn.pipeline import check, plan, read, recognise
    from dxf2turn.shop.load import load_shop
    from dxf2turn.units import Unit

__version__ = "0.1.0"

_HOME = {
    "read": "pipeline",
    "recognise": "pipeline",
    "check": "pipeline",
    "plan": "pipeline",
    "render": "output.files",
    "load_shop": "shop.load",
    "Job": "job",
    "Finding": "findings",
    "Location": "findings",
    "Repair": "findings",
    "Severity": "findings",
    "DrawingOptions": "options",
    "PlanOptions": "options",
    "StockOption": "options",
    "Tolerances": "options",
    "Unit": "units",
    "Dxf2TurnError": "errors",
    "UnreadableDrawing": "errors",
    "BadOptions": "errors",
    "BadShopData": "errors",
    "BrokenInvariant": "errors",
}

__all__ = [
    "BadOptions",
    "BadShopData",
    "BrokenInvariant",
    "DrawingOptions",
    "Dxf2TurnError",
    "Finding",
    "Job",
    "Location",
    "PlanOptions",
    "Repair",
    "Severity",
    "StockOption",
    "Tolerances",
    "Unit",
    "UnreadableDrawing",
    "check",
    "load_shop",
    "plan",
    "read",
    "recognise",
    "render",
]


def __getattr__(name: str) -> Any:
    """Load a public name from its module at first use."""
    if name not in _HOME:
        raise AttributeError(f"module 'dxf2turn' has no attribute {name!r}")
    value = getattr(import_module(f"dxf2turn.{_HOME[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
