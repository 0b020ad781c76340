"""What the bytes are, before anything is parsed: a DXF text, a binary DXF, or something else by name."""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass

from dxf2turn.errors import UnreadableDrawing

BINARY_SENTINEL = b"AutoCAD Binary DXF\r\n\x1a\x00"

# First bytes of what is often renamed or exported to ".dxf" by mistake.
_MAGIC: tuple[tuple[bytes, str, str], ...] = (
    (b"AutoCAD DXB", "a DXB file", "save it as DXF"),
    (b"\x1f\x8b", "a gzip archive", "unpack it first"),
    (b"PK\x03\x04", "a zip archive", "unpack it first"),
    (b"7z\xbc\xaf\x27\x1c", "a 7z archive", "unpack it first"),
    (b"Rar!", "a rar archive", "unpack it first"),
    (b"BZh", "a bzip2 archive", "unpack it first"),
    (b"\xfd7zXZ", "an xz archive", "unpack it first"),
    (b"%PDF", "a PDF document", "export the drawing as DXF from the CAD system"),
    (b"%!PS", "a PostScript file", "export the drawing as DXF from the CAD system"),
    (b"ISO-10303-21", "a STEP model", "export a 2D view of it as DXF"),
    (b"\xd0\xcf\x11\xe0", "an Office document", "export the drawing as DXF from the CAD system"),
    (b"\x89PNG", "a PNG picture", "a picture holds no geometry; export the drawing as DXF"),
    (b"\xff\xd8\xff", "a JPEG picture", "a picture holds no geometry; export the drawing as DXF"),
    (b"GIF8", "a GIF picture", "a picture holds no geometry; export the drawing as DXF"),
    (b"BM", "a bitmap picture", "a picture holds no geometry; export the drawing as DXF"),
    (b"II*\x00", "a TIFF picture", "a picture holds no geometry; export the drawing as DXF"),
    (b"MM\x00*", "a TIFF picture", "a picture holds no geometry; export the drawing as DXF"),
    (b"{\\rtf", "an RTF document", "export the drawing as DXF from the CAD system"),
)
_DWG = re.compile(rb"AC(10\d\d|1\.\d+|2\.\d+)")
_DWG_RELEASES = {
    b"1009": "R12", b"1012": "R13", b"1014": "R14", b"1015": "2000", b"1018": "2004",
    b"1021": "2007", b"1024": "2010", b"1027": "2013", b"1032": "2018",
}  # fmt: skip
_MARKUP = re.compile(rb"\s*<(!doctype\s+html|html|head|body|svg|\?xml)", re.IGNORECASE)
_CODEPAGE = re.compile(rb"\$DWGCODEPAGE\s*[\r\n]+\s*3\s*[\r\n]+\s*([^\r\n]+)", re.IGNORECASE)
# How names of codecs start that are pages of letters; hex, idna, utf-16 and the like are none of a DXF text.
_PAGES = (
    "cp",
    "iso8859",
    "big5",
    "gb",
    "shift",
    "euc",
    "johab",
    "koi8",
    "mac",
    "utf-8",
    "ascii",
    "hz",
    "tis",
)
_HEAD = 4000  # bytes looked at for markup and for NUL patterns
_HEADER = 100_000  # bytes in which the code page is looked for


@dataclass(frozen=True, slots=True)
class DxfText:
    """The text of a DXF file, line ends made one; mended: codes of repairs."""

    text: str
    mended: tuple[str, ...] = ()


def is_binary(data: bytes) -> bool:
    """Whether `data` is a binary DXF."""
    return data.startswith(BINARY_SENTINEL[:18]) and BINARY_SENTINEL[-2:] in data[:24]


def refuse_other_files(data: bytes, name: str) -> None:
    """Raise UnreadableDrawing, saying what the file is, when it is evidently no DXF."""
    if not data.strip(b"\x00 \t\r\n\x1a"):
        what = "is empty" if not data else "holds only blanks or zero bytes"
        raise UnreadableDrawing(f"{name} {what}. Export the drawing again.")
    found = _other_kind(data)
    if found:
        raise UnreadableDrawing(f"{name} is no DXF file but {found[0]}: {found[1]}.")


def decode_text(data: bytes) -> DxfText:
    """The text of an ASCII DXF: byte order mark, UTF-16, code page and line ends taken care of.

    Order of tries: UTF-8 (its multi-byte sequences hardly occur by chance), the code page that the header
    names, Windows Latin 1 with replacement.
    """
    text = _decoded(data)
    mended = []
    if "\r\r\n" in text:
        text = text.replace("\r\r\n", "\n")
        mended.append("doubled-line-ends")
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return DxfText(text, tuple(mended))


def declared_codec(data: bytes) -> str:
    """Python's name of the code page in the header ($DWGCODEPAGE), `cp1252` when it is none or unknown."""
    match = _CODEPAGE.search(data[:_HEADER])
    return codec_of(match.group(1).decode("ascii", "replace")) if match else "cp1252"


def codec_of(code_page: str) -> str:
    """Python's codec for a name such as `ANSI_1252` or `dos850`; `cp1252` when it is unknown."""
    digits = "".join(c for c in code_page if c.isdigit())
    for candidate in (f"cp{digits}", code_page.strip().lower()):
        try:
            codec = codecs.lookup(candidate).name
        except (LookupError, ValueError):
            continue
        if codec.startswith(_PAGES):
            return codec
    return "cp1252"


def _other_kind(data: bytes) -> tuple[str, str] | None:
    for magic, what, advice in _MAGIC:
        if data.startswith(magic):
            return what, advice
    dwg = _DWG.match(data)
    if dwg and b"SECTION" not in data[:_HEAD]:
        release = _DWG_RELEASES.get(dwg.group(1))
        return f"a DWG file{f' ({release})' if release else ''}", "save it as DXF in the CAD system"
    markup = _MARKUP.match(data[:_HEAD].lstrip(codecs.BOM_UTF8))
    if markup:
        kind = "an SVG or XML file" if markup.group(1).lower() in (b"svg", b"?xml") else "an HTML page"
        return kind, "download or export the drawing itself as DXF"
    return None


def _decoded(data: bytes) -> str:
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", "replace")
    head = data[:_HEAD]
    if head.count(b"\x00") > len(head) // 3:  # UTF-16 without a mark: every second byte is zero
        codec = "utf-16-be" if head[0] == 0 else "utf-16-le"
        return data.decode(codec, "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        codec = declared_codec(data)
    try:
        return data.decode(codec)
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")
