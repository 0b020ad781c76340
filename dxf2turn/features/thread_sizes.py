"""From a designation to the sizes of the thread. What is assumed or not standard is a remark."""

from __future__ import annotations

from functools import cache

from dxf2turn import tables
from dxf2turn.features import threads_iso
from dxf2turn.features.designation import Designation
from dxf2turn.features.inch_sizes import INCH, inch_major
from dxf2turn.features.thread_size import (
    NOT_STANDARD,
    OTHER_CLASS,
    Basics,
    Remark,
    ThreadLimits,
    ThreadSize,
    class_asked,
    sized,
    usual_class,
)
from dxf2turn.features.threads_other import (
    acme_size,
    buttress_size,
    npt_size,
    pipe_size,
    round_size,
    trapezoidal_size,
)
from dxf2turn.units import plain_text


def coarse_pitch(major: float) -> float | None:
    """Pitch of the coarse series for a metric size, None when the size is not in the table."""
    for row in tables.rows("thread_iso_sizes"):
        if row.number("d_mm") == major and row["series"] == "coarse":
            return row.number("pitch_mm")
    return None


def metric_pitches(major: float) -> tuple[float, ...]:
    """All pitches of the table for a metric size, coarse first."""
    rows = [row for row in tables.rows("thread_iso_sizes") if row.number("d_mm") == major]
    return tuple(row.number("pitch_mm") for row in sorted(rows, key=lambda row: row["series"] != "coarse"))


@cache
def _least_pitch() -> float:
    return min(row.number("pitch_mm") for row in tables.rows("thread_iso_sizes"))


def nearest_metric(major: float) -> tuple[str, ...]:
    """The standard sizes on both sides of a diameter, e.g. ("M20", "M22")."""
    sizes = sorted({row.number("d_mm") for row in tables.rows("thread_iso_sizes")})
    below = [d for d in sizes if d <= major]
    above = [d for d in sizes if d > major]
    return tuple(f"M{plain_text(d)}" for d in (*below[-1:], *above[:1]))


@cache
def unified_sizes() -> dict[tuple[str, float], tables.Row]:
    """(size, threads per inch) -> row of the unified table; sizes spelled as designations are."""
    found: dict[tuple[str, float], tables.Row] = {}
    for row in tables.rows("thread_unified"):
        found.setdefault((row.text("size").replace("-", " "), row.number("tpi")), row)
    return found


def metric_size(designation: Designation, inside: bool) -> ThreadSize | None:
    """Sizes of an ISO metric thread; None when no pitch is given and the size is not in the table."""
    major = designation.major or 0.0
    remarks: list[Remark] = []
    pitch = designation.pitch or coarse_pitch(major)
    if pitch is None or not _least_pitch() <= pitch < major / 2.0:
        return None  # the tolerances of ISO 965-1 begin with the least pitch of ISO 261
    if pitch not in metric_pitches(major):
        known = ", ".join(f"x{plain_text(p)}" for p in metric_pitches(major))
        near = known or "nearest sizes " + " and ".join(nearest_metric(major))
        text = f"M{plain_text(major)}x{plain_text(pitch)} is not in ISO 261 ({near})"
        remarks.append(Remark(NOT_STANDARD, text))
    thread_class = class_asked(designation, inside, remarks)
    limits = threads_iso.iso_limits(major, pitch, thread_class)
    if limits is None:
        thread_class = usual_class(designation, inside)
        limits = threads_iso.iso_limits(major, pitch, thread_class)
        text = f"class {designation.thread_class} is not known, {thread_class} is used"
        remarks.append(Remark(OTHER_CLASS, text))
    assert limits is not None
    return _sixty_degrees(designation, inside, pitch, limits, ("ISO 261 / ISO 965-1", tuple(remarks)))


def unified_size(designation: Designation, inside: bool) -> ThreadSize | None:
    """Sizes of a unified thread; None when no pitch is given and none follows from size and series."""
    size, series = designation.size, designation.series
    remarks: list[Remark] = []
    row = _unified_row(designation)
    tpi = row.number("tpi") if row is not None else (INCH / designation.pitch if designation.pitch else None)
    if tpi is None:
        return None
    if row is None and series != "UNS":  # a special pitch is called out as one
        known = [f"{size}-{t:g} {r['series']}" for (s, t), r in unified_sizes().items() if s == size]
        near = ", ".join(known) or "nearest " + " and ".join(_nearest_inch(designation.major or 0.0))
        remarks.append(Remark(NOT_STANDARD, f"{size}-{tpi:g} is no standard series size ({near})"))
    if row is not None:
        series = row.text("series")
    thread_class = class_asked(designation, inside, remarks)
    limits = threads_iso.unified_limits(designation.major or 0.0, tpi, series, thread_class)
    if limits is None:
        return None
    return _sixty_degrees(designation, inside, INCH / tpi, limits, ("ASME B1.1", tuple(remarks)))


def _unified_row(designation: Designation) -> tables.Row | None:
    """The table row of size and pitch, or of size and series when no pitch is given."""
    if designation.pitch:
        return unified_sizes().get((designation.size, round(INCH / designation.pitch, 6)))
    for (size, _), row in unified_sizes().items():
        if size == designation.size and row["series"] == designation.series:
            return row
    return None


