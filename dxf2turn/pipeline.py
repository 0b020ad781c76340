"""The recipe: which stage follows which. Nothing else is decided here.

    read -> clean -> contour -> features -> checks -> plan -> removal check

A finding with severity `stop` ends the job before planning; the `Job` holds what was reached. A plan that
the removal check refuses is not handed on while another one passes.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from dxf2turn.approve import with_plan
from dxf2turn.checks.run import run_checks
from dxf2turn.cleaning.clean import clean_drawing
from dxf2turn.contour.build import build_contour
from dxf2turn.features.recognise import recognise as recognise_features
from dxf2turn.job import Job
from dxf2turn.options import DrawingOptions, PlanOptions
from dxf2turn.reading.model import Drawing
from dxf2turn.reading.open import load_file
from dxf2turn.reading.read import read_drawing
from dxf2turn.shop.load import load_shop
from dxf2turn.shop.model import Shop

AS_DRAWN = DrawingOptions()
AS_THE_SHOP_DOES = PlanOptions()


def read(
    source: str | Path | bytes, options: DrawingOptions = AS_DRAWN, name: str = "drawing.dxf"
) -> Drawing:
    """Read a DXF file, or the bytes of one (`name` is then what people call it).

    Raises UnreadableDrawing for a missing file, a file that is no DXF, or one damaged beyond use.
    """
    if isinstance(source, bytes):
        return read_drawing(source, name, options)
    return load_file(Path(source), options)


def recognise(drawing: Drawing, options: DrawingOptions = AS_DRAWN) -> Job:
    """Contour and features of a drawing; the job ends earlier where a finding stops it."""
    job = Job(drawing)
    if job.stopped:
        return job
    clean = clean_drawing(drawing, options)
    job = replace(job, clean=clean)
    if job.stopped:
        return job
    contour = build_contour(clean, options)
    job = replace(job, contour=contour)
    if contour.profile is None:
        return job
    return replace(job, part=recognise_features(contour, options))


def check(drawing: Drawing, shop: Shop | None = None, options: DrawingOptions = AS_DRAWN) -> Job:
    """Contour, features and the findings about what can be made in `shop` (None = the packaged one)."""
    job = recognise(drawing, options)
    if job.part is None or job.contour is None:
        return job
    return replace(job, checks=run_checks(job.part, job.contour, shop or load_shop(None)))


def plan(
    drawing: Drawing,
    shop: Shop | None = None,
    options: DrawingOptions = AS_DRAWN,
    plan_options: PlanOptions = AS_THE_SHOP_DOES,
) -> Job:
    """The whole job. `Job.plan` is None when a finding stops it before planning.

    shop: None = the folder that `plan_options` names, or the packaged shop. A plan is good only when
    `Job.stopped` is false: the removal check has then passed it.
    """
    shop = shop or load_shop(plan_options.shop_dir)
    job = check(drawing, shop, options)
    if job.stopped or job.part is None or job.contour is None:
        return job
    return with_plan(job, shop, plan_options)
