"""What the stage has to say: repairs and findings, one a kind, with the entities they are about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from dxf2turn.findings import Finding, Location, Repair, Severity
from dxf2turn.reading.convert import Made
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.structure import SECOND_BLOCK
from dxf2turn.reading.model import Curve, Role
from dxf2turn.reading.wording import MENDS, counted

_HANDLES_SHOWN = 12


def form_repairs(mended: Iterable[str]) -> Iterator[Repair]:
    """Repairs of the file's form, each named once."""
    for code in dict.fromkeys(mended):
        yield Repair(f"reading/{code}", MENDS[code])


def entity_repairs(made: Sequence[Made]) -> Iterator[Repair]:
    """One repair a kind of mend, with the handles of all entities that needed it."""
    handles: dict[str, list[str]] = {}
    for one in made:
        for code in one.mended:
            handles.setdefault(code, []).append(one.origin.handle)
    for code, found in handles.items():
        yield Repair(f"reading/{code}", MENDS[code], handles=tuple(dict.fromkeys(found)))


def not_read(made: Sequence[Made]) -> Iterator[Finding]:
    """One finding a kind and reason for entities that a person should look at."""
    groups: dict[tuple[str, str], list[Made]] = {}
    for one in made:
        if one.serious:
            groups.setdefault((one.record.kind, one.reason), []).append(one)
    for (kind, reason), found in groups.items():
        handles = tuple(dict.fromkeys(one.origin.handle for one in found))
        shown = ", ".join(handles[:_HANDLES_SHOWN]) + (", \u2026" if len(handles) > _HANDLES_SHOWN else "")
        yield Finding(
            "reading/not-read",
            Severity.FIX,
            f"{kind} {shown} not read: {reason}.",
            "If it belongs to the part, redraw it with lines and arcs.",
            Location(handles=handles[:_HANDLES_SHOWN], layer=found[0].origin.layer),
        )


def double_blocks(made: Sequence[Made], stray: Sequence[tuple[Record, str]]) -> Iterator[Finding]:
    """Blocks that are shown and that the file defines twice: only the first definition is drawn."""
    shown = {one.record.name(2) for one in made if one.record.kind == "INSERT"}
    for reason in dict.fromkeys(reason for _, reason in stray if reason.startswith(SECOND_BLOCK)):
        name = reason.removeprefix(SECOND_BLOCK)
        if name in shown:
            records = [record for record, other in stray if other == reason]
            yield Finding(
                "reading/double-block",
                Severity.FIX,
                f"The file defines the block {name} twice; the first definition is drawn, "
                f"{counted(len(records), 'entity', 'entities')} of the second left out.",
                "Look whether the picture shows the part as it should be.",
                Location(handles=tuple(r.handle for r in records if r.handle)[:_HANDLES_SHOWN]),
            )


def unplotted_curves(made: Sequence[Made]) -> Iterator[Finding]:
    """What was left out of the outline because its layer is not plotted."""
    layers = {
        one.origin.layer for one in made for curve in one.curves if not one.plotted and _is_other(curve)
    }
    if layers:
        yield Finding(
            "reading/not-plotted",
            Severity.NOTE,
            f"Curves on layers that are not plotted are no outline: {', '.join(sorted(layers))}.",
            "Switch plotting of the layer on if it holds the outline.",
            Location(layer=min(layers)),
        )


def _is_other(curve: Curve) -> bool:
    return curve.role is Role.OTHER


def fitted_curves(made: Sequence[Made], fit: float, flat: float) -> Iterator[Finding]:
    """What was drawn by fitted arcs and how near; a bow below `flat` is none. Drawing units."""
    fitted = [(curve.fitted, curve.origin) for one in made for curve in one.curves if curve.fitted > flat]
    if not fitted:
        return
    largest, _ = max(fitted, key=lambda pair: pair[0])
    handles = tuple(dict.fromkeys(origin.handle for _, origin in fitted))
    missed = largest > fit
    yield Finding(
        "reading/fitted",
        Severity.FIX if missed else Severity.NOTE,
        f"{counted(len(handles), 'curve is', 'curves are')} drawn by arcs that run into each other without a "
        f"kink (ellipse, spline, squeezed arc); at most {largest:.2g} drawing units beside the true curve.",
        "Redraw the curve with arcs." if missed else "",
        Location(handles=handles[:_HANDLES_SHOWN]),
        largest if missed else None,
        fit if missed else None,
        "drawing units",
    )
