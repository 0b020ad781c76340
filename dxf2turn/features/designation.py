"""Thread designations as designers write them -> what they mean. Text only; sizes are looked up elsewhere.

>>> [d.text for d in find_designations("2x M8 and 1/2-13 UNC-2A")]
['M8', '1/2-13 UNC-2A']
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from dxf2turn.features.inch_sizes import INCH, inch_major, inch_size, numbered, threads_per_inch
from dxf2turn.units import plain_text

DIAMETER_SIGNS = "\u2300\u00d8\u00f8\u2205"


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
_PITCH = r"(?:\d+(?:\.\d+)?|\.\d+)"  # "M3x.5"
_FRACTION = r"\d+\s*/\s*[1-9]\d*"
_MIXED = rf"(?:\d+\s*[-\s]\s*{_FRACTION}|{_FRACTION}|\d*\.\d+|\d+)"
_START = r"(?<![A-Za-z0-9./#])"
_LEFT = r"(?:\s*[-,(]?\s*(?P<left>(?i:LH|L\.H\.|LEFT(?:[\s-]*HAND)?|LINKS)(?![A-Za-z])))?"
_DEGREES = r"[\d.]|\s*(?:\u00b0|%%[dD])"  # "M12 x 45 deg" has a chamfer behind it
_DEPTH = re.compile(
    rf"\s*[-,]?\s*(?:\u21a7|\u2193|DEPTH|DEEP|TIEF)\s*(?P<ahead>{_NUMBER})"
    rf"|\s*[-,]?\s*(?P<behind>{_NUMBER})\s*(?:DEEP|DP|TIEF|LONG|LANG|LG)\b",
    re.I,
)
_STARTS = re.compile(
    r"\W*(?P<starts>[2-9]|TWO|DOUBLE|TWIN|THREE|TRIPLE|FOUR)[\s-]*(?:STARTS?|G\u00c4NGIG)\b", re.I
)
_START_WORDS = {"TWO": 2, "DOUBLE": 2, "TWIN": 2, "THREE": 3, "TRIPLE": 3, "FOUR": 4}
_COUNT = re.compile(r"(\d+)\s*[xX]\s*$")
_COUNT_BEHIND = re.compile(
    r"\s*[-,(]?\s*(?:(\d+)\s*(?:x(?!\s*[\d.])|(?:PL|PLACES|PLCS)\b)|BOTH (?:ENDS|SIDES)|BEIDSEITIG)", re.I
)

# A class of ISO 286 behind its size is no thread: M7 of a diameter, or behind a number too large for a count.
_HOLE_CLASS = re.compile(
    rf"(?:(?:[{DIAMETER_SIGNS}]|%%[cC])\s*\d+(?:[.,]\d+)?|(?<![\d.,])(?:\d+[.,]\d+|1[3-9]|[2-9]\d|\d{{3,}}))"
    r"\s*M(?:[5-9]|1[01])(?![\d.,]|\s*[xX\u00d7])"
)
_METRIC = re.compile(
    _START
    + rf"(?P<letter>MF?|m(?=\s?{_NUMBER}\s*x))\s?(?P<size>{_NUMBER})(?![\d.]|\s*:)"  # "M 1:2" is a scale
    rf"(?:\s*[xX]\s*(?:(?:Ph\s*)?(?P<lead>{_NUMBER})\s*(?:\(?\s*P\s*(?P<pitch>{_NUMBER})\s*\)?"
    rf"|\(\s*(?P<pitch2>{_NUMBER})\s*P\s*\))|P?(?P<only>{_PITCH})(?!{_DEGREES}))"
    rf"|\s*(?:[-/]\s*P?|P)\s*(?P<other>{_NUMBER})(?![\d.A-Za-z]|\s*(?:[xX]|PL|OFF|EA)))?"  # M20-1.5
    rf"(?:\s*[xX]\s*(?P<length>{_NUMBER})(?!{_DEGREES}))?"
    rf"(?P<left0>\s*-?\s*LH)?"
    r"(?:\s*[-\s(/,]\s*(?P<cls>[3-9][efgh](?:[3-9][efgh])?|[3-9][GH](?:[3-9][GH])?)(?![A-Za-z0-9])\)?)?"
    + r"(?:\s*-\s*[SNL](?=\s*(?:-|$)))?"
    + _LEFT
)
_TRAPEZOIDAL = re.compile(
    _START + rf"(?:Tr|TR|tr)\.?\s*(?P<size>{_NUMBER})\s*[xX]\s*(?P<lead>{_NUMBER})"
    rf"(?:\s*\(?\s*P\s*(?P<pitch>{_NUMBER})\s*\)?)?(?P<left0>\s*-?\s*LH)?"
    r"(?:\s*[-\s]\s*(?P<cls>[6-9][ceheH])(?![A-Za-z0-9]))?" + _LEFT
)
_BUTTRESS = re.compile(_START + rf"S\s?(?P<size>{_NUMBER})\s*[xX]\s*(?P<lead>{_NUMBER})(?![\d.])" + _LEFT)
_ROUND = re.compile(
    _START
    + rf"R[dD]\s*(?P<size>{_NUMBER})\s*[xX]\s*(?:1\s*/\s*(?P<tpi>[1-9]\d*)|(?P<pitch>{_NUMBER})(?!\s*/))"
    + _LEFT
)
_PIPE = re.compile(
    _START + r"(?P<family>G|Rc|RC|Rp|RP|R)\s?"
    rf"(?P<size>\d+\s*[-\s]\s*{_FRACTION}|{_FRACTION}|\d+)(?![\d./])\s*(?:\"|'')?"
    r"(?:\s*[xX-]\s*(?P<tpi>\d+))?(?:\s*-?\s*(?P<cls>[AB])(?![A-Za-z0-9]))?" + _LEFT
)
_NPT = re.compile(
    _START + rf"(?:(?P<size>{_MIXED})\s*(?:\"|'')?\s*(?:-\s*(?P<tpi>{_NUMBER})\s*)?-?\s*(?P<name>NPTF?)"
    rf"|(?P<name2>NPTF?)\s*(?P<size2>{_MIXED}))(?![A-Z])" + _LEFT,
    re.I,
)
_UNIFIED = re.compile(
    _START + rf"(?P<size>#\s*\d+|No\.?\s*\d+|{_MIXED})\s*(?:\"|'')?\s*"
    rf"(?:-\s*(?P<tpi>\d+\s*1/2|{_NUMBER})\s*-?\s*)?"
    r"(?P<series>UNR?(?:C|F|EF|S)?|NEF|NC|NF|ACME)(?![A-Za-z])"
    r"(?:\s*-?\s*(?P<cls>[123][ABG]|[2-6][GC])(?![A-Za-z0-9]))?" + _LEFT,
    re.I,
)
_UNIFIED_BARE = re.compile(
    _START + rf"(?P<size>#\s*\d+|{_FRACTION}|\d\s*-\s*{_FRACTION}|\d\s+{_FRACTION}|\d(?=\s*(?:\"|'')))"
    rf"\s*(?:\"|'')?\s*-\s*"
    rf"(?P<tpi>{_NUMBER})(?![\d/.])(?:\s*-\s*(?P<cls>[123][AB])(?![A-Za-z0-9]))?" + _LEFT,
    re.I,
)
_SERIES_FIRST = re.compile(
    _START + rf"(?P<series>UNC|UNF|UNEF|UNS|UN|ACME)\s*(?P<size>#\s*\d+|{_MIXED})\s*(?:\"|'')?"
    rf"(?:\s*-\s*(?P<tpi>{_NUMBER}))?(?:\s*-?\s*(?P<cls>[123][ABG])(?![A-Za-z0-9]))?" + _LEFT,
    re.I,
)


def plain(text: str) -> str:
    """The text with one spelling: x for times, - for dashes, . in numbers, no diameter signs."""
    text = re.sub(rf"%%[cC]|[{DIAMETER_SIGNS}]", " ", text)
    text = re.sub(r"[\u00d7\u2715*]", "x", text)
    text = re.sub(r"[\u2010-\u2015\u2212]", "-", text)
    text = re.sub(r"[\u201c\u201d\u2033]", '"', text)
    text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    return re.sub(r"[ \t\u00a0]+", " ", text)


def find_designations(text: str) -> tuple[Designation, ...]:
    """All thread designations in a text, in order; none overlaps another."""
    line = plain(_HOLE_CLASS.sub(lambda match: " " * len(match[0]), text))
    found: list[Designation] = []
    for read in _READERS:
        for designation in read(line):
            if 0.0 in (designation.major, designation.pitch):
                continue  # "M0", "M20x0"
            if all(designation.span[1] <= f.span[0] or designation.span[0] >= f.span[1] for f in found):
                found.append(designation)
    return tuple(sorted(found, key=lambda d: d.span))


def _metric(line: str) -> Iterator[Designation]:
    for match in _METRIC.finditer(line):
        major = float(match["size"])
        written = match["pitch"] or match["pitch2"] or match["only"] or match["other"]
        pitch, starts, length = _lead(match["lead"], written, match["length"])
        if pitch is not None and not match["lead"] and pitch > _LARGEST_PITCH_SHARE * major + _PITCH_SLACK:
            # "M8x20": a length, no pitch is that coarse.
            pitch, length = None, pitch if match["only"] else None
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
        size, pitch = match["size"], INCH / float(match["tpi"]) if match["tpi"] else float(match["pitch"])
        yield _completed(line, match, Designation("Rd", "", size, float(size), pitch))


def _npt(line: str) -> Iterator[Designation]:
    for match in _NPT.finditer(line):
        size = inch_size(match["size"] or match["size2"])
        name = (match["name"] or match["name2"]).upper()
        yield _completed(line, match, Designation("NPT", "", size, None, series=name))


_BSP = re.compile(
    _START + rf"(?:(?P<size>{_MIXED})\s*(?:\"|'')?\s*(?:-\s*(?P<tpi>\d+)\s*)?-?\s*(?P<name>BSP[PT]?F?)"
    rf"|(?P<name2>BSP[PT]?F?)\s*-?\s*(?P<size2>{_MIXED})(?:\"|'')?(?:\s*-\s*(?P<tpi2>\d+))?)(?![A-Za-z\d])"
    + _LEFT,
    re.I,
)


def _bsp(line: str) -> Iterator[Designation]:
    """The trade's name of the pipe threads of ISO 228-1 (BSP, BSPP) and ISO 7-1 (BSPT)."""
    for match in _BSP.finditer(line):
        size = inch_size(match["size"] or match["size2"])
        family = "R" if "T" in (match["name"] or match["name2"]).upper() else "G"
        yield _completed(line, match, Designation(family, "", size, None))


