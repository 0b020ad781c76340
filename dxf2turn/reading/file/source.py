"""Bytes to tags, whatever the container: text or binary, any encoding."""

from __future__ import annotations

from dxf2turn.errors import UnreadableDrawing
from dxf2turn.options import ReadLimits
from dxf2turn.reading.file.binary_tags import read_binary_tags
from dxf2turn.reading.file.sniff import is_binary, refuse_other_files
from dxf2turn.reading.file.tags import Tags
from dxf2turn.reading.file.text_tags import read_text_tags


def read_tags(data: bytes, name: str, limits: ReadLimits) -> Tags:
    """The tags of a DXF file. Raises UnreadableDrawing for anything else, by name."""
    if len(data) > limits.max_bytes:
        raise UnreadableDrawing(
            f"{name} has {len(data):,} bytes, more than the limit of {limits.max_bytes:,}. "
            "Export only the view of the part."
        )
    refuse_other_files(data, name)
    if is_binary(data):
        return read_binary_tags(data, name)
    return read_text_tags(data, name)
