"""Shop files: complete, partial, and wrong in every way a person can get them wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from dxf2turn.errors import BadShopData
from dxf2turn.shop.load import FILES, editable_files, load_shop, shop_from_texts, write_editable

TOOLS = """
turning = [
  { id = "A", insert = "CNMG120408", style = "L", hand = "right", max_depth_mm = 3.0 },
]
"""
MACHINE = dict(editable_files())["machine.toml"]
MATERIALS = dict(editable_files())["materials.toml"]


def refused(**texts: str) -> str:
    """The message for some files' texts: keys are file names without ending."""
    with pytest.raises(BadShopData) as caught:
        shop_from_texts({f"{name}.toml": text for name, text in texts.items()})
    assert caught.value.exit_code == 4
    return str(caught.value)


def test_packaged_shop_is_complete() -> None:
    """Two machines, the defaults exist, every material has data for every operation of its class."""
    shop = load_shop(None)
    assert shop.machine() is not None and shop.material() is not None
    assert len(shop.machines) == 2
    assert len(shop.materials) >= 50
    assert shop.machine("wrenfell 160") is shop.machines[1]
    assert list(shop.bar_diameters_mm) == sorted(shop.bar_diameters_mm)


@pytest.mark.parametrize(
    ("asked", "name"),
    [
        ("C45E", "C45E"),
        ("c45", "C45E"),
        ("1.4301", "X5CrNi18-10"),
        ("AISI 304", "X5CrNi18-10"),
        ("pom", "POM"),
    ],
)
def test_material_is_found_by_its_other_names(asked: str, name: str) -> None:
    """Names on drawings are found whatever their case, spaces or standard."""
    found = load_shop(None).material(asked)
    assert found is not None and found.name == name


def test_unknown_material_is_none() -> None:
    """A name that nothing has is not guessed."""
    assert load_shop(None).material("unobtainium") is None
    assert load_shop(None).machine("no such lathe") is None


def test_partial_folder_takes_the_rest_from_the_package(tmp_path: Path) -> None:
    """A folder with tools.toml alone keeps the packaged machines and materials."""
    (tmp_path / "tools.toml").write_text(TOOLS, encoding="utf-8")
    shop = load_shop(tmp_path)
    assert [tool.id for tool in shop.tools] == ["A"]
    assert shop.machines == load_shop(None).machines


def test_practice_is_taken_key_by_key(tmp_path: Path) -> None:
    """A practice.toml with one key changes that value and keeps the others."""
    (tmp_path / "practice.toml").write_text("[turning]\nleave_radius_mm = 0.5\n", encoding="utf-8")
    own, packaged = load_shop(tmp_path).practice, load_shop(None).practice
    assert own.turning.leave_radius_mm == 0.5 != packaged.turning.leave_radius_mm
    assert own.turning.leave_along_mm == packaged.turning.leave_along_mm
    assert own.drilling == packaged.drilling


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[turning]\nleave_radius = 0.5\n", r"line 2: key 'leave_radius' is not known.*'leave_radius_mm'"),
        ("[turning]\nleave_radius_mm = -1\n", r"line 2: key 'leave_radius_mm' must be at least 0"),
        ("[thread]\nspring_passes = 2\n", r"line 1: key 'thread' is not known"),
        ("turning = 3\n", r"line 1: key 'turning' must be a table"),
    ],
)
def test_wrong_practice_is_named(text: str, said: str) -> None:
    """File, line, key, and what is meant."""
    with pytest.raises(BadShopData, match=f"practice.toml, {said}"):
        shop_from_texts({"practice.toml": text})


def test_written_copies_load_to_the_same_shop(tmp_path: Path) -> None:
    """What --init writes is the packaged shop."""
    folder = tmp_path / "mine"
    assert [path.name for path in write_editable(folder)] == list(FILES)
    assert load_shop(folder) == load_shop(None)


