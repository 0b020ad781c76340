"""What there is to say about threads: assumptions, disagreements, what could not be placed."""

from __future__ import annotations

import re
from dataclasses import replace

from dxf2turn.contour.model import Contour, located
from dxf2turn.features.callouts import Callout
from dxf2turn.features.designation import Designation
from dxf2turn.features.thread_size import ASSUMED, NO_LIMITS, NOT_STANDARD, OTHER_CLASS
from dxf2turn.features.thread_sizes import ThreadSize, metric_pitches, nearest_metric, thread_size
from dxf2turn.features.thread_zone import Surface, Zone
from dxf2turn.features.threads_other import factor
from dxf2turn.findings import Finding, Location, Severity
from dxf2turn.units import plain_text

CHAMFER_PITCHES = 2.0  # a chamfer in front of a taper thread is no longer than this


def _at(contour: Contour, surface: Surface, callout: Callout) -> Location:
    handles = (callout.handle,) if callout.handle else ()
    return located(contour.frame, 0.5 * (surface.z_front + surface.z_back), surface.radius, handles)


def about_size(contour: Contour, callout: Callout, surface: Surface, size: ThreadSize) -> list[Finding]:
    """The remarks of a size: class assumed, pitch not in the table, no limits known."""
    return [
        Finding(
            code=f"features/{remark.code}",
            severity=Severity.FIX if remark.code in (NOT_STANDARD, OTHER_CLASS) else Severity.NOTE,
            text=f"{size.designation}: {remark.text}",
            hint=_HINTS[remark.code],
            where=_at(contour, surface, callout),
            source=size.source,
        )
        for remark in size.remarks
    ]


_HINTS = {
    ASSUMED: "Write the class into the designation.",
    NOT_STANDARD: "Check the designation.",
    OTHER_CLASS: "Check the class; give the limits beside the thread if it is meant so.",
    NO_LIMITS: "",
}


def disagrees(contour: Contour, callout: Callout, surface: Surface, size: ThreadSize) -> list[Finding]:
    """The text names one size, the drawing shows another."""
    drawn = 2.0 * surface.radius
    what = "bored for it" if size.inside else "drawn for it"
    text = (
        f"{size.designation}: the diameter {what} is {plain_text(drawn)} mm, the standard says "
        f"{plain_text(size.crest)} mm; {plain_text(size.cut_from)} mm will be cut"
    )
    return [
        Finding(
            code="features/thread-diameter",
            severity=Severity.FIX,
            text=text,
            hint="Correct the drawing or the designation.",
            where=_at(contour, surface, callout),
            measured=drawn,
            limit=size.crest,
            source=size.standard,
        )
    ]


def wrong_side(
    contour: Contour, callout: Callout, surface: Surface, about: tuple[str, ThreadSize]
) -> list[Finding]:
    """A class of inside threads on an outside diameter, or the other way round. about: class, size taken."""
    written, size = about
    kinds = ("an outside", "an inside") if size.inside else ("an inside", "an outside")
    text = (
        f"{callout.raw.strip()}: {written} is a class of {kinds[0]} thread, the diameter is {kinds[1][3:]}; "
        f"{size.thread_class} is taken"
    )
    return [
        Finding(
            code="features/thread-class",
            severity=Severity.FIX,
            text=text,
            hint="Correct the class in the designation.",
            where=_at(contour, surface, callout),
        )
    ]


def not_tapered(contour: Contour, callout: Callout, surface: Surface, size: ThreadSize) -> list[Finding]:
    """A taper thread on a surface that is drawn as a cylinder."""
    if not size.taper or surface.ratio:
        return []
    drawn = plain_text(2.0 * surface.radius)
    text = f"{size.designation}: the thread tapers 1:{1.0 / size.taper:g}, a cylinder of {drawn} mm"
    return [
        Finding(
            code="features/thread-not-tapered",
            severity=Severity.FIX,
            text=f"{text} is drawn",
            hint="Draw the cone; the contour is cut as drawn.",
            where=_at(contour, surface, callout),
            measured=surface.ratio,
            limit=size.taper,
            unit="",
        )
    ]


