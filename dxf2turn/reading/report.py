"""What the stage has to say: repairs and findings, one a kind, with the entities they are about."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from dxf2turn.findings import Finding, Location, Repair, Severity
from dxf2turn.reading.convert import Made
from dxf2turn.reading.file.record import Record
from dxf2turn.reading.file.structure import SECOND_BLOCK
from dxf2turn.reading.model import Curve, Role, SetAside
from dxf2turn.reading.wording import MENDS, NO_MATTER, counted

_HANDLES_SHOWN = 12
_GROUPS_SHOWN = 6


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


def left_out(set_aside: Sequence[SetAside], made: Sequence[Made]) -> Iterator[Finding]:
    """One note about what was set aside and might belong to the part: hidden layers, other spaces, odd kinds.

    What has a finding of its own and what never draws an outline (`wording.NO_MATTER`) is not repeated.
    """
    told = {(one.record.kind, one.reason) for one in made if one.serious}
    groups = [one for one in set_aside if (one.kind, one.reason) not in told and not _no_matter(one)]
    if not groups:
        return
    counts = Counter[str]()
    for one in groups:
        counts[f"{one.kind} ({one.reason})"] += one.count
    shown = "; ".join(f"{count} {what}" for what, count in counts.most_common(_GROUPS_SHOWN))
    more = "; and other kinds" if len(counts) > _GROUPS_SHOWN else ""
    handles = tuple(handle for one in groups for handle in one.handles)[:_HANDLES_SHOWN]
    yield Finding(
        "reading/set-aside",
        Severity.NOTE,
        f"Not read: {shown}{more}.",
        "Switch its layer on or draw it as lines and arcs if something of it belongs to the part.",
        Location(handles=handles, layer=groups[0].layer),
    )


def _no_matter(one: SetAside) -> bool:
    return one.kind in NO_MATTER or one.reason in NO_MATTER or one.reason.startswith(SECOND_BLOCK)


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
