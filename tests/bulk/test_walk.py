"""Sources, names and keys."""

from __future__ import annotations

from pathlib import Path

import pytest

from dxf2turn.bulk.walk import content_key, find_drawings, name_all
from dxf2turn.errors import BadOptions


@pytest.fixture
def tree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("b.dxf", "a.DXF", "deep/er/c.Dxf", "deep/a.dxf", "notes.txt", "deep/picture.png"):
        file = tmp_path / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(name)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.usefixtures("tree")
def test_a_folder_gives_its_drawings_in_a_fixed_order() -> None:
    """.dxf in any case, at every depth, nothing else."""
    found = [path.as_posix() for path in find_drawings(["."])]
    assert found == ["a.DXF", "b.dxf", "deep/a.dxf", "deep/er/c.Dxf"]


def test_marked_drawings_of_an_earlier_run_are_no_drawings(tree: Path) -> None:
    """With the output folder among the sources a second run does not plan what the first one wrote."""
    (tree / "deep" / "a.marked.dxf").write_text("")
    assert len(find_drawings(["."])) == 4
    assert [p.as_posix() for p in find_drawings(["deep/*.dxf"])] == ["deep/a.dxf"]


@pytest.mark.usefixtures("tree")
def test_globs_and_files() -> None:
    """** goes down; a file named outright is taken whatever its ending."""
    assert [p.as_posix() for p in find_drawings(["**/*.dxf"])] == ["b.dxf", "deep/a.dxf"]
    assert [p.as_posix() for p in find_drawings(["notes.txt"])] == ["notes.txt"]


@pytest.mark.usefixtures("tree")
def test_a_drawing_named_twice_is_done_once() -> None:
    """By folder, by glob and by name."""
    assert len(find_drawings([".", "*.dxf", "b.dxf"])) == 4


def test_a_list_names_sources(tree: Path) -> None:
    """One a line, # starts a comment; a listed file that is missing stays in, to become one failed line."""
    (tree / "list.txt").write_text("# today\nb.dxf\n\ndeep\nmissing.dxf\n", encoding="utf-8")
    found = [path.as_posix() for path in find_drawings(["@list.txt"])]
    assert found == ["b.dxf", "deep/a.dxf", "deep/er/c.Dxf", "missing.dxf"]


@pytest.mark.usefixtures("tree")
@pytest.mark.parametrize("source", ["missing.dxf", "*.nothing", "@missing.txt", "missing/"])
def test_a_source_that_is_not_there_is_wrong_usage(source: str) -> None:
    """Named, before anything is done."""
    with pytest.raises(BadOptions, match="missing|nothing"):
        find_drawings([source])


def test_an_empty_folder_is_wrong_usage(tmp_path: Path) -> None:
    """Nothing to do is said."""
    with pytest.raises(BadOptions, match="no .dxf file"):
        find_drawings([str(tmp_path)])


def test_names_do_not_collide() -> None:
    """Same stem in two folders, letter case, and a name that looks like a part of another's sheet."""
    drawings = [Path(p) for p in ("x/pin.dxf", "y/pin.dxf", "z/PIN.dxf", "x/pin-2.dxf", "x/rod.dxf")]
    names = [name for _, name in name_all(drawings, {})]

    assert names[0] == "pin" and names[4] == "rod"
    assert len({name.casefold() for name in names}) == 5
    assert "pin-2" not in names


def test_names_of_an_earlier_run_are_kept() -> None:
    """A drawing that comes first now does not take the name of one that has files already."""
    names = dict(name_all([Path("a/pin.dxf"), Path("b/pin.dxf")], {"b/pin.dxf": "pin"}))
    assert names[Path("b/pin.dxf")] == "pin"
    assert names[Path("a/pin.dxf")].startswith("pin-")


def test_key_follows_content_and_options(tmp_path: Path) -> None:
    """The same bytes and options give the same key, other bytes or options another."""
    one, two = tmp_path / "1.dxf", tmp_path / "2.dxf"
    one.write_bytes(b"a")
    two.write_bytes(b"a")
    assert content_key(one, "x") == content_key(two, "x") != content_key(one, "y")
    two.write_bytes(b"b")
    assert content_key(one, "x") != content_key(two, "x")
