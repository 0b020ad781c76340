"""The command line: options in, exit codes out. Stages are loaded inside the commands, so help is quick.

Exit codes: 0 done; 1 a finding stops the job (bulk: some drawing failed); 2 wrong usage or a bad output
folder; 3 the file can't be read as a drawing of a turned part; 4 wrong shop files; 70 a defect in the
program; 130 interrupted.
"""

from __future__ import annotations

import logging
import os
import sys
from pathlib import Path
from typing import Any, NoReturn

import click

from dxf2turn import __version__
from dxf2turn.cli_options import (
    Values,
    bulk_options,
    drawing_options,
    output_folder,
    plan_options,
    report_options,
    units_out_option,
)
from dxf2turn.errors import BadOptions, Dxf2TurnError
from dxf2turn.units import Unit

DONE, USAGE, DEFECT, INTERRUPTED = 0, 2, 70, 130
CONTEXT = {"help_option_names": ["-h", "--help"], "max_content_width": 100}


def main(arguments: list[str] | None = None) -> NoReturn:
    """Run the command line and exit with its code."""
    sys.exit(run(arguments))


def run(arguments: list[str] | None = None) -> int:
    """Run the command line and return its exit code. No traceback ever reaches the user."""
    logging.getLogger().addHandler(logging.NullHandler())  # libraries' remarks are not for the user
    try:
        code = cli.main(args=arguments, prog_name="dxf2turn", standalone_mode=False)
        sys.stdout.flush()
        return code if isinstance(code, int) else DONE
    except click.exceptions.NoArgsIsHelpError as help_text:
        click.echo(help_text.ctx.get_help(), err=True)
        return USAGE
    except click.ClickException as problem:
        problem.show()
        return problem.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo("dxf2turn: interrupted, nothing half-written.", err=True)
        return INTERRUPTED
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # the reader has gone: stay quiet
        return DONE
    except Dxf2TurnError as problem:
        click.echo(f"dxf2turn: {problem}", err=True)
        if problem.exit_code == DEFECT:
            click.echo(_REPORT, err=True)
        return problem.exit_code
    except Exception as problem:  # the last net: a defect is one line, not a traceback
        click.echo(f"dxf2turn: defect in the program: {_trace_end(problem)}", err=True)
        click.echo(_REPORT, err=True)
        if os.environ.get("DXF2TURN_DEBUG"):
            raise
        return DEFECT


_REPORT = (
    "Please report this with the drawing and the command. DXF2TURN_DEBUG=1 in the environment shows more."
)


def _trace_end(problem: Exception) -> str:
    """The exception and the innermost place of this package in its trace."""
    place, trace = "", problem.__traceback__
    while trace is not None:
        file = Path(trace.tb_frame.f_code.co_filename)
        if "dxf2turn" in file.parts:
            place = f" in {file.parent.name}/{file.name}, line {trace.tb_lineno}"
        trace = trace.tb_next
    words = " ".join(str(problem).split())[:200]
    return f"{type(problem).__name__}: {words}{place}"


@click.group(context_settings=CONTEXT, no_args_is_help=True)
@click.version_option(__version__, "--version", prog_name="dxf2turn", message="%(prog)s %(version)s")
@click.pass_context
def cli(context: click.Context) -> None:
    """From the DXF drawing of a turned part to a verified lathe plan.

    \b
    Examples:
      dxf2turn plan shaft.dxf -o out             plan a part, write all files into out/
      dxf2turn check shaft.dxf                   can it be made, what is wrong with the drawing
      dxf2turn features shaft.dxf --json         what was recognised, for other programs
      dxf2turn bulk drawings/ -o out             a whole folder; run again to resume
      dxf2turn shop --init myshop                copies of the shop files to edit
    """
    if os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        context.color = False


@cli.command()
@click.argument("drawing", type=click.Path(path_type=Path))
@output_folder
@drawing_options
@plan_options
@units_out_option
@report_options
def plan(drawing: Path, output: Path | None, **values: Any) -> int:
    """Contour, features, findings and a verified plan of DRAWING.

    Without -o the setup sheet goes to standard output, with --json the plan document.

    \b
    Examples:
      dxf2turn plan shaft.dxf -o out
      dxf2turn plan shaft.dxf -o out --material "X5CrNi18-10" --stock 40x120
      dxf2turn plan sheet.dxf --part 2 --units inch --json
    """
    from dxf2turn import cli_run

    return cli_run.plan(drawing, output, Values(values))


@cli.command()
@click.argument("drawing", type=click.Path(path_type=Path))
@output_folder
@drawing_options
@plan_options
@units_out_option
@report_options
def check(drawing: Path, output: Path | None, **values: Any) -> int:
    """The findings of DRAWING only; exit code 1 when one of them stops the job.

    The plan is made and checked too, but not written: what no tool reaches is a finding. With -o the drawing
    with the findings on layers of their own is written.

    \b
    Examples:
      dxf2turn check shaft.dxf
      dxf2turn check shaft.dxf -o out --strict
      dxf2turn check shaft.dxf --json
    """
    from dxf2turn import cli_run

    return cli_run.check(drawing, output, Values(values))


@cli.command()
@click.argument("drawing", type=click.Path(path_type=Path))
@output_folder
@drawing_options
@units_out_option
@report_options
def features(drawing: Path, output: Path | None, **values: Any) -> int:
    """What was recognised in DRAWING: a table, a document (--json), a labelled picture (-o).

    \b
    Examples:
      dxf2turn features shaft.dxf
      dxf2turn features sheet.dxf -o out         picture of the sheet: which part is which number
      dxf2turn features shaft.dxf --thread "M20x1.5@-5..-25"
    """
    from dxf2turn import cli_run

    return cli_run.features(drawing, output, Values(values))


@cli.command()
@click.argument("sources", nargs=-1, required=True, metavar="SOURCE...")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), required=True, metavar="DIR", help="Output folder."
)
@drawing_options
@plan_options
@units_out_option
@bulk_options
@report_options
def bulk(sources: tuple[str, ...], output: Path, **values: Any) -> int:
    """Plan many drawings: folders, files, globs, @list files (one source a line).

    Each drawing runs in a process of its own and can't harm the others. results.jsonl gets a line for each
    finished drawing, summary.csv the list, worst first. Run the same command again to resume.

    \b
    Examples:
      dxf2turn bulk drawings/ -o out
      dxf2turn bulk 'orders/**/*.dxf' more.dxf -o out --workers 4 --timeout 60
      dxf2turn bulk @list.txt -o out --force
    """
    from dxf2turn import cli_run

    return cli_run.bulk(sources, output, Values(values))


@cli.command()
@click.option(
    "--init",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Write editable copies of the files to DIR.",
)
@click.option("--shop", "shop_dir", type=click.Path(path_type=Path), metavar="DIR", help="Show this shop.")
@click.option("--json", "as_json", is_flag=True, help="A document on standard output.")
@units_out_option
def shop(init: Path | None, shop_dir: Path | None, as_json: bool, units_out: str | None) -> int:
    """What is in the tool crib, which materials and machines there are.

    \b
    Examples:
      dxf2turn shop
      dxf2turn shop --init myshop                then edit, then: dxf2turn plan ... --shop myshop
      dxf2turn shop --shop myshop                checks the files, too
    """
    from dxf2turn import cli_run

    if init is not None and shop_dir is not None:
        raise BadOptions("--init writes the packaged files and can't be combined with --shop.")
    return cli_run.shop(init, shop_dir, as_json, Unit(units_out) if units_out else Unit.MM)