def off_gauge(contour: Contour, callout: Callout, surface: Surface, size: ThreadSize) -> list[Finding]:
    """A cone that stands further along the axis than the gauge of its taper thread allows."""
    if not size.taper or not surface.ratio or contour.profile is None:
        return []
    drawn = 2.0 * _radius_at_the_end(contour, surface, size)
    turns = abs(drawn - size.cut_from) / (size.taper * size.pitch)
    most = factor("taper_gauge_turns")
    if turns <= most:
        return []
    end = "mouth" if size.inside else "small end"
    text = (
        f"{size.designation}: the cone is drawn with {plain_text(drawn)} mm at its {end}, the standard says "
        f"{plain_text(size.cut_from)} mm: the thread stands {plain_text(turns, 1)} turns off the gauge; "
        "it is cut on the cone as drawn"
    )
    return [
        Finding(
            code="features/thread-off-gauge",
            severity=Severity.FIX,
            text=text,
            hint="Correct the diameters of the cone, or the designation.",
            where=_at(contour, surface, callout),
            measured=turns,
            limit=most,
            unit="turns",
            source=f"{size.standard}: one turn either way, from memory",
        )
    ]


def _radius_at_the_end(contour: Contour, surface: Surface, size: ThreadSize) -> float:
    """Radius of a cone, prolonged over its chamfer, at its small end, in a hole at its mouth, mm."""
    assert contour.profile is not None
    line = surface.line
    radii = (line.start.y, line.end.y)
    wanted = max(radii) if size.inside else min(radii)
    place = line.start if line.start.y == wanted else line.end
    box = contour.profile.bounds
    beyond = min(abs(box.max_x - place.x), abs(box.min_x - place.x))
    if beyond > CHAMFER_PITCHES * size.pitch:
        beyond = 0.0
    return wanted + (0.5 if size.inside else -0.5) * size.taper * beyond


def several(contour: Contour, callout: Callout, chosen: Surface, others: list[Surface]) -> list[Finding]:
    """More than one diameter fits a text that points at none."""
    places = ", ".join(f"z {plain_text(other.z_front)} to {plain_text(other.z_back)}" for other in others)
    return [
        Finding(
            code="features/thread-several",
            severity=Severity.FIX,
            text=f"{callout.raw.strip()}: the nearest diameter is taken; it also fits at {places}",
            hint="Point at the thread with a leader, or use --thread.",
            where=_at(contour, chosen, callout),
        )
    ]


def doubled(contour: Contour, first: Zone, second: Zone) -> list[Finding]:
    """Two designations for one surface; silence when they say the same."""
    same = (first.size.major, first.size.pitch, first.size.starts, first.size.hand)
    if same == (second.size.major, second.size.pitch, second.size.starts, second.size.hand):
        return []
    return [
        Finding(
            code="features/thread-twice",
            severity=Severity.FIX,
            text=f"{first.size.designation} and {second.size.designation} mean the same diameter; "
            f"{first.size.designation} is used",
            hint="Leave one of the designations out, or use --thread.",
            where=located(contour.frame, first.front, first.surface.radius),
        )
    ]


def unplaced(
    contour: Contour, callout: Callout, designation: Designation, where: tuple[Surface, ...]
) -> list[Finding]:
    """A designation that fits no diameter: both values, and the standard sizes near what is drawn.

    An R or G size that fits nothing is most likely no thread at all (a radius, a mark), so nothing is said.
    """
    size = thread_size(designation, False) or thread_size(designation, True)
    if callout.source != "option" and (designation.family in ("R", "G") or _names_a_standard_part(callout)):
        return []
    if size is None:
        near = " and ".join(nearest_metric(designation.major or 0.0))
        hint = f"Nearest standard sizes: {near}." if designation.family == "M" else "Give size and pitch."
        text = f"{designation.text}: no standard thread"
        text += ", and no pitch given" if designation.pitch is None else " has this pitch"
        return [_unplaced(contour, callout, text, hint, (None, designation.major))]
    nearest = min(where, key=lambda s: min(s.distance(p) for p in callout.places), default=None)
    if nearest is None:
        text = f"{designation.text}: the part has no diameter that could carry it"
        return [_unplaced(contour, callout, text, "Use --thread to place it.", (None, size.major))]
    drawn = 2.0 * nearest.radius
    text = (
        f"{designation.text}: no diameter fits {plain_text(size.major)} mm; the nearest surface is "
        f"{plain_text(drawn)} mm, so no thread is planned"
    )
    near = " and ".join(nearest_metric(drawn))
    hint = f"Standard sizes near it: {near}."
    if designation.count > 1:
        hint = f"Holes off the axis are work beyond turning. {hint}"
    found = _unplaced(contour, callout, text, hint, (drawn, size.major))
    return [_off_the_axis(found, designation) if designation.count > _ENDS else found]


