"""Bytes to the library's document: read as it is, else mended by the library, else not at all."""

from __future__ import annotations

import codecs
import io
import logging
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from dxf2turn.reading.file.sniff import decode_text, is_binary

READ, MENDED = "read", "mended"
_SILENT = logging.NullHandler()  # the library's remarks are not for the user
_SHOWN = 80  # characters of the library's own words
_ADDRESS = re.compile(r"\(#\w+\)|0x[0-9a-fA-F]+")  # of an object in memory, another one in every run


@dataclass(frozen=True, slots=True)
class Loaded:
    """document: None when the library can't read the file. way: `READ` or `MENDED`. reason: why it can't."""

    document: Any = None
    way: str = ""
    reason: str = ""


def readings(data: bytes) -> Iterator[Loaded]:
    """What the library makes of a DXF file that our own scan has found sound in form: first as it reads it,
    then as its recovery reads it. Never raises.

    Only loading happens here, no curve mathematics: that is where such libraries are known to hang.
    """
    log = logging.getLogger("ezdxf")
    log.addHandler(_SILENT)
    log.propagate = False
    for way, load in ((READ, _read), (MENDED, _mended)):
        try:
            loaded = Loaded(load(data), way)
        except Exception as error:  # of some fifteen kinds on damaged files, and of no use to tell apart
            loaded = Loaded(reason=f"the DXF library refuses it ({_words(error)})")
        yield loaded


def _read(data: bytes) -> Any:
    """The document as the library reads it."""
    import ezdxf  # noqa: PLC0415  (slow to load, needed only when a drawing is read)
    from ezdxf.document import Drawing as Document  # noqa: PLC0415
    from ezdxf.lldxf.tagger import binary_tags_loader  # noqa: PLC0415

    if is_binary(data):
        return Document.load(binary_tags_loader(data, errors="surrogateescape"))
    return ezdxf.read(io.StringIO(decode_text(data).text.lstrip()))


def _mended(data: bytes) -> Any:
    """The document as the library's recovery reads it, which knows text files only."""
    from ezdxf import recover  # noqa: PLC0415

    if is_binary(data):
        raise ValueError("no recovery of binary files")
    plain = data if not data.startswith(_MARKS) else decode_text(data).text.encode("utf-8", "replace")
    return recover.read(io.BytesIO(plain))[0]


_MARKS = (codecs.BOM_UTF8, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def _words(error: Exception) -> str:
    """The library's complaint, safe and short enough for a message, the same in every run."""
    text = _ADDRESS.sub("", str(error)[: 4 * _SHOWN]).removeprefix("DXFStructureError:")
    text = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return text[:_SHOWN].rstrip(". ") or type(error).__name__
