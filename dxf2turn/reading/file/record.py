"""Record: one entity, table entry or object as its run of tags, with checked access to the values."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from dxf2turn.reading.damage import Damage
from dxf2turn.reading.file.numbers import real, whole
from dxf2turn.reading.file.tags import Tags
from dxf2turn.reading.wording import value_name

EMBEDDED = 101  # what follows this code belongs to an object inside the entity


@dataclass(frozen=True, slots=True)
class Record:
    """The tags from one group code 0 to the next.

    kind: upper-case name behind the 0. start: index of the 0 tag among the file's tags, the record's
    identity. end: index behind its last tag. limit: largest coordinate taken.
    children: VERTEX or ATTRIB records that belong to this one. fields: first value of each group code.
    """

    kind: str
    start: int
    end: int
    tags: Tags = field(repr=False, compare=False)
    limit: float
    fields: dict[int, str] = field(repr=False, compare=False)
    children: tuple[Record, ...] = ()

    @property
    def codes(self) -> Sequence[int]:
        """Group codes of the tags behind the 0 tag."""
        return self.tags.codes[self.start + 1 : self.end]

    @property
    def values(self) -> Sequence[str]:
        """Values of the tags behind the 0 tag, as they stand."""
        return self.tags.values[self.start + 1 : self.end]

    @property
    def handle(self) -> str | None:
        """Hexadecimal handle as written, None when the file gives none."""
        return self.text(5).strip() or None

    def text(self, code: int, default: str = "") -> str:
        """The first value with `code`, as it stands."""
        return self.fields.get(code, default)

    def name(self, code: int) -> str:
        """The first value with `code` as a name: trimmed, upper case (DXF names have no case)."""
        return self.fields.get(code, "").strip().upper()

    def has(self, code: int) -> bool:
        return code in self.fields

    def number(self, code: int, default: float | None = None) -> float:
        """The first value with `code` as a number. Raises Damage, also when it is missing without default."""
        found = self.fields.get(code)
        if found is None:
            if default is None:
                raise Damage(f"it has no {value_name(self.kind, code)} (group code {code})", self.start)
            return default
        try:
            return real(found, self.limit)
        except Damage as damage:
            raise Damage(damage.text, self.start + 1 + self.codes.index(code)) from None

    def integer(self, code: int, default: int = 0) -> int:
        """The first value with `code` as a whole number. Raises Damage."""
        found = self.fields.get(code)
        if found is None:
            return default
        try:
            return whole(found)
        except Damage as damage:
            raise Damage(damage.text, self.start + 1 + self.codes.index(code)) from None

    def number_at(self, index: int) -> float:
        """The number of the tag at `index` of this record. Raises Damage."""
        try:
            return real(self.tags.values[self.start + 1 + index], self.limit)
        except Damage as damage:
            raise Damage(damage.text, self.start + 1 + index) from None

    def point(self, code: int) -> tuple[float, float, float]:
        """The point whose x has `code`; a missing z is 0. Raises Damage when x or y is missing."""
        return self.number(code), self.number(code + 10), self.number(code + 20, 0.0)

    def point_or(self, code: int, default: tuple[float, float, float]) -> tuple[float, float, float]:
        """The point whose x has `code`, `default` when there is none."""
        return self.point(code) if code in self.fields else default

    def all_numbers(self, code: int) -> list[float]:
        """Every number with `code`, in order. Raises Damage."""
        return [value for found, value in self.numbers_of((code,)) if found == code]

    def numbers_of(self, wanted: tuple[int, ...]) -> Iterator[tuple[int, float]]:
        """(code, number) of every own tag whose code is wanted, in order. Raises Damage."""
        for index, code in enumerate(self.codes):
            if code in wanted:
                yield code, self.number_at(index)

    def points(self, code: int) -> list[tuple[float, float, float]]:
        """Every point whose x has `code`, in order; the file may also list x, x, y, y."""
        xs, ys, zs = (self.all_numbers(code + step) for step in (0, 10, 20))
        if len(xs) != len(ys):
            raise Damage(f"{self.kind} has {len(xs)} x values but {len(ys)} y values", self.start)
        return list(zip(xs, ys, zs if len(zs) == len(xs) else [0.0] * len(xs)))


def make_record(tags: Tags, start: int, end: int, limit: float) -> Record:
    """The record over the tags from `start` up to `end`; an object embedded in it is cut off."""
    codes, values = tags.codes[start + 1 : end], tags.values[start + 1 : end]
    codes.reverse()
    values.reverse()
    # Of several tags with one code the first wins, hence the reversed order.
    fields = dict(zip(codes, values))
    if EMBEDDED in fields:
        return make_record(tags, start, tags.codes.index(EMBEDDED, start), limit)
    return Record(tags.values[start].strip().upper(), start, end, tags, limit, fields)
