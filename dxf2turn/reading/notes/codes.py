"""Formatting codes of texts: taken out, and what they mean kept in plain characters."""

from __future__ import annotations

import re

DIAMETER = "\u2300"

_PERCENT = {"C": DIAMETER, "D": "\u00b0", "P": "\u00b1", "%": "%", "U": "", "O": "", "K": ""}
_NUMBERED = {127: "\u00b0", 128: "\u00b1", 129: DIAMETER}  # of the CAD systems' own fonts, from memory
_PERCENT_CODE = re.compile(r"%%(\d{3}|.)", re.DOTALL)
_UNICODE = re.compile(r"\\U\+([0-9A-F]{4})", re.IGNORECASE)
_MULTIBYTE = re.compile(r"\\M\+([1-5])([0-9A-F]{4})", re.IGNORECASE)
_CODE_PAGES = {"1": "cp932", "2": "cp950", "3": "cp949", "4": "johab", "5": "cp936"}
_DIAMETERS = re.compile(r"[\u2300\u2205]|[\u00d8\u00f8\u03a6\u03c6\u0424](?=\s*[\d.,<(\u00b1]|\s*$)")
_CARET = re.compile(r"\^(.)", re.DOTALL)
_BLANKS = re.compile(r"[^\S\n]+")


def plain_line(text: str) -> str:
    """The plain text of a TEXT value.

    >>> plain_line("%%c25 h6"), plain_line("45%%d"), plain_line("\\\\U+00D820")
    ('⌀25 h6', '45°', '⌀20')
    """
    return tidy(fold_codes(_CARET.sub(_caret, text)))


def fold_codes(text: str) -> str:
    """`%%` codes and `\\U+`, `\\M+` codes as the characters they stand for."""
    text = _UNICODE.sub(_unicode, text)
    text = _MULTIBYTE.sub(_multibyte, text)
    return _PERCENT_CODE.sub(_percent, text)


def tidy(text: str) -> str:
    """One diameter sign, no control characters, single blanks, no blank lines at the ends.

    Letters such as the O with stroke count as diameter signs only before a number or at the end.
    """
    text = _DIAMETERS.sub(DIAMETER, text)
    text = "".join(c if c == "\n" or c.isprintable() else " " for c in text)
    return "\n".join(_BLANKS.sub(" ", line).strip() for line in text.split("\n")).strip()


def _percent(match: re.Match[str]) -> str:
    code = match.group(1)
    if len(code) == 3:
        number = int(code)
        if number in _NUMBERED:
            return _NUMBERED[number]
        return chr(number) if 32 <= number < 256 else ""
    return _PERCENT.get(code.upper(), match.group(0))


def _unicode(match: re.Match[str]) -> str:
    number = int(match.group(1), 16)
    return "\ufffd" if 0xD800 <= number < 0xE000 else chr(number)  # half of a pair is no character


def _multibyte(match: re.Match[str]) -> str:
    return bytes.fromhex(match.group(2)).decode(_CODE_PAGES[match.group(1)], "replace")


def _caret(match: re.Match[str]) -> str:
    """`^I` is a tab, `^J` a line end, `^ ` the caret itself."""
    letter = match.group(1)
    if letter == " ":
        return "^"
    return " " if letter in "IJM" else match.group(0)


# Letters of the symbol fonts for geometric tolerances (from memory, common practice of the CAD systems).
_SYMBOLS = {
    "a": "\u2220", "b": "\u27c2", "c": "\u23e5", "d": "\u2313", "e": "\u25cb", "f": "\u2225", "g": "\u232d",
    "h": "\u2197", "i": "\u232f", "j": "\u2316", "k": "\u2312", "l": "\u24c1", "m": "\u24c2", "n": DIAMETER,
    "p": "\u24c5", "r": "\u25ce", "s": "\u24c8", "t": "\u2330", "u": "\u23e4", "w": "\u2335", "v": "\u2334",
    "x": "\u21a7", "o": "\u25a1", "q": "\u2104", "y": "\u2332", "z": "\u2333",
}  # fmt: skip


def fold_symbols(text: str) -> str:
    """Letters of a symbol font as the symbols they draw; others stay."""
    return "".join(_SYMBOLS.get(letter, letter) for letter in text)
