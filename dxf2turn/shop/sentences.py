"""What is wrong in a shop file, as sentences for people: file, line, table, key, what is allowed.

pydantic finds the mistakes, all of them at once; the words are ours.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ValidationError

from dxf2turn.errors import BadShopData

Path = tuple[int | str, ...]
MOST = 12  # at most this many mistakes are listed
TABLE = r"^\s*\{.*"  # an inline table has a line for itself
ENTRY = r"\[[^\[\]]*\]|\"[^\"]*\"|'[^']*'|[\w.+-]+|\]"  # of an array, or its end
SHOWN = 60  # a value is shown up to this many characters

WANTED: Mapping[str, str] = {
    "missing": "is missing",
    "float_type": "must be a number",
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "string_type": "must be a text in quotes",
    "bool_type": "must be true or false",
    "list_type": "must be a list in brackets",
    "finite_number": "must be a finite number",
    "model_type": "must be a table",
    "string_too_short": "must not be empty",
    "string_pattern_mismatch": "must be plain text on one line",
}
BOUNDS: Mapping[str, tuple[str, str]] = {
    "greater_than": ("must be more than {}", "gt"),
    "greater_than_equal": ("must be at least {}", "ge"),
    "less_than": ("must be less than {}", "lt"),
    "less_than_equal": ("must be at most {}", "le"),
    "too_short": ("must have at least {} entries", "min_length"),
    "too_long": ("must have at most {} entries", "max_length"),
    "string_too_long": ("must be at most {} characters long", "max_length"),
}


@dataclass(frozen=True, slots=True)
class ShopFile:
    """A shop file as it was read: its name, its text, its parsed data, and what may stand in it."""

    name: str
    text: str
    data: Mapping[str, Any]
    schema: type[BaseModel]


def bad_file(file: ShopFile, problem: ValidationError) -> BadShopData:
    """One error that lists every mistake of a file, ready to raise."""
    mistakes = problem.errors(include_url=False)
    lines = [_sentence(file, error) for error in mistakes[:MOST]]
    if len(mistakes) > MOST:
        lines.append(f"{file.name}: {len(mistakes) - MOST} more mistakes")
    return BadShopData("\n".join(lines))


def bad_entry(file: str, text: str, path: Path, name: str, problem: str) -> BadShopData:
    """The error for one entry whose values do not make sense together, ready to raise."""
    return BadShopData(f"{_place(file, text, path)}: {name}: {problem}")


def line_of(text: str, path: Path) -> int | None:
    """Line number of a key or table entry in TOML text as our files are written; None when not found.

    Understands `[[table]]` headers and arrays of inline tables with one entry a line.
    """
    if not path:
        return None
    start, end = _extent(text.splitlines(), path)
    if start is None:
        return None
    keys = [part for part in path[1:] if isinstance(part, str)]
    if not keys:
        return start + 1
    pattern = re.compile(rf"(^|[{{,\s]){re.escape(keys[-1])}\s*=")
    for number, line in enumerate(text.splitlines()[start:end], start=start + 1):
        if pattern.search(line.split("#")[0]):
            return number
    return start + 1


def _extent(lines: Sequence[str], path: Path) -> tuple[int | None, int]:
    """First and past-the-last line (from 0) of the table entry that `path` starts with."""
    name, index = str(path[0]), path[1] if len(path) > 1 and isinstance(path[1], int) else None
    headers = [i for i, line in enumerate(lines) if re.match(rf"\s*\[\[?\s*{re.escape(name)}\s*\]", line)]
    if headers:
        start = headers[min(index or 0, len(headers) - 1)]
        after = [i for i, line in enumerate(lines) if i > start and re.match(r"\s*\[", line)]
        return start, after[0] if after else len(lines)
    key = next((i for i, line in enumerate(lines) if re.match(rf"\s*{re.escape(name)}\s*=", line)), None)
    if key is None or index is None:
        return key, (key or 0) + 1
    entries = tuple(_entry_lines(lines, key))
    if index < len(entries):
        return entries[index], entries[index] + 1
    return key, key + 1


def _entry_lines(lines: Sequence[str], key: int) -> Iterator[int]:
    """The line of each entry of the array whose key stands on line `key`: tables, lists or plain values."""
    body = [lines[key].partition("=")[2].strip().removeprefix("["), *lines[key + 1 :]]
    for number, line in enumerate(body, start=key):
        text = re.sub(TABLE, "0", line.split("#")[0]).strip()
        for entry in re.finditer(ENTRY, text):
            if entry.group() == "]":
                return
            yield number


def _sentence(file: ShopFile, error: Mapping[str, Any]) -> str:
    path: Path = tuple(error["loc"])
    where = _place(file.name, file.text, path)
    keys = [str(part) for part in path if isinstance(part, str)]
    key = keys[-1] if len(keys) > 1 or len(path) == 1 else ""
    return f"{where}: {_name(file.data, path)}{_problem(error, key, _allowed(file.schema, path))}"


def _place(file: str, text: str, path: Path) -> str:
    line = line_of(text, path)
    return file if line is None else f"{file}, line {line}"


def _name(data: Mapping[str, Any], path: Path) -> str:
    """Which table, by its id or name where it has one."""
    if len(path) < 2 or not isinstance(path[1], int):
        return ""
    entry: Any = data.get(str(path[0]), [])
    entry = entry[path[1]] if isinstance(entry, list) and path[1] < len(entry) else None
    label = entry.get("id", entry.get("name")) if isinstance(entry, dict) else None
    shown = f" {label!r}" if isinstance(label, str) and label else f" number {path[1] + 1}"
    return f"{path[0]}{shown}: "


def _problem(error: Mapping[str, Any], key: str, allowed: Sequence[str]) -> str:
    kind, context = error["type"], error.get("ctx", {})
    subject = f"key {key!r} " if key else ""
    if kind == "extra_forbidden":
        near = difflib.get_close_matches(key, allowed, 1)
        meant = f"; did you mean {near[0]!r}?" if near else f"; known are {', '.join(allowed)}"
        return f"{subject}is not known here{meant}"
    if kind == "value_error":
        return str(error["msg"]).removeprefix("Value error, ")
    if kind == "literal_error":
        wanted = f"must be one of {context['expected']}"
    elif kind in BOUNDS:
        words, name = BOUNDS[kind]
        wanted = words.format(_plain(context.get(name, "")))
    else:
        wanted = WANTED.get(kind, "is wrong")
    found = "" if kind == "missing" else f", found {_shown(error.get('input'))}"
    return f"{subject}{wanted}{found}"


def _plain(value: Any) -> str:
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def _shown(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= SHOWN else text[: SHOWN - 3] + "..."


def _allowed(schema: type[BaseModel], path: Path) -> list[str]:
    """Keys that are allowed where the last part of the path stands."""
    model: type[BaseModel] | None = schema
    for part in path[:-1]:
        if model is None:
            return []
        if isinstance(part, str):
            model = _inner(model.model_fields[part].annotation) if part in model.model_fields else None
    return list(model.model_fields) if model is not None else []


def _inner(annotation: Any) -> type[BaseModel] | None:
    """The model inside list[Model], Annotated[list[Model], ...] or Model itself."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_inner(argument) for argument in getattr(annotation, "__args__", ()))
    return next((model for model in found if model is not None), None)