def _pipe(line: str) -> Iterator[Designation]:
    for match in _PIPE.finditer(line):
        size = inch_size(match["size"])
        marked = re.search(r"\"|''", match[0]) or re.search(r"ISO 7|EN 10226|thread", line, re.I)
        if match["family"] == "R" and "/" not in size and not marked:
            continue  # "R5" is a radius
        inside = {"rc": True, "rp": True, "r": False}.get(match["family"].lower())
        family = {"rp": "Rp", "rc": "Rc"}.get(match["family"].lower(), match["family"])
        yield _completed(line, match, Designation(family, "", size, None, inside=inside))


def _unified(line: str) -> Iterator[Designation]:
    for pattern in (_UNIFIED, _SERIES_FIRST, _UNIFIED_BARE):
        for match in pattern.finditer(line):
            series = (match.groupdict().get("series") or "").upper()
            series = {"NC": "UNC", "NF": "UNF", "NEF": "UNEF"}.get(series, series.replace("UNR", "UN"))
            tpi = threads_per_inch(match["tpi"])
            if series in ("UN", "UNS") and tpi is None:
                continue  # "10 un" counts pieces
            size = numbered(inch_size(match["size"]), tpi)
            family = "ACME" if series == "ACME" else "UN"
            pitch = INCH / tpi if tpi else None
            start = Designation(family, "", size, inch_major(size), pitch, series=series)
            yield _completed(line, match, start)