def test_init_never_overwrites(tmp_path: Path) -> None:
    """An edited file is never replaced, and nothing else is written then."""
    (tmp_path / "tools.toml").write_text("mine", encoding="utf-8")
    with pytest.raises(BadShopData, match=r"tools.toml already there"):
        write_editable(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["tools.toml"]
    assert (tmp_path / "tools.toml").read_text(encoding="utf-8") == "mine"


def test_missing_and_empty_folder(tmp_path: Path) -> None:
    """A folder that is not there, or holds no shop file, is said so."""
    with pytest.raises(BadShopData, match="no such folder"):
        load_shop(tmp_path / "nowhere")
    with pytest.raises(
        BadShopData, match=r"holds none of machine.toml, tools.toml, materials.toml, practice.toml"
    ):
        load_shop(tmp_path)


def test_file_that_is_no_text(tmp_path: Path) -> None:
    """A file that is not UTF-8 is named."""
    (tmp_path / "tools.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadShopData, match=r"tools.toml: is not UTF-8 text"):
        load_shop(tmp_path)


def test_directory_in_place_of_a_file(tmp_path: Path) -> None:
    """A directory named like a shop file is an error, not a traceback."""
    (tmp_path / "tools.toml").mkdir()
    with pytest.raises(BadShopData, match=r"tools.toml: can't be read"):
        load_shop(tmp_path)


def test_toml_fault_names_line_and_column() -> None:
    """Broken TOML is reported with its place."""
    message = refused(tools="turning = [\n  { id = 'A' \n]")
    assert message.startswith("tools.toml: no valid TOML")
    assert "line" in message


def test_unknown_key_suggests_the_nearest() -> None:
    """A misspelt key names file, line, tool, and the key that was meant."""
    message = refused(tools=TOOLS.replace("style =", "stile ="))
    assert "tools.toml, line 3: turning 'A': key 'stile' is not known here; did you mean 'style'?" in message


def test_unknown_table_suggests_the_nearest() -> None:
    """A misspelt table is named with the one that was meant."""
    message = refused(tools=TOOLS.replace("turning =", "turnings ="))
    assert "key 'turnings' is not known here; did you mean 'turning'?" in message


def test_missing_key_is_named() -> None:
    """A key that must be there is asked for."""
    message = refused(tools=TOOLS.replace(", max_depth_mm = 3.0", ""))
    assert "turning 'A': key 'max_depth_mm' is missing" in message


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ('"3"', "must be a number, found '3'"),
        ("-1.0", "must be at least 0.001, found -1.0"),
        ("0.0", "must be at least 0.001"),
        ("nan", "must be a finite number, found nan"),
        ("inf", "must be a finite number, found inf"),
        ("-inf", "must be a finite number"),
        ("1e9", "must be at most 5000, found 1000000000.0"),
        ("true", "must be a number, found True"),
        ("[3.0]", "must be a number"),
    ],
)
def test_number_that_is_none(value: str, words: str) -> None:
    """Text, nonsense, nan and inf in place of a number say what is allowed."""
    message = refused(tools=TOOLS.replace("max_depth_mm = 3.0", f"max_depth_mm = {value}"))
    assert f"key 'max_depth_mm' {words}" in message


def test_choice_lists_what_is_allowed() -> None:
    """A word outside the choices lists them."""
    message = refused(tools=TOOLS.replace('"right"', '"rechts"'))
    assert "must be one of 'right', 'left' or 'neutral', found 'rechts'" in message


def test_insert_that_does_not_exist() -> None:
    """A designation outside the table names tool, line and the nearest size."""
    message = refused(tools=TOOLS.replace("CNMG120408", "CNMG130408"))
    assert message == ("tools.toml, line 3: turning 'A': insert size C13 is not in the table; nearest is C12")


def test_insert_that_rubs_in_its_holder() -> None:
    """A trailing edge that would rub is refused with the angle."""
    message = refused(tools=TOOLS.replace('"L"', '"H"'))
    assert "the trailing edge would rub (-7.5 degrees free)" in message


def test_id_used_twice() -> None:
    """Two tools of one id are refused at the second."""
    message = refused(tools=TOOLS.replace("]", TOOLS.splitlines()[2] + "\n]"))
    assert "tools.toml, line 4: turning 'A': this id is used twice" in message


def test_every_mistake_is_listed_at_once() -> None:
    """Two mistakes give two lines."""
    message = refused(tools=TOOLS.replace('"L"', "5").replace("3.0", '"x"'))
    assert len(message.splitlines()) == 2


def test_bar_that_can_not_enter_its_bore() -> None:
    """A bar that does not pass its own least bore is refused."""
    text = (
        'boring = [\n  { id = "B", insert = "CCMT060204", style = "L", bar_mm = 12.0, offset_mm = 9.0,'
        " least_bore_mm = 14.0, overhang_mm = 40.0, max_depth_mm = 1.0 },\n]"
    )
    assert "the bar does not pass its own least_bore_mm" in refused(tools=text)


def test_blade_with_corners_larger_than_itself() -> None:
    """Corner radii above half the width are refused."""
    text = 'parting = [\n  { id = "P", width_mm = 2.0, corner_radius_mm = 1.5, reach_mm = 10.0 },\n]'
    assert "corner_radius_mm is more than half of width_mm" in refused(tools=text)


