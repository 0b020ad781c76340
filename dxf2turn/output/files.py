"""The sets of files that the commands write: which renderer makes which ending."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath

from dxf2turn.job import Job
from dxf2turn.output import (
    csv_table,
    features_table,
    html,
    iso6983,
    json_doc,
    markdown,
    marked_dxf,
    png,
    preview,
    svg,
)
from dxf2turn.output.model import OutputOptions

Renderer = Callable[[Job, OutputOptions], str | bytes]
AS_DRAWN = OutputOptions()


def _preview_svg(job: Job, options: OutputOptions) -> str:
    return svg.render(preview.display(job, options))


def _preview_png(job: Job, options: OutputOptions) -> bytes:
    return png.render(_preview_svg(job, options))


PLAN_FILES: tuple[tuple[str, Renderer], ...] = (
    ("plan.json", json_doc.render),
    ("steps.md", markdown.render),
    ("steps.csv", csv_table.render),
    ("preview.svg", _preview_svg),
    ("preview.png", _preview_png),
    ("report.html", html.render),
    ("program.nc", iso6983.render),
    ("marked.dxf", marked_dxf.render),
)
CHECK_FILES: tuple[tuple[str, Renderer], ...] = (("marked.dxf", marked_dxf.render),)
FEATURE_FILES: tuple[tuple[str, Renderer], ...] = (
    ("features.csv", features_table.render_csv),
    ("features.svg", lambda job, options: svg.render(preview.features_display(job, options))),
    ("features.png", lambda job, options: png.render(svg.render(preview.features_display(job, options)))),
)


def render(
    job: Job,
    options: OutputOptions = AS_DRAWN,
    kinds: tuple[tuple[str, Renderer], ...] = PLAN_FILES,
    name: str | None = None,
) -> dict[str, bytes]:
    """Render a set of files in memory: file name -> content.

    name: first part of the names, None = the drawing's name without its ending.
    """
    stem = name if name is not None else stem_of(job.drawing.file)
    return {f"{stem}.{ending}": _bytes(renderer(job, options)) for ending, renderer in kinds}


def stem_of(file: str) -> str:
    """A drawing's name without its ending: what the names of its files start with."""
    return PurePath(file).stem or "drawing"


def _bytes(content: str | bytes) -> bytes:
    return content if isinstance(content, bytes) else content.encode("utf-8")
