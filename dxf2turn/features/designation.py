"""Thread designations as designers write them -> what they mean. Text only; sizes are looked up elsewhere.

>>> [d.text for d in find_designations("2x M8 and 1/2-13 UNC-2A")]
['M8', '1/2-13 UNC-2A']
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

INCH = 25.4


@dataclass(frozen=True, slots=True)
class Designation:
    """What a text says about a thread.

    family: "M", "UN", "G", "R", "NPT", "Tr", "ACME", "Rd" or "S". size: as in the tables ("1/2", "#10").
    major: mm, None where only a table knows it (pipe threads). pitch: mm, None = not said. starts: 1 if not
    said. series: "UNC" and so on. thread_class: "" = not said. inside: True or False when the text tells.
    count: "2x". length: of thread, mm, None = not said. span: place in the text.
    """

    family: str
    text: str
    size: str
    major: float | None
    pitch: float | None = None
    starts: int = 1
    hand: str = "right"
    thread_class: str = ""
    series: str = ""
    inside: bool | None = None
    count: int = 1
    length: float | None = None
    span: tuple[int, int] = (0, 0)


_NUMBER = r"\d+(?:\.\d+)?"
_FRACTION = r"\d+\s*/\s*\d+"
_MIXED = rf"(?:\d+\s*[-\s]\s*{_FRACTION}|{_FRACTION}|\d*\.\d+|\d+)"
_START = r"(?<![A-Za-z0-9./#])"
_LEFT = r"(?:\s*[-,(]?\s*(?P<left>LH|L\.H\.|LEFT(?:[\s-]*HAND)?))?"
_COUNT = re.compile(r"(\d+)\s*[xX]\s*$")

_METRIC = re.compile(
    _START + rf"M\s?(?P<size>{_NUMBER})(?![\d.]|\s*:)"  # "M 1:2" is a scale
    rf"(?:\s*[xX]\s*(?:(?:Ph\s*)?(?P<lead>{_NUMBER})\s*\(?\s*P\s*(?P<pitch>{_NUMBER})\s*\)?|P?(?P<only>{_NUMBER})))?"
    rf"(?:\s*[xX]\s*(?P<length>{_NUMBER}))?"
    rf"(?P<left0>\s*-?\s*LH)?"
    r"(?:\s*[-\s(/,]\s*(?P<cls>[3-9][efgh](?:[3-9][efgh])?|[3-9][GH](?:[3-9][GH])?)(?![A-Za-z0-9])\)?)?"
    + r"(?:\s*-\s*[SNL](?=\s*(?:-|$)))?"
    + _LEFT
)
_TRAPEZOIDAL = re.compile(
    _START + rf"(?:Tr|TR)\.?\s*(?P<size>{_NUMBER})\s*[xX]\s*(?P<lead>{_NUMBER})"
    rf"(?:\s*\(?\s*P\s*(?P<pitch>{_NUMBER})\s*\)?)?(?P<left0>\s*-?\s*LH)?"
    r"(?:\s*[-\s]\s*(?P<cls>[6-9][ceheH])(?![A-Za-z0-9]))?" + _LEFT
)
_BUTTRESS = re.compile(_START + rf"S\s?(?P<size>{_NUMBER})\s*[xX]\s*(?P<lead>{_NUMBER})(?![\d.])" + _LEFT)
_ROUND = re.compile(_START + rf"R[dD]\s*(?P<size>{_NUMBER})\s*[xX]\s*1\s*/\s*(?P<tpi>\d+)" + _LEFT)
_PIPE = re.compile(
    _START + r"(?P<family>G|Rc|RC|Rp|RP|R)\s?"
    rf"(?P<size>\d+\s*[-\s]\s*{_FRACTION}|{_FRACTION}|\d+)(?![\d./])\s*(?:\"|'')?"
    r"(?:\s*[xX-]\s*(?P<tpi>\d+))?(?:\s*-?\s*(?P<cls>[AB])(?![A-Za-z0-9]))?" + _LEFT
)
_NPT = re.compile(
    _START + rf"(?:(?P<size>{_MIXED})\s*(?:\"|'')?\s*(?:-\s*(?P<tpi>{_NUMBER})\s*)?-?\s*NPT"
    rf"|NPT\s*(?P<size2>{_MIXED}))(?![A-Z])" + _LEFT
)
_UNIFIED = re.compile(
    _START + rf"(?P<size>#\s*\d+|No\.?\s*\d+|{_MIXED})\s*(?:\"|'')?\s*"
    rf"(?:-\s*(?P<tpi>\d+\s*1/2|{_NUMBER})\s*-?\s*)?"
    r"(?P<series>UN[CFSRJ]?[FS]?|UNEF|NEF|NC|NF|ACME)(?![A-Za-z])"
    r"(?:\s*-?\s*(?P<cls>[123][ABG]|[2-6][GC])(?![A-Za-z0-9]))?" + _LEFT
)
_UNIFIED_BARE = re.compile(
    _START + rf"(?P<size>#\s*\d+|{_FRACTION}|\d\s*-\s*{_FRACTION}|\d\s+{_FRACTION})\s*(?:\"|'')?\s*-\s*"
    rf"(?P<tpi>{_NUMBER})(?![\d/.])(?:\s*-\s*(?P<cls>[123][AB])(?![A-Za-z0-9]))?" + _LEFT
)
_SERIES_FIRST = re.compile(
    _START + rf"(?P<series>UNC|UNF|UNEF|UNS|UN|ACME)\s*(?P<size>#\s*\d+|{_MIXED})\s*(?:\"|'')?"
    rf"(?:\s*-\s*(?P<tpi>{_NUMBER}))?(?:\s*-?\s*(?P<cls>[123][ABG])(?![A-Za-z0-9]))?" + _LEFT
)


def plain(text: str) -> str:
    """The text with one spelling: x for times, - for dashes, . in numbers, no diameter signs."""
    text = re.sub(r"%%[cC]|[\u2300\u00d8\u00f8\u2205]", " ", text)
    text = re.sub(r"[\u00d7\u2715*]", "x", text)
    text = re.sub(r"[\u2010-\u2015\u2212]", "-", text)
    text = re.sub(r"[\u201c\u201d\u2033]", '"', text)
    text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    return re.sub(r"[ \t\u00a0]+", " ", text)


def find_designations(text: str) -> tuple[Designation, ...]:
    """All thread designations in a text, in order; none overlaps another."""
    line = plain(text)
    found: list[Designation] = []
    for read in _READERS:
        for designation in read(line):
            if all(designation.span[1] <= f.span[0] or designation.span[0] >= f.span[1] for f in found):
                found.append(designation)
    return tuple(sorted(found, key=lambda d: d.span))


def _metric(line: str) -> Iterator[Designation]:
    for match in _METRIC.finditer(line):
        major = float(match["size"])
        pitch, starts, length = _lead(match["lead"], match["pitch"] or match["only"], match["length"])
        if pitch is not None and not match["lead"] and pitch > _LARGEST_PITCH_SHARE * major + _PITCH_SLACK:
            pitch, length = None, pitch  # "M8x20": a length, no pitch is that coarse
        start = Designation("M", "", match["size"], major, pitch, starts, length=length)
        yield _completed(line, match, start)


_LARGEST_PITCH_SHARE = 0.25  # the coarsest ISO 261 pitch is 0.25 mm for 1 mm, 2.5 for 20 mm
_PITCH_SLACK = 0.5  # mm


def _lead(lead: str | None, pitch: str | None, length: str | None) -> tuple[float | None, int, float | None]:
    long = float(length) if length else None
    if lead and pitch:
        return float(pitch), max(1, round(float(lead) / float(pitch))), long
    return (float(pitch) if pitch else None), 1, long


def _trapezoidal(line: str) -> Iterator[Designation]:
    for match in _TRAPEZOIDAL.finditer(line):
        pitch = float(match["pitch"] or match["lead"])
        starts = max(1, round(float(match["lead"]) / pitch))
        size = match["size"]
        yield _completed(line, match, Designation("Tr", "", size, float(size), pitch, starts))


def _buttress(line: str) -> Iterator[Designation]:
    for match in _BUTTRESS.finditer(line):
        size, lead = match["size"], float(match["lead"])
        yield _completed(line, match, Designation("S", "", size, float(size), lead))


def _round_thread(line: str) -> Iterator[Designation]:
    for match in _ROUND.finditer(line):
        size, pitch = match["size"], INCH / float(match["tpi"])
        yield _completed(line, match, Designation("Rd", "", size, float(size), pitch))


def _npt(line: str) -> Iterator[Designation]:
    for match in _NPT.finditer(line):
        size = inch_size(match["size"] or match["size2"])
        yield _completed(line, match, Designation("NPT", "", size, None))


def _pipe(line: str) -> Iterator[Designation]:
    for match in _PIPE.finditer(line):
        size = inch_size(match["size"])
        if match["family"] == "R" and "/" not in size and not re.search(r"ISO 7|EN 10226|thread", line, re.I):
            continue  # "R5" is a radius
        inside = {"rc": True, "rp": True, "r": False}.get(match["family"].lower())
        family = {"rp": "Rp", "rc": "Rc"}.get(match["family"].lower(), match["family"])
        yield _completed(line, match, Designation(family, "", size, None, inside=inside))


def _unified(line: str) -> Iterator[Designation]:
    for pattern in (_UNIFIED, _SERIES_FIRST, _UNIFIED_BARE):
        for match in pattern.finditer(line):
            series = (match.groupdict().get("series") or "").upper()
            series = {"NC": "UNC", "NF": "UNF", "NEF": "UNEF"}.get(series, series)
            tpi = _tpi(match["tpi"])
            size = _numbered(inch_size(match["size"]), tpi)
            family = "ACME" if series == "ACME" else "UN"
            pitch = INCH / tpi if tpi else None
            start = Designation(family, "", size, inch_major(size), pitch, series=series)
            yield _completed(line, match, start)


def _completed(line: str, match: re.Match[str], start: Designation) -> Designation:
    """A designation with what all families write alike: class, hand, count."""
    groups = match.groupdict()
    thread_class = (groups.get("cls") or "").strip()
    count = _COUNT.search(line[: match.start()])
    inside = start.inside
    if thread_class and start.family in ("M", "Tr", "UN"):
        inside = thread_class[-1] in "GHB"
    return replace(
        start,
        text=match[0].strip(),
        hand="left" if groups.get("left") or groups.get("left0") else "right",
        thread_class=thread_class,
        inside=inside,
        count=int(count[1]) if count else 1,
        span=match.span(),
    )


def inch_size(text: str) -> str:
    """One spelling of an inch size: "#10", "1/2", "1 1/4", "0.25" becomes "1/4".

    >>> inch_size("No. 10"), inch_size("1-1/4"), inch_size(".250"), inch_size("1 / 2")
    ('#10', '1 1/4', '1/4', '1/2')
    """
    text = re.sub(r"\s*/\s*", "/", text.strip())
    if text.startswith(("#", "N")):
        return "#" + re.sub(r"\D", "", text)
    text = re.sub(r"\s*[-\s]\s*(?=\d+/)", " ", text)
    return _fraction_of(float(text)) if re.fullmatch(r"\d*\.\d+", text) else text


def _fraction_of(value: float) -> str:
    """A decimal inch size as the sixteenth or sixty-fourth it is; unchanged when it is none."""
    for denominator in (1, 2, 4, 8, 16, 32, 64):
        parts = value * denominator
        if abs(parts - round(parts)) < _DECIMAL_SLACK * denominator:
            whole, rest = divmod(round(parts), denominator)
            fraction = f"{rest}/{denominator}" if rest else ""
            return f"{whole} {fraction}".strip() if whole else fraction
    return f"{value:g}"


_DECIMAL_SLACK = 0.0006  # inch: three decimals of a sixty-fourth


def inch_major(size: str) -> float:
    """Nominal diameter in mm of an inch size. Numbered sizes: 0.060 + 0.013 N inch (ASME B1.1)."""
    if size.startswith("#"):
        return (0.060 + 0.013 * int(size[1:])) * INCH
    total = 0.0
    for part in size.split():
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom or 1)
    return total * INCH


def _numbered(size: str, tpi: float | None) -> str:
    """ "10-32" is the numbered size #10, "1-20" is one inch: numbered sizes are fine-pitched."""
    if tpi is None or not size.isdigit() or int(size) > _LARGEST_NUMBER:
        return size
    least = _NUMBER_ONE_TPI if size == "1" else _NUMBERED_TPI
    return f"#{size}" if tpi >= least else size


_LARGEST_NUMBER = 12  # sizes #0 to #12 exist, ASME B1.1
_NUMBERED_TPI = 24  # the coarsest pitch of a numbered size: #10-24, #12-24
_NUMBER_ONE_TPI = 64  # #1-64 is the coarsest of its size; 1 inch goes up to 32


def _tpi(text: str | None) -> float | None:
    if not text:
        return None
    if text.endswith("1/2"):
        return float(text[:-3]) + 0.5
    return float(text)


_READERS = (_trapezoidal, _metric, _buttress, _round_thread, _npt, _unified, _pipe)
