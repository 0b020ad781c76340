"""Who may import whom, read from the syntax trees: stages never import a later one, siblings stay strangers
to other stages' workings, each third-party package has its place."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent / "dxf2turn"
BASE = ["errors", "findings", "units", "options", "tables"]  # earlier ones may be imported by later ones
STAGES = ["reading", "cleaning", "contour", "features", "shop", "checks", "planning", "removal"]

# What a folder or top-level file may import of this package: a whole folder, or single modules of one.
MAY: dict[str, set[str]] = {
    "geometry": {"geometry"},
    "reading": {"geometry", "reading"},
    "cleaning": {"geometry", "reading.model", "cleaning"},
    "contour": {"geometry", "reading.model", "cleaning", "contour"},
    "features": {"geometry", "reading.model", "contour.model", "features"},
    "shop": {"geometry", "shop"},
    "checks": {"geometry", "reading.model", "contour.model", "features.model", "shop", "checks"},
    "planning": {"geometry", "contour.model", "features.model", "shop", "planning"},
    "removal": {"geometry", "contour.model", "features.model", "shop.model", "planning.model", "removal"},
    "job": {f"{stage}.model" for stage in STAGES},
    "output": {"geometry", "job", "output", "contour.frame", *(f"{stage}.model" for stage in STAGES)},
    "pipeline": {
        "job", "approve", "checks.run", "cleaning.clean", "contour.build", "features.recognise",
        "reading.model", "reading.open", "reading.read", "shop.load", "shop.model",
    },
    "approve": {"job", "contour.model", "features.model", "planning", "removal", "shop.model"},
    "bulk": {"job", "pipeline", "shop.model", "shop.load", "output", "bulk"},
    "cli": {"cli_options", "cli_run", "__init__"},
    "cli_options": set(),
    "cli_run": {"cli_options", "pipeline", "job", "output", "bulk", "shop.load", "shop.model"},
    "__main__": {"cli"},
}  # fmt: skip

# Where a package from outside may be imported.
OUTSIDE: dict[str, set[str]] = {
    "numpy": {"geometry", "reading", "planning", "removal", "approve"},
    "shapely": {"geometry", "cleaning", "contour", "checks", "planning", "removal", "output.polygons"},
    "ezdxf": {"reading.second", "output.marked_dxf"},
    "click": {"cli", "cli_options", "cli_run"},
    "pydantic": {"shop"},
    "jinja2": {"output.html"},
    "markupsafe": {"output.html"},
    "resvg_py": {"output.png"},
    "pebble": {"bulk.pool"},
}


def modules() -> list[tuple[str, Path]]:
    """(dotted name below the package, file) of every module."""
    found = []
    for file in sorted(ROOT.rglob("*.py")):
        parts = file.relative_to(ROOT).with_suffix("").parts
        found.append((".".join(part for part in parts if part != "__init__") or "__init__", file))
    return found


def imports(file: Path) -> list[str]:
    """Full names that a module imports, those for type checking included."""
    names = []
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file.name}: imports are written in full"
            names += [f"{node.module}.{alias.name}" for alias in node.names]
    return names


def own(name: str) -> str | None:
    """Name below the package of an import of this package, None for others."""
    if not name.startswith("dxf2turn"):
        return None
    rest = name.removeprefix("dxf2turn").lstrip(".")
    while rest and not ((ROOT / rest.replace(".", "/")).is_dir() or _file(rest).exists()):
        rest = rest.rpartition(".")[0]
    return rest or "__init__"


def _file(rest: str) -> Path:
    return (ROOT / rest.replace(".", "/")).with_suffix(".py")


@pytest.mark.parametrize(("module", "file"), modules(), ids=lambda value: str(value) if value else "")
def test_a_module_imports_only_what_its_stage_may(module: str, file: Path) -> None:
    """The table above holds for every import in every module."""
    folder = module.split(".")[0]
    for name in imports(file):
        wanted = own(name)
        if wanted is None or module == "__init__":
            continue
        if wanted in BASE or wanted == "__init__":
            assert folder not in BASE or wanted in BASE[: BASE.index(folder)], f"{module} imports {wanted}"
            continue
        if folder in BASE:
            assert wanted == "geometry.point", f"{module} imports {wanted}"
            continue
        allowed = MAY[folder]
        assert any(wanted == one or wanted.startswith(f"{one}.") for one in allowed), (
            f"{module} imports {wanted}"
        )


@pytest.mark.parametrize(("module", "file"), modules(), ids=lambda value: str(value) if value else "")
def test_outside_packages_stay_in_their_place(module: str, file: Path) -> None:
    """A third-party package is imported by the modules named for it, by no other."""
    for name in imports(file):
        package = name.split(".")[0]
        if package == "dxf2turn" or package in sys.stdlib_module_names:
            continue
        places = OUTSIDE.get(package)
        assert places is not None, f"{module} imports {package}"
        assert any(module == place or module.startswith(f"{place}.") for place in places), (
            f"{module}: {package}"
        )


def test_no_stage_imports_a_later_one() -> None:
    """The order of the stages is the order of the table."""
    for module, file in modules():
        stage = module.split(".")[0]
        if stage not in STAGES:
            continue
        for name in imports(file):
            other = (own(name) or "").split(".")[0]
            if other in STAGES:
                assert STAGES.index(other) <= STAGES.index(stage), f"{module} imports {name}"


def test_files_are_short() -> None:
    """350 lines is the limit of a module: what is longer is two things."""
    long = {module: n for module, file in modules() if (n := len(file.read_text("utf-8").splitlines())) > 350}
    assert not long


# Where files are touched; `output.html` reads its packaged templates.
DISK = {"tables", "reading.open", "shop.load", "output.write", "output.html", "bulk", "cli", "cli_run"}
DISK_CALLS = {"open", "read_text", "read_bytes", "write_text", "write_bytes", "mkdir", "unlink", "rmdir"}


@pytest.mark.parametrize(("module", "file"), modules(), ids=lambda value: str(value) if value else "")
def test_files_are_touched_in_few_places(module: str, file: Path) -> None:
    """All else works from memory, so that it can be tested without a disk."""
    if any(module == place or module.startswith(f"{place}.") for place in DISK):
        return
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", None) or getattr(node.func, "attr", None)
            assert name not in DISK_CALLS, f"{module}, line {node.lineno}: {name}"
