"""The public names, and that loading the package and its help stays light."""

from __future__ import annotations

import subprocess
import sys
from importlib import resources
from pathlib import Path

import pytest

import dxf2turn

DRAWINGS = Path(__file__).parent.parent / "drawings"
HEAVY = ("ezdxf", "shapely", "numpy", "pydantic", "jinja2", "resvg_py", "pebble")


def test_every_public_name_is_there() -> None:
    """What `__all__` names can be imported; what is a public function has a docstring."""
    for name in dxf2turn.__all__:
        assert getattr(dxf2turn, name).__doc__


def test_every_lazy_name_is_public() -> None:
    """The table of homes and the public list are the same names."""
    assert set(dxf2turn._HOME) == set(dxf2turn.__all__)


def test_unknown_name_is_an_attribute_error() -> None:
    """As for any module."""
    with pytest.raises(AttributeError, match="nonsense"):
        _ = dxf2turn.nonsense


@pytest.mark.parametrize("words", [["--version"], ["--help"], ["plan", "--help"], ["bulk", "--help"]])
def test_help_and_version_load_nothing_heavy(words: list[str]) -> None:
    """Help is quick because the libraries of the stages are loaded by the commands that need them."""
    code = (
        f"import sys; from dxf2turn.cli import run; run({words!r}); "
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert result.stderr.strip() == "[]"


def test_typed_and_with_its_data() -> None:
    """The marker for type checkers, the fonts and their licence are part of the package."""
    package = resources.files("dxf2turn")
    for name in ("py.typed", "data/fonts/DejaVuSans.ttf", "data/fonts/LICENCE.txt", "data/cautions.csv"):
        assert (package / name).is_file()


def test_the_documented_use_works() -> None:
    """Read, plan, render: the example in the package's docstring."""
    drawing = dxf2turn.read(DRAWINGS / "good" / "tie_rod.dxf")
    job = dxf2turn.recognise(drawing)
    assert job.part is not None and job.plan is None

    checked = dxf2turn.check(drawing)
    assert checked.part is not None and checked.plan is None


def test_bytes_are_read_like_a_file() -> None:
    """The same drawing from memory."""
    file = DRAWINGS / "good" / "tie_rod.dxf"
    assert dxf2turn.read(file.read_bytes(), name="tie_rod.dxf").sha256 == dxf2turn.read(file).sha256
