"""Files are written all or nothing."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from dxf2turn.errors import BadOptions
from dxf2turn.output import write
from dxf2turn.output.files import stem_of
from dxf2turn.output.write import check_folder, write_files

OLD = {"a.txt": b"old a", "b.txt": b"old b", "c.txt": b"old c"}
NEW = {"a.txt": b"new a", "b.txt": b"new b", "c.txt": b"new c"}


def content(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_writes_and_replaces_a_set(tmp_path: Path) -> None:
    """The folder is made; a second set takes the place of the first; nothing else is left."""
    folder = tmp_path / "deep" / "out"
    write_files(folder, OLD)
    write_files(folder, NEW)
    assert content(folder) == NEW


@pytest.mark.parametrize("bad", ["a.txt", "b.txt", "c.txt"])
def test_a_failure_at_any_file_leaves_the_earlier_set(
    bad: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whichever file can't be put in place, the earlier good set is there, whole and alone."""
    write_files(tmp_path, OLD)
    real = os.replace

    def replace(source: Path, target: Path) -> None:
        if Path(target).name == bad and Path(source).name.endswith(".new"):
            raise OSError(28, "No space left on device", str(target))
        real(source, target)

    monkeypatch.setattr(write.os, "replace", replace)
    with pytest.raises(BadOptions, match="No space left"):
        write_files(tmp_path, NEW)

    assert content(tmp_path) == OLD


def test_a_failure_in_a_new_folder_leaves_no_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A run that fails leaves the disk as it was."""

    def fsync(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(write.os, "fsync", fsync)
    with pytest.raises(BadOptions):
        write_files(tmp_path / "x" / "y", NEW)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_in_the_way_is_named(tmp_path: Path) -> None:
    """A folder named like one of the files stops the set before anything is changed."""
    write_files(tmp_path, {"a.txt": b"old a"})
    (tmp_path / "b.txt").mkdir()

    with pytest.raises(BadOptions, match="b.txt"):
        write_files(tmp_path, NEW)
    assert content(tmp_path) == {"a.txt": b"old a"}


def test_a_file_as_output_folder_is_refused(tmp_path: Path) -> None:
    """-o names a file, or a place under one: said before any work is done."""
    (tmp_path / "file").write_bytes(b"")
    for place in (tmp_path / "file", tmp_path / "file" / "below"):
        with pytest.raises(BadOptions, match="not a folder"):
            check_folder(place)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_read_only_folder_is_refused(tmp_path: Path) -> None:
    """No permission: said with the folder's name."""
    tmp_path.chmod(0o500)
    with pytest.raises(BadOptions, match="no permission"):
        check_folder(tmp_path / "out")


@pytest.mark.parametrize(
    ("file", "stem"), [("shaft.dxf", "shaft"), ("a.b.DXF", "a.b"), ("noending", "noending"), (".dxf", ".dxf")]
)
def test_names_start_with_the_drawing_name(file: str, stem: str) -> None:
    """NAME is the drawing's name without its ending."""
    assert stem_of(file) == stem
