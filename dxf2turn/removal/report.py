"""The verdict in words: one finding for each kind of trouble in each step, the worst place named."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.geometry.point import Point
from dxf2turn.removal.body import Frame, ring_volume
from dxf2turn.removal.left import Left
from dxf2turn.removal.model import Trouble
from dxf2turn.removal.tolerances import GOUGE, LEFT, PLACE, STOCK, TOUCH
from dxf2turn.units import length_text

LIMITS = {
    "gouge": GOUGE,
    "rapid contact": TOUCH,
    "holder contact": TOUCH,
    "jaw contact": TOUCH,
    "support contact": TOUCH,
    "stock": STOCK,
    "path": PLACE,
}
HINTS = {
    "gouge": "The plan must not be used. Report the drawing: a plan that cuts into the part is a defect.",
    "rapid contact": "The plan must not be used. A longer or a different way round is needed.",
    "holder contact": "Put a tool with a slimmer or longer holder into the crib, or clear the way first.",
    "jaw contact": "Grip a shorter length, or use a longer bar.",
    "support contact": "The plan must not be used. A tool must keep clear of centre and steady.",
    "support": "The plan must not be used: the work would come out of its support.",
    "grip": "The plan must not be used: the work is not held on a plain surface that is there.",
    "stock": "The setups don't follow from one another; the plan must not be used.",
    "cut loose": "Part off last, and hold the side that is still to be cut.",
    "loose ring": "Be ready for the ring that comes off in one piece; it can jam under the tool.",
    "thread": "Cut the thread, or take its designation out of the drawing.",
    "knurl": "Press the knurl, or take its note out of the drawing.",
    "path": "The plan must not be used. Report the drawing: a step with a broken path is a defect.",
}
RULE = "removal check, see docs/removal.md"


def findings_for(
    troubles: Sequence[Trouble], left: Sequence[Left], frames: Mapping[int, Frame], minor: Sequence[str]
) -> tuple[Finding, ...]:
    """All findings, in the order of setups and steps, left-over last."""
    return (*_of_troubles(troubles, frames, minor), *_of_left(left))


def nothing_made() -> Finding:
    """A plan without a setup, or one after which nothing of the part is there."""
    return Finding(
        code="removal/nothing-made",
        severity=Severity.STOP,
        text="The plan does not make the part: after it, nothing of the part is there.",
        hint="Report the drawing: a plan without steps is a defect.",
        source=RULE,
    )


def _of_troubles(
    troubles: Sequence[Trouble], frames: Mapping[int, Frame], minor: Sequence[str]
) -> Iterator[Finding]:
    groups: dict[tuple[int, int, str], list[Trouble]] = {}
    for trouble in troubles:
        groups.setdefault((trouble.setup, trouble.step, trouble.kind), []).append(trouble)
    for (setup, _, kind), group in groups.items():
        worst = max(group, key=lambda trouble: trouble.size)
        frame = frames.get(setup, Frame(1.0, 0.0))
        at = frame.point_on_part(worst.at)
        more = f" ({len(group)} moves of this step do so)" if len(group) > 1 else ""
        yield Finding(
            code=f"removal/{kind.replace(' ', '-')}",
            severity=Severity.FIX if kind in minor else Severity.STOP,
            text=f"{_who(worst)} {worst.text} at {_place(worst.at)}{more}.",
            hint=HINTS[kind],
            where=Location(z=at.x, r=at.y),
            measured=worst.size,
            limit=LIMITS.get(kind),
            unit="mm2" if kind in ("thread", "cut loose", "loose ring") else "mm",
            source=RULE,
        )


def _who(trouble: Trouble) -> str:
    if trouble.step == 0:
        return f"Setup {trouble.setup}:"
    return f"Setup {trouble.setup}, step {trouble.step}: move {trouble.move}"


def _place(at: Point) -> str:
    return f"X {length_text(2.0 * at.y)} Z {length_text(at.x)} mm"


def _of_left(left: Sequence[Left]) -> Iterator[Finding]:
    for one in left:
        if one.unexplained <= LEFT:
            continue
        volume = ring_volume(one.region)
        yield Finding(
            code="removal/left",
            severity=Severity.STOP,
            text=f"Material is left {one.unexplained:.3f} mm thick ({volume:.1f} mm3) at {_place(one.at)},"
            " and the plan does not say why.",
            hint="A step is missing, or a tool does not reach; the plan must not be used.",
            where=Location(z=one.at.x, r=one.at.y),
            measured=one.unexplained,
            limit=LEFT,
            source=RULE,
        )
