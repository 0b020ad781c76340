"""The shop files of a folder, or the packaged ones, as a `Shop`. The only place that reads them.

machine.toml, tools.toml, materials.toml, practice.toml; a file that the folder does not have is taken from
the package, and so is a key that its practice.toml leaves out.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Sequence
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from dxf2turn.errors import BadShopData
from dxf2turn.shop.machine_schema import CentreEntry, MachineEntry, MachineFile
from dxf2turn.shop.model import CuttingRow, LiveCentre, Machine, Material, Shop, Tool
from dxf2turn.shop.practice import Practice
from dxf2turn.shop.schema import (
    CuttingEntry,
    MaterialEntry,
    MaterialsFile,
    ToolsFile,
)
from dxf2turn.shop.sentences import ShopFile, bad_entry, bad_file
from dxf2turn.shop.tools.axis import (
    centre_drill_tool,
    drill_tool,
    flat_drill_tool,
    knurl_tool,
    reamer_tool,
    tap_tool,
)
from dxf2turn.shop.tools.bars import boring_bar, inside_grooving_tool, inside_threading_tool
from dxf2turn.shop.tools.blades import face_grooving_tool, grooving_tool, parting_tool
from dxf2turn.shop.tools.proper import proper
from dxf2turn.shop.tools.threading import threading_tool
from dxf2turn.shop.tools.turning import turning_tool
from dxf2turn.tables import read_text

MACHINE, TOOLS, MATERIALS, PRACTICE = "machine.toml", "tools.toml", "materials.toml", "practice.toml"
FILES = (MACHINE, TOOLS, MATERIALS, PRACTICE)
MAX_BYTES = 4_000_000  # a shop file above this is refused
KEPT = 4  # so many versions of each file are kept parsed

# Tables of tools.toml in crib order, each with the function that builds its tools.
BUILDERS: tuple[tuple[str, Callable[[Any], Tool]], ...] = (
    ("turning", turning_tool),
    ("grooving", grooving_tool),
    ("parting", parting_tool),
    ("face_grooving", face_grooving_tool),
    ("threading", threading_tool),
    ("boring", boring_bar),
    ("inside_grooving", inside_grooving_tool),
    ("inside_threading", inside_threading_tool),
    ("centre_drill", centre_drill_tool),
    ("drill", drill_tool),
    ("flat_drill", flat_drill_tool),
    ("reamer", reamer_tool),
    ("tap", tap_tool),
    ("knurl", knurl_tool),
)

Model = TypeVar("Model", bound=BaseModel)


def load_shop(folder: Path | None) -> Shop:
    """The shop of a folder; None = as packaged. Raises BadShopData with file, line, table and key."""
    return _packaged() if folder is None else _assembled(_texts(folder))


def write_editable(folder: Path) -> tuple[Path, ...]:
    """Copies of the packaged files for a person to edit. Existing files are never overwritten.

    Raises BadShopData when a file is there already or the folder can't be written.
    """
    there = [name for name in FILES if (folder / name).exists()]
    if there:
        raise BadShopData(
            f"{folder}: {', '.join(there)} already there; choose an empty folder or delete them first"
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in editable_files():
            (folder / name).write_text(text, encoding="utf-8")
    except OSError as problem:
        raise BadShopData(f"{folder}: can't be written ({problem.strerror or problem})") from None
    return tuple(folder / name for name in FILES)


def editable_files() -> tuple[tuple[str, str], ...]:
    """(name, text) of the packaged shop files."""
    return tuple((name, read_text(name)) for name in FILES)


def shop_from_texts(texts: dict[str, str]) -> Shop:
    """A shop from the texts of its files by name; a file that is missing is taken from the package."""
    return _assembled(dict(editable_files()) | texts)


@cache
def _packaged() -> Shop:
    return _assembled(dict(editable_files()))


def _texts(folder: Path) -> dict[str, str]:
    """The folder's files, the packaged ones where it has none."""
    if not folder.is_dir():
        raise BadShopData(f"{folder}: no such folder; `dxf2turn shop --init {folder}` makes one")
    found = {name: _read(folder / name) for name in FILES if (folder / name).exists()}
    if not found:
        raise BadShopData(f"{folder}: holds none of {', '.join(FILES)}")
    return dict(editable_files()) | found


def _read(path: Path) -> str:
    try:
        if path.stat().st_size > MAX_BYTES:
            raise BadShopData(f"{path.name}: larger than {MAX_BYTES} bytes")
        return path.read_text(encoding="utf-8")
    except OSError as problem:
        raise BadShopData(f"{path.name}: can't be read ({problem.strerror or problem})") from None
    except UnicodeDecodeError:
        raise BadShopData(f"{path.name}: is not UTF-8 text") from None


def _assembled(texts: dict[str, str]) -> Shop:
    machines, default_machine = _machines(texts[MACHINE])
    materials = _materials(texts[MATERIALS])
    return Shop(
        machines=machines,
        tools=_tools(texts[TOOLS]),
        materials=tuple(map(_material, materials.material)),
        bar_diameters_mm=tuple(sorted(set(materials.bars_mm))),
        default_machine=default_machine,
        default_material=materials.default,
        practice=_practice(texts[PRACTICE]),
        cutting=tuple(map(_cutting, materials.cutting)),
        inch_bar_diameters_mm=tuple(sorted(set(materials.bars_inch_mm))),
        tubes_mm=tuple(sorted({(tube[0], tube[1]) for tube in materials.tubes_mm})),
        tube_groups=tuple(materials.tube_groups),
    )


