"""The options of the command line: how each is read, and the records that are made of them."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from dxf2turn.options import DrawingOptions, PlanOptions, StockOption, Tolerances
from dxf2turn.units import Unit

Command = TypeVar("Command", bound=Callable[..., Any])
AUTO = "auto"
UNITS = ("mm", "inch")


class Axis(click.ParamType[Any]):
    """auto, horizontal, vertical, or two points X0,Y0,X1,Y1 in drawing coordinates."""

    name = "axis"
    words = (AUTO, "horizontal", "vertical")

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if value in self.words or isinstance(value, tuple):
            return value
        numbers = [_finite(text) for text in str(value).split(",")]
        if len(numbers) != 4 or None in numbers:
            self.fail(
                f"{value!r} is neither {', '.join(self.words)} nor four numbers X0,Y0,X1,Y1.", param, ctx
            )
        if numbers[:2] == numbers[2:]:
            self.fail(f"{value!r}: the two points of the axis are the same.", param, ctx)
        return tuple(numbers)


class Millimetres(click.ParamType[Any]):
    """A length in mm above 0."""

    name = "mm"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        number = _finite(str(value))
        if number is None or number <= 0.0:
            self.fail(f"{value!r} is not a length in mm above 0.", param, ctx)
        return number


class Scale(click.ParamType[Any]):
    """auto, a number (drawn size over real size), or a ratio such as 2:1."""

    name = "scale"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if value == AUTO:
            return value
        parts = [_finite(text) for text in str(value).split(":")]
        if not 1 <= len(parts) <= 2 or any(part is None or part <= 0.0 for part in parts):
            self.fail(
                f"{value!r} is neither auto, nor a number above 0, nor a ratio such as 2:1.", param, ctx
            )
        return math.prod(parts[:1]) / math.prod(parts[1:])  # type: ignore[arg-type]


class Stock(click.ParamType[Any]):
    """auto, or DIAMETERxLENGTH[xBORE] in mm."""

    name = "stock"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if value == AUTO or isinstance(value, StockOption):
            return value
        sizes = [_finite(text) for text in re.split(r"[xX\u00d7*]", str(value))]
        if not 2 <= len(sizes) <= 3 or any(size is None or size < 0.0 for size in sizes):
            self.fail(f"{value!r} is neither auto nor DIAMETERxLENGTH[xBORE] in mm, e.g. 40x120.", param, ctx)
        diameter, length, bore = (*(size or 0.0 for size in sizes), 0.0)[:3]
        if diameter <= 0.0 or length <= 0.0 or bore >= diameter:
            self.fail(f"{value!r}: diameter and length above 0, bore below the diameter.", param, ctx)
        return StockOption(diameter, length, bore)


def _finite(text: str) -> float | None:
    """A finite number, None for anything else (NaN and infinity included)."""
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) else None


def _stacked(*options: Callable[[Command], Command]) -> Callable[[Command], Command]:
    """Several options as one decorator, shown in the order given."""

    def decorate(command: Command) -> Command:
        for option in reversed(options):
            command = option(command)
        return command

    return decorate


_FRONTS = (AUTO, "right", "left", "top", "bottom")

drawing_options = _stacked(
    click.option(
        "--units",
        type=click.Choice((AUTO, *UNITS)),
        default=AUTO,
        help="Unit of the drawing; wins over its header.",
    ),
    click.option(
        "--axis",
        type=Axis(),
        default=AUTO,
        metavar="AXIS",
        help="Turning axis: auto, horizontal, vertical or X0,Y0,X1,Y1 in drawing coordinates.",
    ),
    click.option(
        "--front",
        type=click.Choice(_FRONTS),
        default=AUTO,
        help="Where the end away from the chuck is drawn; auto: right, or top for an upright axis.",
    ),
    click.option(
        "--layer",
        "layers",
        multiple=True,
        metavar="NAME",
        help="Outline only from this layer; can be given several times.",
    ),
    click.option(
        "--gap",
        type=Millimetres(),
        metavar="MM",
        help="Largest gap in the outline that is closed [default: 0.01].",
    ),
    click.option(
        "--fit",
        type=Millimetres(),
        metavar="MM",
        help="Largest distance of fitted arcs from a drawn spline [default: 0.002].",
    ),
    click.option(
        "--scale",
        type=Scale(),
        default=AUTO,
        metavar="K",
        help="Drawn size over real size: auto, a number or a ratio such as 2:1.",
    ),
    click.option(
        "--part", type=click.IntRange(min=1), metavar="N", help="Which part of a sheet with several."
    ),
    click.option(
        "--thread",
        "threads",
        multiple=True,
        metavar="TEXT",
        help='A thread the drawing does not name, e.g. "M20x1.5@-5..-25" (Z range, mm); repeatable.',
    ),
    click.option("--strict", is_flag=True, help="Repairs become errors."),
)

plan_options = _stacked(
    click.option("--material", metavar="NAME", help="Work material [default: the shop's]."),
    click.option(
        "--stock",
        type=Stock(),
        default=AUTO,
        metavar="DxL[xB]",
        help="Stock in mm: DIAMETERxLENGTH[xBORE], or auto (next preferred bar).",
    ),
    click.option(
        "--shop",
        "shop_dir",
        type=click.Path(path_type=Path),
        metavar="DIR",
        help="Folder with machine.toml, tools.toml, materials.toml, practice.toml.",
    ),
    click.option("--machine", metavar="NAME", help="Lathe [default: the shop's]."),
)

units_out_option = click.option(
    "--units-out", type=click.Choice(UNITS), help="Unit of the texts for people [default: the drawing's]."
)

output_folder = click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="DIR", help="Output folder, made when missing."
)

report_options = _stacked(
    click.option(
        "--json", "as_json", is_flag=True, help="The document on standard output, nothing else there."
    ),
    click.option("-q", "--quiet", is_flag=True, help="Nothing but errors on standard error."),
)

bulk_options = _stacked(
    click.option(
        "--workers", type=click.IntRange(min=1), metavar="N", help="Processes [default: one a core]."
    ),
    click.option(
        "--timeout",
        type=click.FloatRange(min=0.0, min_open=True),
        default=120.0,
        show_default=True,
        metavar="S",
        help="Seconds that one drawing may take before its process is ended.",
    ),
    click.option(
        "--memory",
        type=click.IntRange(min=256),
        default=2048,
        show_default=True,
        metavar="MB",
        help="Memory that one process may take.",
    ),
    click.option(
        "--force",
        "--no-resume",
        "force",
        is_flag=True,
        help="Do all drawings again, not only new and changed ones.",
    ),
)


class Values(dict[str, Any]):
    """The values of a command's options by name; what a command does not have is None."""

    def __missing__(self, name: str) -> None:
        return None


def drawing_record(values: Values) -> DrawingOptions:
    """What the user asked for about reading the drawing."""
    usual = Tolerances()
    tolerances = Tolerances(gap=values["gap"] or usual.gap, fit=values["fit"] or usual.fit)
    return DrawingOptions(
        units=None if values["units"] == AUTO else Unit(values["units"]),
        axis=values["axis"],
        front=values["front"],
        layers=tuple(values["layers"]),
        scale=None if values["scale"] == AUTO else values["scale"],
        part=values["part"],
        threads=tuple(values["threads"]),
        strict=values["strict"],
        tolerances=tolerances,
    )


def plan_record(values: Values) -> PlanOptions:
    """What the user asked for about planning."""
    return PlanOptions(
        material=values["material"],
        machine=values["machine"],
        stock=None if values["stock"] in (AUTO, None) else values["stock"],
        shop_dir=values["shop_dir"],
        units_out=units_out(values),
    )


def units_out(values: Values) -> Unit | None:
    """The unit of texts for people, None = the drawing's."""
    return Unit(values["units_out"]) if values["units_out"] else None