def _completed(line: str, match: re.Match[str], start: Designation) -> Designation:
    """A designation with what all families write alike: class, hand, count."""
    groups = match.groupdict()
    thread_class = (groups.get("cls") or "").strip()
    if start.family in ("UN", "ACME"):
        thread_class = thread_class.upper()
    ahead, behind = _COUNT.search(line[: match.start()]), _COUNT_BEHIND.match(line, match.end())
    count = int(ahead[1]) if ahead else int(behind[1] or 2) if behind else 1
    inside = start.inside
    if thread_class and start.family in ("M", "Tr", "UN"):
        inside = thread_class[-1] in "GHB"
    start = _with_starts(start, line, match.end())
    found = replace(
        start,
        text=match[0].strip(),
        length=_length(start, line, match.end()),
        hand="left" if groups.get("left") or groups.get("left0") else "right",
        thread_class=thread_class,
        inside=inside,
        count=count,
        span=match.span(),
    )
    return replace(found, text=_spelled(found))


def _with_starts(found: Designation, line: str, end: int) -> Designation:
    """The designation with the starts that words behind it give (`2 START`).

    What is written is then the pitch, and only for trapezoidal threads the lead (ISO 2903: Tr40x14P7).
    """
    words = _STARTS.match(line, end)
    if words is None or found.starts > 1:
        return found
    starts = _START_WORDS.get(words["starts"].upper()) or int(words["starts"])
    pitch = found.pitch / starts if found.family == "Tr" and found.pitch else found.pitch
    return replace(found, starts=starts, pitch=pitch)


