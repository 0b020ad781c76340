"""Display list -> SVG. Arcs are A commands; every text is escaped; nothing refers to anything outside."""

from __future__ import annotations

from collections.abc import Iterable

from dxf2turn.geometry.point import Point
from dxf2turn.geometry.segment import Arc, Bounds, Segment
from dxf2turn.output.display import Disc, Group, Item, Path, Picture, Run, Text
from dxf2turn.output.styles import COLOURS, FONT, attributes

HATCHES = (("section", "faint", "section", 8), ("jaw", "ink", "part", 7))


def render(picture: Picture) -> str:
    """A stand-alone SVG file, light colours, white ground."""
    return _Writer(by_class=False).document(picture)


def inline(picture: Picture, prefix: str) -> str:
    """SVG for a page whose style sheet is `styles.css()`; `prefix` keeps the ids of several apart."""
    return _Writer(by_class=True, prefix=prefix).document(picture)


def hatch_defs() -> str:
    """The hatch patterns that inline pictures refer to; stands once in the page."""
    return (
        f'<svg width="0" height="0" aria-hidden="true" focusable="false"><defs>{_hatches(True)}</defs></svg>'
    )


class _Writer:
    """Writes one picture. by_class: looks come from the page's style sheet, else from attributes."""

    def __init__(self, by_class: bool, prefix: str = "") -> None:
        self.by_class = by_class
        self.prefix = prefix
        self.clips = 0

    def document(self, picture: Picture) -> str:
        width, height = _number(picture.width), _number(picture.height)
        size = "" if self.by_class else f' width="{width}" height="{height}"'
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg"{size} viewBox="0 0 {width} {height}" role="img" '
            f'font-family="{FONT}">'
        )
        words = f"<title>{escape(picture.title)}</title><desc>{escape(picture.description)}</desc>"
        defs = "" if self.by_class else f"<defs>{_hatches(False)}</defs>"
        return "\n".join([head, words, *([defs] if defs else []), *self.items(picture.items), "</svg>", ""])

    def items(self, items: Iterable[Item]) -> Iterable[str]:
        for item in items:
            if isinstance(item, Group):
                yield from self.group(item)
            elif isinstance(item, Path):
                yield self.path(item)
            elif isinstance(item, Disc):
                yield self.disc(item)
            else:
                yield self.text(item)

    def group(self, group: Group) -> Iterable[str]:
        name = f' id="{escape(self.prefix + group.name)}"' if group.name else ""
        clip = ""
        if group.clip is not None:
            self.clips += 1
            clip_name = f"{self.prefix}clip-{self.clips}"
            yield f'<clipPath id="{clip_name}">{_rectangle(group.clip)}</clipPath>'
            clip = f' clip-path="url(#{clip_name})"'
        yield f"<g{name}{clip}>"
        if group.title:
            yield f"<title>{escape(group.title)}</title>"
        yield from self.items(group.items)
        yield "</g>"

    def path(self, path: Path) -> str:
        data = " ".join(_data(run, path.closed) for run in path.runs if run)
        if path.title:
            return f'<path d="{data}"{self.look(path.style)}><title>{escape(path.title)}</title></path>'
        return f'<path d="{data}"{self.look(path.style)}/>'

    def disc(self, disc: Disc) -> str:
        x, y, radius = _number(disc.centre.x), _number(disc.centre.y), _number(disc.radius)
        return f'<circle cx="{x}" cy="{y}" r="{radius}"{self.look(disc.style)}/>'

    def text(self, text: Text) -> str:
        x, y = _number(text.at.x), _number(text.at.y)
        turn = f' transform="rotate({_number(text.angle)} {x} {y})"' if text.angle else ""
        anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
        return f'<text x="{x}" y="{y}"{anchor}{turn}{self.look(text.style)}>{escape(text.text)}</text>'

    def look(self, style: str) -> str:
        if self.by_class:
            return f' class="{style}"'
        return "".join(f' {name}="{value}"' for name, value in attributes(style).items())


def _data(run: Run, closed: bool) -> str:
    return "M" + _pair(run[0].start) + "".join(_command(segment) for segment in run) + ("Z" if closed else "")


def _command(segment: Segment) -> str:
    """On the page y runs down, so a run that is counter-clockwise there (x right, y up) has sweep flag 1."""
    if not isinstance(segment, Arc):
        return "L" + _pair(segment.end)
    radius = _number(segment.radius)
    large = 1 if abs(segment.sweep) > 3.141592653589793 else 0
    return f"A{radius} {radius} 0 {large} {0 if segment.clockwise else 1} {_pair(segment.end)}"


def _rectangle(box: Bounds) -> str:
    width, height = _number(box.max_x - box.min_x), _number(box.max_y - box.min_y)
    return f'<rect x="{_number(box.min_x)}" y="{_number(box.min_y)}" width="{width}" height="{height}"/>'


def _hatches(by_class: bool) -> str:
    """45 degree hatching, narrow lines, for cut surfaces and for jaws.

    By class, never by a style attribute: the page's security policy allows its one style sheet only.
    """
    out = []
    for name, line, ground, pitch in HATCHES:
        if by_class:
            stroke, fill = f' class="stroke-{line}"', f' class="fill-{ground}"'
        else:
            stroke, fill = f' stroke="{COLOURS[line][0]}"', f' fill="{COLOURS[ground][0]}"'
        out.append(
            f'<pattern id="hatch-{name}" width="{pitch}" height="{pitch}" patternUnits="userSpaceOnUse" '
            f'patternTransform="rotate(45)"><rect width="{pitch}" height="{pitch}"{fill}/>'
            f'<line x1="0" y1="0" x2="0" y2="{pitch}"{stroke} stroke-width="1"/></pattern>'
        )
    return "".join(out)


def _pair(point: Point) -> str:
    return f"{_number(point.x)} {_number(point.y)}"


def _number(value: float) -> str:
    """Three decimals of a pixel at most, no trailing zeros, never -0."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def escape(text: str) -> str:
    """Text for SVG and XML: markup escaped, characters that XML forbids left out."""
    kept = "".join(c if c.isprintable() or c in "\n\t" else " " for c in text)
    for char, word in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("'", "&#39;")):
        kept = kept.replace(char, word)
    return kept
