"""The only door to the disk: what is no readable file is said so."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.options import DrawingOptions, ReadLimits
from dxf2turn.reading.open import load_file
from tests.reading.faults import TEXT


def test_file_is_read_and_named_without_its_folder(tmp_path: Path) -> None:
    """A drawing carries the file's name, not the folder it came from."""
    path = tmp_path / "Welle 7.DXF"
    path.write_text(TEXT)

    drawing = load_file(path)

    assert drawing.file == "Welle 7.DXF"
    assert len(drawing.curves) == 4


def test_missing_file(tmp_path: Path) -> None:
    """A file that does not exist is named with its path."""
    with pytest.raises(UnreadableDrawing, match=r"none\.dxf does not exist"):
        load_file(tmp_path / "none.dxf")


def test_folder(tmp_path: Path) -> None:
    """A folder in place of a file is said so."""
    with pytest.raises(UnreadableDrawing) as caught:
        load_file(tmp_path)

    assert str(caught.value) == f"{tmp_path} is a folder. Give the DXF file itself."


def test_pipe_is_never_opened(tmp_path: Path) -> None:
    """A named pipe would block for ever; it is refused by its kind."""
    path = tmp_path / "pipe.dxf"
    os.mkfifo(path)

    with pytest.raises(UnreadableDrawing, match="no regular file"):
        load_file(path)


def test_unreadable_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that may not be read gives the system's reason."""
    path = tmp_path / "a.dxf"
    path.write_text(TEXT)

    def refuse(self: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)

    with pytest.raises(UnreadableDrawing, match="can't be read: Permission denied"):
        load_file(path)


def test_loop_of_links(tmp_path: Path) -> None:
    """A link that points to itself is an error of the file, no crash."""
    path = tmp_path / "loop.dxf"
    path.symlink_to(path)

    with pytest.raises(UnreadableDrawing, match="can't be read"):
        load_file(path)


def test_name_with_a_zero_byte() -> None:
    """A name that no file can have is refused like a file that can't be read."""
    with pytest.raises(UnreadableDrawing, match="can't be read"):
        load_file("a\0b.dxf")


def test_too_large_a_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    """Both numbers are named."""
    path = tmp_path / "a.dxf"
    path.write_text(TEXT)

    with pytest.raises(UnreadableDrawing, match=rf"{len(TEXT):,} bytes, more than the limit of 100"):
        load_file(path, DrawingOptions(limits=ReadLimits(max_bytes=100)))


@pytest.mark.skipif(sys.platform != "linux", reason="only there a name may be any bytes")
@pytest.mark.parametrize(("raw", "shown"), [(b"\xff.dxf", "_.dxf"), (b"a\x1b[31m\n.dxf", "a_[31m_.dxf")])
def test_name_that_can_t_be_shown(tmp_path: Path, raw: bytes, shown: str) -> None:
    """Bytes that are no text and control characters never reach a message or an output file."""
    path = tmp_path / os.fsdecode(raw)
    path.write_text(TEXT)

    assert load_file(path).file == shown
    path.unlink()
    with pytest.raises(UnreadableDrawing) as caught:
        load_file(path)
    assert shown in str(caught.value) and str(caught.value).isprintable()
