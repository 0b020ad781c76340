"""Numbers as people read them: rounded once, in one unit, never `-0.000`. X is a diameter."""

from __future__ import annotations

import math
from dataclasses import dataclass

from dxf2turn.planning.model import Spindle
from dxf2turn.units import Unit, length_text, plain_text

DIAMETER_SIGN = "\u2300"
DEGREE_SIGN = "\u00b0"
FEET_PER_METRE = 1000.0 / 25.4 / 12.0


@dataclass(frozen=True, slots=True)
class Wording:
    """How one document words its numbers. All lengths that go in are mm."""

    unit: Unit

    @property
    def unit_word(self) -> str:
        """ "mm" or "inch", for headings and column names."""
        return self.unit.value

    def length(self, mm: float) -> str:
        """Fixed decimals, for columns: `-33.000`."""
        return length_text(mm, self.unit)

    def short(self, mm: float) -> str:
        """No trailing zeros, for sentences: `1.6`."""
        return plain_text(mm / self.unit.mm, self.unit.decimals)

    def size(self, mm: float) -> str:
        """A length in a sentence, with its unit: `1.6 mm`."""
        return f"{self.short(mm)} {self.unit_word}"

    def x(self, r: float) -> str:
        """X of a radius, for columns."""
        return self.length(2.0 * r)

    def diameter(self, r: float) -> str:
        """Diameter of a radius, for sentences."""
        return f"{DIAMETER_SIGN}{self.short(2.0 * r)}"

    def feed(self, mm_per_rev: float) -> str:
        """Feed of one turn, number only: mm/rev with 3 decimals or inch/rev with 4."""
        return length_text(mm_per_rev, self.unit)

    @property
    def feed_unit(self) -> str:
        return f"{self.unit_word}/rev"

    def surface_speed(self, m_per_min: float) -> str:
        """Surface speed with its unit: m/min, or ft/min beside inches."""
        if self.unit is Unit.INCH:
            return f"{plain_text(m_per_min * FEET_PER_METRE, 0)} ft/min"
        return f"{plain_text(m_per_min, 0)} m/min"

    def spindle(self, spindle: Spindle | None) -> str:
        """Spindle words of a step; empty for a step without cutting."""
        if spindle is None:
            return ""
        if spindle.mode == "rpm":
            return f"{spindle.value:.0f} rev/min {spindle.direction}"
        speed = self.surface_speed(spindle.value)
        return f"{speed}, at most {spindle.limit_rpm:.0f} rev/min {spindle.direction}"


def duration(seconds: float) -> str:
    """A time for people, rounded to whole seconds from a minute on.

    >>> duration(8.52), duration(72.4), duration(3725)
    ('8.5 s', '1 min 12 s', '1 h 02 min')
    """
    if seconds < 59.95:
        return f"{seconds:.1f} s"
    whole = round(seconds)
    if whole < 3600:
        return f"{whole // 60} min {whole % 60:02d} s"
    minutes = round(seconds / 60.0)
    return f"{minutes // 60} h {minutes % 60:02d} min"


def degrees(radians: float) -> str:
    """An angle for people, at most three decimals, with the degree sign."""
    return f"{plain_text(math.degrees(radians), 3)}{DEGREE_SIGN}"


def sentences(*texts: str) -> str:
    """Texts as sentences one after the other, each with one full stop.

    >>> sentences("the outline is open.", "", "close it")
    'the outline is open. close it.'
    """
    return " ".join(f"{one_line(text).rstrip('.')}." for text in texts if text.strip())


def one_line(text: str) -> str:
    """A text without line breaks and control characters (names and notes come from strangers' files).

    >>> one_line("a\\tb\\r\\nc\\x00")
    'a b c'
    """
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