def _length(found: Designation, line: str, end: int) -> float | None:
    """Length of thread written in the designation, or behind it: `12 deep`, of an inch thread `x 3/4`."""
    if found.length is not None:
        return found.length
    inch = found.family not in _MILLIMETRE
    times = _INCH_LENGTH.match(line, end) if inch else None
    if times is not None:
        return inch_major(inch_size(times[1]))
    depth = _DEPTH.match(line, end)
    if depth is None:
        return None
    return float(depth["ahead"] or depth["behind"]) * (INCH if inch else 1.0)


_MILLIMETRE = ("M", "Tr", "S", "Rd", "G", "R", "Rc", "Rp")
_INCH_LENGTH = re.compile(rf"\s*[xX]\s*({_MIXED})(?!{_DEGREES}|\s*/)")


def other_side(found: Designation) -> Designation:
    """The designation with the class of the mating thread: 6G becomes 6g, 2B becomes 2A."""
    name = found.thread_class
    name = name.translate(str.maketrans("AB", "BA")) if found.family == "UN" else name.swapcase()
    inside = None if found.inside is None else not found.inside
    other = replace(found, thread_class=name, inside=inside)
    return replace(other, text=_spelled(other))


def _spelled(found: Designation) -> str:
    """The designation as its standard spells it; pipe and round threads stay as they were written.

    M20x1.5-6g-LH, M20xPh3P1.5 (ISO 965-1), Tr24x10P5-7e (ISO 2903), 3/4-16 UNF-2A-LH (ASME B1.1).
    """
    if found.family in ("M", "Tr"):
        pitch = "" if found.pitch is None else f"x{plain_text(found.pitch)}"
        if found.starts > 1 and found.pitch is not None:
            lead = plain_text(found.starts * found.pitch)
            pitch = f"x{'Ph' if found.family == 'M' else ''}{lead}P{plain_text(found.pitch)}"
        name = f"{found.family}{found.size}{pitch}"
    elif found.family in ("UN", "ACME"):
        turns = "" if found.pitch is None else f"-{INCH / found.pitch:g}"
        name = f"{found.size}{turns} {found.series}".rstrip()
    else:
        return found.text
    hand = "LH" if found.hand == "left" else ""
    starts = f" ({found.starts} START)" if found.starts > 1 and found.family in ("UN", "ACME") else ""
    return "-".join(part for part in (name, found.thread_class, hand) if part) + starts


_READERS = (_trapezoidal, _metric, _buttress, _round_thread, _npt, _bsp, _unified, _pipe)