def test_tooth_that_does_not_close() -> None:
    """A threading tooth without room for its flanks says what to change."""
    text = (
        'threading = [\n  { id = "E", profile = "M", form_angle_deg = 60.0, pitch_mm = [1.0, 1.0],'
        " nose_radius_mm = 0.1, half_width_mm = 3.0, height_mm = 4.0 },\n]"
    )
    assert "make half_width_mm smaller or the tooth higher" in refused(tools=text)


def test_machine_in_header_form_names_its_line() -> None:
    """In [[machine]] tables the line of the very key is given."""
    message = refused(machine=MACHINE.replace("power_kw = 11.0", "power_kw = -11.0"))
    line = MACHINE.splitlines().index("power_kw = 11.0") + 1
    assert f"machine.toml, line {line}: machine 'Ostermoor 42': key 'power_kw' must be more than 0" in message


def test_second_machine_is_told_from_the_first() -> None:
    """The line of the second table is found, not that of the first."""
    message = refused(machine=MACHINE.replace("power_kw = 1.5", 'power_kw = "1.5"'))
    line = MACHINE.splitlines().index("power_kw = 1.5") + 1
    assert f"line {line}: machine 'Wrenfell 160'" in message


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("min_rpm = 40.0", "min_rpm = 9000.0", "min_rpm must be below max_rpm"),
        ("[600.0, 150.0], [4500.0, 20.0]", "[600.0, 150.0], [500.0, 20.0]", "rising speeds"),
        ("grip_mm = [6.0, 165.0]", "grip_mm = [165.0, 6.0]", "grip_mm must be [least, largest]"),
        ("mandrel_mm = [12.0, 60.0]", "mandrel_mm = [60.0, 12.0]", "mandrel_mm must be [least, largest]"),
        (
            'default = "Ostermoor 42"',
            'default = "nobody"',
            "no entry is named 'nobody'; known are Ostermoor 42",
        ),
        ("stations = 12", "stations = 12.5", "must be a whole number"),
    ],
)
def test_machine_that_makes_no_sense(old: str, new: str, words: str) -> None:
    """Values that contradict each other are refused with the reason."""
    assert words in refused(machine=MACHINE.replace(old, new))


def test_material_without_cutting_rows() -> None:
    """A speed class that the cutting table does not know is refused at the material."""
    message = refused(
        materials=MATERIALS.replace('speed_class = "brass", also', 'speed_class = "brasss", also')
    )
    assert "material 'CW614N': the cutting table has no row for speed_class 'brasss', 'rough'" in message


def test_empty_files_are_refused() -> None:
    """An empty machine file says what is missing."""
    message = refused(machine="")
    assert "key 'default' is missing" in message and "key 'machine' is missing" in message


def test_empty_crib_is_allowed() -> None:
    """A crib without tools loads; what it can't make is for the checks to say."""
    assert shop_from_texts({"tools.toml": ""}).tools == ()


def test_tube_is_outside_diameter_and_bore() -> None:
    """Packaged tube: pairs with a wall, rising, and a shop without tube is fine."""
    tubes = load_shop(None).tubes_mm
    assert tubes and all(outside > bore > 0.0 for outside, bore in tubes)
    assert list(tubes) == sorted(tubes)
    without = MATERIALS[: MATERIALS.index("tubes_mm")] + MATERIALS[MATERIALS.index("tube_groups") :]
    assert shop_from_texts({"materials.toml": without}).tubes_mm == ()


@pytest.mark.parametrize(
    ("right", "wrong", "said"),
    [
        ("[71.0, 45.0]", "[45.0, 71.0]", ("tubes_mm", "the bore smaller than the outside diameter")),
        ("[71.0, 45.0]", "[71.0]", ("tubes_mm", "at least 2 entries")),
        ("[71.0, 45.0]", "[71.0, nan]", ("tubes_mm", "finite number")),
        ('tube_groups = ["P", "M"]', 'tube_groups = ["Q"]', ("tube_groups", "'Q'")),
        ("22.0, 23.0,", "22.0, -23.0,", ("bars_mm", "-23.0")),
    ],
)
def test_a_wrong_size_is_named_with_its_line(right: str, wrong: str, said: tuple[str, ...]) -> None:
    """An entry of a plain list is found again: the line on which it stands, the key, what is allowed."""
    message = refused(materials=MATERIALS.replace(right, wrong, 1))
    line = 1 + MATERIALS[: MATERIALS.index(right)].count("\n")
    assert f"materials.toml, line {line}:" in message
    assert all(words in message for words in said)
