"""The tag pairs of a binary DXF, both layouts: one-byte group codes (to R12) and two-byte ones (R13 on).

Source of the value types per group code: DXF reference, "Group code value types"; from memory, checked
in the tests against files that another library writes.
"""

from __future__ import annotations

import struct
from collections.abc import Callable

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.reading.file.sniff import BINARY_SENTINEL, codec_of
from dxf2turn.reading.file.tags import Tags

_DOUBLE, _INT16, _INT32, _INT64, _BYTE, _CHUNK, _STRING = "d", "h", "i", "q", "B", "chunk", "string"

# (first code, last code, type); codes in none of the ranges hold strings.
_TYPES: tuple[tuple[int, int, str], ...] = (
    (10, 59, _DOUBLE), (60, 79, _INT16), (90, 99, _INT32), (110, 149, _DOUBLE), (160, 169, _INT64),
    (170, 179, _INT16), (210, 239, _DOUBLE), (270, 289, _INT16), (290, 299, _BYTE), (310, 319, _CHUNK),
    (370, 389, _INT16), (400, 409, _INT16), (420, 429, _INT32), (440, 459, _INT32), (460, 469, _DOUBLE),
    (1004, 1004, _CHUNK), (1010, 1059, _DOUBLE), (1060, 1070, _INT16), (1071, 1071, _INT32),
)  # fmt: skip
_TYPE_OF = {code: kind for first, last, kind in _TYPES for code in range(first, last + 1)}
_LONG_CODE = 255  # in the one-byte layout: the code follows in two bytes


def read_binary_tags(data: bytes, name: str) -> Tags:
    """Tags of a binary DXF up to its end mark, or up to the pair in which it is cut off."""
    codes: list[int] = []
    raw: list[bytes | str] = []
    offsets: list[int] = []
    # A transfer as text may have taken the carriage return out of the first line.
    at = data.index(BINARY_SENTINEL[-2:]) + 2
    read_code = _wide_code if data[at + 1 : at + 2] == b"\x00" else _narrow_code
    while at < len(data):
        try:
            code, value_at = read_code(data, at)
            value, end = _value(data, value_at, _TYPE_OF.get(code, _STRING))
        except (struct.error, IndexError, ValueError):
            break
        codes.append(code)
        raw.append(value)
        offsets.append(at)
        if code == 0 and value == b"EOF":
            break
        at = end
    if not codes:
        raise UnreadableDrawing(f"{name} is a binary DXF without content. Export the drawing again.")
    return Tags(codes, _decoded(raw), 1, offsets)


def _wide_code(data: bytes, at: int) -> tuple[int, int]:
    return struct.unpack_from("<h", data, at)[0], at + 2


def _narrow_code(data: bytes, at: int) -> tuple[int, int]:
    if data[at] == _LONG_CODE:
        return struct.unpack_from("<h", data, at + 1)[0], at + 3
    return data[at], at + 1


def _value(data: bytes, at: int, kind: str) -> tuple[bytes | str, int]:
    """The value at `at` (bytes for a string, text for a number) and the offset behind it."""
    if kind is _STRING:
        end = data.index(b"\x00", at)
        return data[at:end], end + 1
    if kind is _CHUNK:
        end = at + 1 + data[at]
        if end > len(data):
            raise ValueError("cut off")
        return data[at + 1 : end].hex(), end
    number = struct.unpack_from("<" + kind, data, at)[0]
    return repr(number), at + struct.calcsize("<" + kind)


def _decoded(raw: list[bytes | str]) -> list[str]:
    decode = _decoder(raw)
    return [decode(value) if isinstance(value, bytes) else value for value in raw]


def _decoder(raw: list[bytes | str]) -> Callable[[bytes], str]:
    """Strings are UTF-8, else of the code page that the header names."""
    codec = "cp1252"
    for index, value in enumerate(raw[:5000]):
        if value == b"$DWGCODEPAGE" and index + 1 < len(raw) and isinstance(raw[index + 1], bytes):
            codec = codec_of(raw[index + 1].decode("ascii", "replace"))  # type: ignore[union-attr]

    def decode(value: bytes) -> str:
        try:
            return value.decode("utf-8")
        except UnicodeDecodeError:
            return value.decode(codec, "replace")

    return decode