_ENDS = 2  # a part has two ends: more threads of one size are holes off the axis


def _off_the_axis(found: Finding, designation: Designation) -> Finding:
    text = f"{designation.count}x {designation.text}: no diameter of the part carries it; holes off the axis"
    return replace(
        found,
        severity=Severity.NOTE,
        text=f"{text} are work beyond turning",
        hint="Drill and tap them after turning.",
    )


_STANDARD = re.compile(r"\b(?:DIN|ISO|EN|ASME|ANSI)(?:\s+EN)?(?:\s+ISO)?\s*B?(\d+)", re.I)
_OF_THREADS = (
    "1",
    "7",
    "13",
    "76",
    "103",
    "228",
    "261",
    "262",
    "724",
    "965",
    "2901",
    "2904",
    "6410",
    "10226",
)


def _names_a_standard_part(callout: Callout) -> bool:
    """`M8x20 DIN 912` is a screw to be bought, not a thread of this part."""
    found = _STANDARD.search(callout.raw)
    return found is not None and found[1] not in _OF_THREADS


def _unplaced(
    contour: Contour,
    callout: Callout,
    text: str,
    hint: str,
    values: tuple[float | None, float | None],
) -> Finding:
    place = callout.places[0]
    return Finding(
        code="features/thread-unplaced",
        severity=Severity.FIX,
        text=text,
        hint=hint,
        where=located(contour.frame, place.x, place.y, (callout.handle,) if callout.handle else ()),
        measured=values[0],
        limit=values[1],
    )


Drawn = tuple[float, float | None, float | None]  # crest diameter, root diameter, pitch, mm


def mark_guessed(where: Location, size: ThreadSize, drawn: Drawn, leans_left: bool) -> Finding:
    """A thread that only a thin line or crest lines tell of. leans_left: they slant as left-hand ones do."""
    verb = "is" if drawn[2] is None else "are"
    text = f"{_drawn(*drawn)} {verb} taken for {size.designation} ({size.thread_class})"
    text += "; no designation was found"
    if leans_left:
        text += "; they slant as those of a left-hand thread do, a right-hand one is planned"
    hint = "Write the designation, or use --thread."
    return Finding("features/thread-guessed", Severity.FIX, text, hint, where, drawn[0], size.major)


def mark_unknown(where: Location, drawn: Drawn) -> Finding:
    """A thin line or crest lines that look like a thread but fit no standard size."""
    crest, _, pitch = drawn
    text = f"{_drawn(*drawn)} {'fits' if pitch is None else 'fit'} no standard thread"
    pitches = ", ".join(f"x{plain_text(p)}" for p in metric_pitches(crest))
    near = f"M{plain_text(crest)} {pitches}" if pitches else " and ".join(nearest_metric(crest))
    hint = f"If it is a thread, write its designation or use --thread. Nearest sizes: {near}."
    return Finding("features/thread-unknown", Severity.NOTE, text, hint, where, crest)


def _drawn(crest: float, root: float | None, pitch: float | None) -> str:
    over = f"over {plain_text(crest)} mm"
    if pitch is None:
        return f"a thin line at {plain_text(root or 0.0)} mm {over}"
    return f"lines across at distances of {plain_text(pitch)} mm {over}"


def taken_as_alike(where: Location, alike: Zone) -> Finding:
    """A thread without a designation that is drawn like one that has it."""
    text = (
        f"the thread here has no designation; it is drawn like {alike.size.designation} at "
        f"z {plain_text(alike.front)} to {plain_text(alike.back)} and is cut like it"
    )
    hint = f"Write 2x {alike.size.designation}, or use --thread."
    return Finding("features/thread-guessed", Severity.NOTE, text, hint, where)
