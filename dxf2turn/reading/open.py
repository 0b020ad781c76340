"""The only place where the stage touches the disk."""

from __future__ import annotations

import stat
from pathlib import Path

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.options import DrawingOptions
from dxf2turn.reading.model import Drawing


def load_file(path: str | Path, options: DrawingOptions | None = None) -> Drawing:
    """Read a DXF file. Raises UnreadableDrawing when it is missing, no regular file, or no usable DXF.

    The drawing is called by the file's name, with `_` for what can't be shown of it.
    """
    from dxf2turn.reading.read import read_drawing

    options = options or DrawingOptions()
    path = Path(path)
    return read_drawing(read_bytes(path, options.limits.max_bytes), _shown(path.name), options)


def read_bytes(path: Path, max_bytes: int) -> bytes:
    """The content of a regular file. Never opens a pipe or a device, which could block for ever."""
    shown = _shown(str(path))
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise UnreadableDrawing(f"{shown} is a folder. Give the DXF file itself.")
        if not stat.S_ISREG(status.st_mode):
            raise UnreadableDrawing(f"{shown} is no regular file. Give a DXF file on a disk.")
        if status.st_size > max_bytes:
            raise UnreadableDrawing(
                f"{shown} has {status.st_size:,} bytes, more than the limit of {max_bytes:,}. "
                "Export only the view of the part."
            )
        return path.read_bytes()
    except UnreadableDrawing:  # which is a ValueError too
        raise
    except FileNotFoundError:
        raise UnreadableDrawing(f"{shown} does not exist. Check the name and the folder.") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else error
        raise UnreadableDrawing(f"{shown} can't be read: {reason}.") from None


def _shown(name: str) -> str:
    """A file's name for people and messages: control characters and bytes that are no text as `_`."""
    return "".join(c if c.isprintable() else "_" for c in name)