@lru_cache(maxsize=KEPT)
def _machines(text: str) -> tuple[tuple[Machine, ...], str]:
    """The machines of a file and the name of the default one."""
    found = _parsed(MACHINE, text, MachineFile)
    names = [entry.name for entry in found.machine]
    _unique(MACHINE, text, "machine", names)
    _known(MACHINE, found.default, names)
    return tuple(map(_machine, found.machine)), found.default


@lru_cache(maxsize=KEPT)
def _materials(text: str) -> MaterialsFile:
    found = _parsed(MATERIALS, text, MaterialsFile)
    names = [entry.name for entry in found.material]
    _unique(MATERIALS, text, "material", names)
    _known(MATERIALS, found.default, names)
    _classes(text, found)
    return found


@lru_cache(maxsize=KEPT)
def _practice(text: str) -> Practice:
    """The practice of a file over the packaged one, key by key."""
    packaged, own = (_toml(PRACTICE, each) for each in (read_text(PRACTICE), text))
    both = {table: _over(values, own.get(table, {})) for table, values in packaged.items()}
    return _valid(ShopFile(PRACTICE, text, own | both, Practice), Practice)


def _over(values: dict[str, Any], own: Any) -> Any:
    """The packaged values with those of one's own table over them; what is no table is left as it is."""
    return values | own if isinstance(own, dict) else own


def _parsed(file: str, text: str, schema: type[Model]) -> Model:
    return _valid(ShopFile(file, text, _toml(file, text), schema), schema)


def _toml(file: str, text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise BadShopData(f"{file}: no valid TOML: {problem}") from None


def _valid(file: ShopFile, schema: type[Model]) -> Model:
    try:
        return schema.model_validate(file.data)
    except ValidationError as problem:
        raise bad_file(file, problem) from None


@lru_cache(maxsize=KEPT)
def _tools(text: str) -> tuple[Tool, ...]:
    """The tools of a file, each with a shape that holds together."""
    crib = _parsed(TOOLS, text, ToolsFile)
    tools: list[Tool] = []
    seen: set[str] = set()
    for table, build in BUILDERS:
        for index, entry in enumerate(getattr(crib, table)):
            name = f"{table} {entry.id!r}"
            if entry.id in seen:
                raise bad_entry(TOOLS, text, (table, index), name, "this id is used twice")
            seen.add(entry.id)
            try:
                tools.append(proper(build(entry)))
            except ValueError as problem:
                raise bad_entry(TOOLS, text, (table, index), name, str(problem)) from None
    return tuple(tools)


def _unique(file: str, text: str, table: str, names: Sequence[str]) -> None:
    for index, name in enumerate(names):
        if name in names[:index]:
            raise bad_entry(file, text, (table, index), f"{table} {name!r}", "this name is used twice")


def _known(file: str, default: str, names: Iterable[str]) -> None:
    names = list(names)
    if default not in names:
        raise BadShopData(
            f"{file}: key 'default': no entry is named {default!r}; known are {', '.join(names)}"
        )


def _classes(text: str, materials: MaterialsFile) -> None:
    """Every material's speed class needs rows for roughing and finishing."""
    have = {(row.speed_class, row.operation) for row in materials.cutting}
    for index, entry in enumerate(materials.material):
        for operation in ("rough", "finish"):
            if (entry.speed_class, operation) not in have:
                raise bad_entry(
                    MATERIALS,
                    text,
                    ("material", index, "speed_class"),
                    f"material {entry.name!r}",
                    f"the cutting table has no row for speed_class {entry.speed_class!r}, {operation!r}",
                )


def _machine(entry: MachineEntry) -> Machine:
    values = entry.model_dump(
        exclude={
            "torque_points", "grip_mm", "steady_mm", "inside_grip_mm", "mandrel_mm", "jaw_length_mm",
            "jaw_height_mm", "centre", "steady_width_mm",
        }
    )  # fmt: skip
    return Machine(
        **values,
        torque_points=tuple((rpm, torque) for rpm, torque in entry.torque_points),
        grip_mm=(entry.grip_mm[0], entry.grip_mm[1]),
        steady_mm=_pair(entry.steady_mm),
        inside_grip_mm=_pair(entry.inside_grip_mm),
        mandrel_mm=_pair(entry.mandrel_mm),
        steady=entry.steady_mm is not None,
        jaw_length=entry.jaw_length_mm,
        jaw_height=entry.jaw_height_mm,
        centres=tuple(sorted(map(_centre, entry.centre), key=lambda centre: centre.nose_mm)),
        steady_width=entry.steady_width_mm,
    )


def _centre(entry: CentreEntry) -> LiveCentre:
    return LiveCentre(
        entry.nose_mm, entry.nose_length_mm, entry.body_mm, entry.body_length_mm, entry.tip_mm
    )


def _material(entry: MaterialEntry) -> Material:
    return Material(
        name=entry.name,
        group=entry.group,
        description=entry.description,
        kc11=entry.kc11_n_per_mm2,
        mc=entry.mc,
        density=entry.density_kg_per_m3,
        youngs_modulus=entry.youngs_modulus_n_per_mm2,
        speed_class=entry.speed_class,
        also=tuple(entry.also),
        source=entry.source,
    )


def _cutting(entry: CuttingEntry) -> CuttingRow:
    return CuttingRow(
        speed_class=entry.speed_class,
        operation=entry.operation,
        tool_material=entry.tool,
        speed_m_per_min=(entry.speed_m_per_min[0], entry.speed_m_per_min[1]),
        feed_mm_per_rev=_pair(entry.feed_mm_per_rev),
        depth=_pair(entry.depth_mm),
        source=entry.source,
    )


def _pair(values: list[float] | None) -> tuple[float, float] | None:
    return None if values is None else (values[0], values[1])
