"""Writing a set of files all or nothing. The only module of this folder that touches the disk."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from dxf2turn.errors import BadOptions

NEW = ".{}.new"  # written beside its target, then moved over it
OLD = ".{}.old"  # the earlier file, kept until the whole set is in place


def check_folder(folder: Path) -> None:
    """Raise BadOptions when `folder` can't be an output folder; leave the disk as it is."""
    place = folder
    while not place.exists() and place != place.parent:
        place = place.parent
    if not place.is_dir():
        raise BadOptions(f"output folder {folder}: {place} is not a folder. Give another folder with -o.")
    if not os.access(place, os.W_OK | os.X_OK):
        raise BadOptions(f"output folder {folder}: no permission to write in {place}. Give another with -o.")


def write_files(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write all `files` (name -> content) into `folder`, made when missing; return their paths.

    Either the whole set is in place afterwards or the folder is as it was before. Raises BadOptions naming
    the file and the reason when writing fails (no permission, disk full, a folder in the way).
    """
    check_folder(folder)
    made = _missing_folders(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _write_new(folder, files)
        _swap(folder, tuple(files))
        _sync_folder(folder)
    except OSError as problem:
        _remove(folder, NEW, files)
        for place in made:
            with suppress(OSError):
                place.rmdir()
        name = problem.filename or folder
        raise BadOptions(f"can't write {name}: {problem.strerror}. Nothing was changed there.") from None
    return tuple(folder / name for name in files)


def _missing_folders(folder: Path) -> tuple[Path, ...]:
    """The folders that have to be made, innermost first."""
    return tuple(place for place in (folder, *folder.parents) if not place.exists())


def _write_new(folder: Path, files: Mapping[str, bytes]) -> None:
    for name, content in files.items():
        with open(folder / NEW.format(name), "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())


def _swap(folder: Path, names: tuple[str, ...]) -> None:
    """Move the new files over the old ones; put the old ones back when one can't be moved."""
    done: list[str] = []
    try:
        for name in names:
            target, old = folder / name, folder / OLD.format(name)
            if target.is_dir():
                raise IsADirectoryError(21, "a folder of this name is in the way", str(target))
            if target.exists():
                os.replace(target, old)
            done.append(name)
            os.replace(folder / NEW.format(name), target)
    except OSError:
        for name in reversed(done):
            _restore(folder / name, folder / OLD.format(name))
        raise
    _remove(folder, OLD, names)


def _restore(target: Path, old: Path) -> None:
    with suppress(OSError):
        if old.exists():
            os.replace(old, target)
        else:
            target.unlink()


def _remove(folder: Path, pattern: str, names: Mapping[str, bytes] | tuple[str, ...]) -> None:
    for name in names:
        with suppress(OSError):
            (folder / pattern.format(name)).unlink()


def _sync_folder(folder: Path) -> None:
    """Make the new names last through a power cut, where the system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