def _nearest_inch(major: float) -> tuple[str, ...]:
    sizes = sorted({size for size, _ in unified_sizes()}, key=inch_major)
    below = [size for size in sizes if inch_major(size) <= major]
    above = [size for size in sizes if inch_major(size) > major]
    return (*below[-1:], *above[:1])


def _sixty_degrees(
    designation: Designation,
    inside: bool,
    pitch: float,
    limits: ThreadLimits,
    about: tuple[str, tuple[Remark, ...]],
) -> ThreadSize:
    major = designation.major or 0.0
    standard, remarks = about
    minor = threads_iso.minor_diameter if inside else threads_iso.root_diameter
    basics = Basics(
        major=major,
        pitch_diameter=threads_iso.pitch_diameter(major, pitch),
        minor=minor(major, pitch),
        pitch=pitch,
        angle=threads_iso.ANGLE,
        standard=standard,
    )
    return sized(designation, inside, basics, limits, remarks)


def thread_size(designation: Designation, inside: bool) -> ThreadSize | None:
    """Sizes of any designation, outside or inside; None when the tables and the text do not give them."""
    build = _FAMILIES.get(designation.family)
    return build(designation, inside) if build is not None else None


_FAMILIES = {
    "M": metric_size,
    "UN": unified_size,
    "G": pipe_size,
    "R": pipe_size,
    "Rc": pipe_size,
    "Rp": pipe_size,
    "NPT": npt_size,
    "Tr": trapezoidal_size,
    "ACME": acme_size,
    "Rd": round_size,
    "S": buttress_size,
}


def guess_size(crest: float, root: float, inside: bool, at_chamfer: bool = False) -> ThreadSize | None:
    """The standard thread whose major and minor diameter fit a drawn crest and a thin root line best.

    The major diameter must be drawn (within 0.3 %); among its pitches the coarse one is kept unless another
    fits the root line clearly better. Metric sizes go before inch sizes. None when nothing fits.
    at_chamfer: the line runs into the foot of the end chamfer, as only a root line does: it may be far off.
    """
    major = root if inside else crest
    for candidates in (_metric_near(major), _unified_near(major)):
        if candidates:
            sizes = [size for size in (thread_size(d, inside) for d in candidates) if size is not None]
            other = crest if inside else root
            coarse, best = sizes[0], min(sizes, key=lambda size: _root_off(size, other))
            told_apart = _root_off(best, other) <= ROOT_SHARE and _root_off(coarse, other) > 2 * ROOT_SHARE
            chosen = best if told_apart else coarse
            eye = CHAMFER_SHARE if at_chamfer else EYE_SHARE
            far = _root_off(chosen, other) > (BORE_SHARE if inside else eye)
            return None if far else chosen
    return None


def sizes_of_pitch(pitch: float, share: float, inside: bool) -> tuple[ThreadSize, ...]:
    """All standard threads whose pitch is within a share of one, mm; metric sizes before inch sizes."""
    metric = [
        Designation("M", row["designation"], row["d_mm"], row.number("d_mm"), row.number("pitch_mm"))
        for row in tables.rows("thread_iso_sizes")
        if abs(row.number("pitch_mm") - pitch) <= share * row.number("pitch_mm")
    ]
    unified = [
        Designation(
            "UN", f"{size}-{tpi:g} {row['series']}", size, inch_major(size), INCH / tpi, series=row["series"]
        )
        for (size, tpi), row in unified_sizes().items()
        if abs(INCH / tpi - pitch) <= share * INCH / tpi
    ]
    sizes = (thread_size(designation, inside) for designation in (*metric, *unified))
    return tuple(size for size in sizes if size is not None)


DRAWN_SHARE = 0.003  # the major diameter is drawn this well
EYE_SHARE = 0.5  # a root line drawn by eye (0.8 d) is off by up to this share of the depth
CHAMFER_SHARE = 0.8  # or up to this one, where it starts at the foot of the end chamfer
BORE_SHARE = 0.25  # inside, the other line is the bore itself and is drawn better
ROOT_SHARE = 0.1  # a root line within this share of the depth is drawn to size; most are drawn by eye


def _root_off(size: ThreadSize, drawn: float) -> float:
    """How far a drawn root line is off, as a share of the depth: it may show d3 or D1."""
    d1 = threads_iso.minor_diameter(size.major, size.pitch)
    return min(abs(drawn - size.minor), abs(drawn - d1)) / size.depth


def _metric_near(major: float) -> list[Designation]:
    sizes = {row.number("d_mm") for row in tables.rows("thread_iso_sizes")}
    near = min(sizes, key=lambda d: abs(d - major))
    if abs(near - major) > DRAWN_SHARE * near:
        return []
    name = f"M{plain_text(near)}"
    pitches = metric_pitches(near)
    coarse = coarse_pitch(near)
    return [
        Designation("M", name if p == coarse else f"{name}x{plain_text(p)}", plain_text(near), near, p)
        for p in pitches
    ]


def _unified_near(major: float) -> list[Designation]:
    found = []
    for (size, tpi), row in unified_sizes().items():
        nominal = inch_major(size)
        if abs(nominal - major) <= DRAWN_SHARE * nominal:
            series = row.text("series")
            found.append((abs(nominal - major), series != "UNC", size, tpi, series, nominal))
    return [
        Designation("UN", f"{size}-{tpi:g} {series}", size, nominal, INCH / tpi, series=series)
        for _, _, size, tpi, series, nominal in sorted(found)
    ]
