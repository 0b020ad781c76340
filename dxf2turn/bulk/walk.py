"""Sources -> drawings: folders, files, globs, @list files. Names and content keys for each."""

from __future__ import annotations

import glob
import hashlib
import os
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from dxf2turn.errors import BadOptions

ENDING = ".dxf"
OWN_ENDING = ".marked.dxf"  # what a run writes itself
CHUNK = 1 << 20


def find_drawings(sources: Iterable[str]) -> tuple[Path, ...]:
    """All drawings that `sources` name, in a fixed order, each file once.

    A folder gives its .dxf files (any case, but no .marked.dxf) at every depth; a file is taken as it is; a
    glob (** for every depth) must match something; @list.txt names one source a line (# starts a comment).
    Raises BadOptions when a source is not there or nothing is found.
    """
    found: dict[Path, Path] = {}
    for path in _expanded(sources, depth=0):
        found.setdefault(Path(os.path.realpath(path)), path)
    if not found:
        raise BadOptions(f"no {ENDING} file in {', '.join(sources)}.")
    return tuple(found.values())


def _expanded(sources: Iterable[str], depth: int) -> Iterator[Path]:
    for source in sources:
        path = Path(source)
        if path.is_dir():
            yield from _in_folder(path)
        elif path.exists():
            yield path
        elif source.startswith("@"):
            yield from _expanded(_listed(Path(source[1:]), depth), depth + 1)
        elif depth > 0 and not glob.has_magic(source):
            yield path  # a listed file that is missing costs one line, not the run
        else:
            yield from _matching(source)


def _in_folder(folder: Path) -> Iterator[Path]:
    for root, folders, files in os.walk(folder):
        folders.sort()
        yield from (Path(root, file) for file in sorted(files) if _is_drawing(file))


def _matching(pattern: str) -> Iterator[Path]:
    matches = sorted(glob.glob(pattern, recursive=True)) if glob.has_magic(pattern) else []
    if not matches:
        raise BadOptions(f"{pattern}: no such file or folder.")
    for match in matches:
        path = Path(match)
        if path.is_dir():
            continue
        if _is_drawing(path.name):
            yield path


def _is_drawing(name: str) -> bool:
    """Whether a folder's file is a drawing to plan: the marked drawings of an earlier run are not."""
    return name.lower().endswith(ENDING) and not name.lower().endswith(OWN_ENDING)


def _listed(file: Path, depth: int) -> list[str]:
    if depth > 0:
        raise BadOptions(f"@{file}: a list can't name another list.")
    try:
        lines = file.read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError) as problem:
        raise BadOptions(f"@{file}: can't be read as a UTF-8 text ({problem.__class__.__name__}).") from None
    return [line.strip() for line in lines if line.strip() and not line.lstrip().startswith("#")]


def name_all(drawings: Iterable[Path], known: Mapping[str, str]) -> Iterator[tuple[Path, str]]:
    """(drawing, name) with a name for each drawing that no other one has, letter case ignored; what can't be
    shown of a file's name is `_`.

    known: drawing -> name of an earlier run; such a name is kept. A name that is taken, or that looks like
    the second part of another drawing's sheet, gets a few digits of the path's hash.
    """
    drawings = list(drawings)
    taken = {name.casefold() for name in known.values()}
    for path in drawings:
        if str(path) in known:
            yield path, known[str(path)]
            continue
        name = "".join(c if c.isprintable() else "_" for c in path.stem) or "drawing"
        if _clashes(name, taken):
            name = f"{name}-{hashlib.sha256(str(path).encode('utf-8', 'surrogateescape')).hexdigest()[:8]}"
        taken.add(name.casefold())
        yield path, name


def _clashes(name: str, taken: set[str]) -> bool:
    """Whether files of this name could meet those of a drawing named before: NAME or its parts NAME-N."""
    low = name.casefold()
    stem, dash, number = low.rpartition("-")
    return low in taken or (bool(dash) and number.isdigit() and stem in taken)


def content_key(path: Path, rest: str) -> str:
    """Hash of a drawing's bytes and of everything else that decides the result (`rest`).

    A file that can't be read gets a key of its own: it will be named as unreadable by its worker.
    """
    digest = hashlib.sha256(rest.encode("utf-8"))
    try:
        with open(path, "rb") as data:
            while chunk := data.read(CHUNK):
                digest.update(chunk)
    except OSError as problem:
        digest.update(f"unreadable: {problem.__class__.__name__}".encode())
    return digest.hexdigest()
