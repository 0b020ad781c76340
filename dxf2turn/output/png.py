"""SVG -> PNG with the shipped font only, so the picture is the same on every machine."""

from __future__ import annotations

from contextlib import ExitStack
from importlib import resources

FONTS = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")


def render(svg_text: str) -> bytes:
    """PNG bytes of an SVG, at its own size in pixels, on white."""
    import resvg_py  # noqa: PLC0415  (loaded only where a picture is asked for)

    folder = resources.files("dxf2turn") / "data" / "fonts"
    with ExitStack() as stack:
        fonts = [str(stack.enter_context(resources.as_file(folder / name))) for name in FONTS]
        data = resvg_py.svg_to_bytes(
            svg_string=svg_text,
            background="#ffffff",
            skip_system_fonts=True,
            font_files=fonts,
            font_family="DejaVu Sans",
            sans_serif_family="DejaVu Sans",
        )
    return bytes(data)
