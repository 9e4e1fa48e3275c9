"""What is written means what its writer meant, however the file is saved and split."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from loombook.inventory import Inventory, read_inventory, read_text
from loombook.inventory import reader
from loombook.inventory.tree import Map, Text, find, plain

EVERY_FAMILY = (Path(__file__).parent / "every_family.yaml").read_text(encoding="utf-8")


def bare(inventory: Inventory) -> Inventory:
    """The inventory without its text, to compare what two files mean."""
    return replace(inventory, texts={})


@pytest.mark.parametrize(
    "written",
    [
        "NO",
        "no",
        "off",
        "on",
        "y",
        "12:24",
        "016",
        "0x1F",
        "1e3",
        "2026-05-01",
        "1_000",
        "=",
        "<",
        ".5",
        "true",
        "-",
        "!x"[1:],
    ],
)
def test_a_name_is_the_text_that_was_written(written: str) -> None:
    name = read_text(f"vessel:\n  name: {written}\n").vessel.name if written != "-" else "-"

    assert written == name


def test_a_quoted_name_may_hold_what_yaml_takes_for_its_own() -> None:
    vessel = read_text("vessel: {name: \"Tern: the #2, 'Blue'\", owner: '~'}\n").vessel

    assert ("Tern: the #2, 'Blue'", "~") == (vessel.name, vessel.owner)


def test_a_text_over_several_lines_is_one_line() -> None:
    folded = read_text("vessel:\n  name: Little\n    Tern\n  note: |\n    laid up\n    ashore\n").vessel

    assert ("Little Tern", "laid up ashore") == (folded.name, folded.note)


@pytest.mark.parametrize(
    ("saved", "data"),
    [
        ("with a byte order mark", b"\xef\xbb\xbf" + EVERY_FAMILY.encode()),
        ("with Windows line ends", EVERY_FAMILY.replace("\n", "\r\n").encode()),
        ("with the line ends of old machines", EVERY_FAMILY.replace("\n", "\r").encode()),
        ("with spaces at the line ends", EVERY_FAMILY.replace("\n", "  \n").encode()),
        ("without a last line end", EVERY_FAMILY.rstrip().encode()),
        ("with comments", ("# ours\n" + EVERY_FAMILY.replace("\n", "  # and more\n")).encode()),
    ],
)
def test_how_the_file_is_saved_changes_nothing(saved: str, data: bytes) -> None:
    assert bare(read_text(EVERY_FAMILY)) == bare(read_text(data)), saved


def test_any_split_over_files_means_the_same(tmp_path: Path) -> None:
    """Here: a file for each family, in folders, and the runs over two files."""
    tree = plain(reader.read(EVERY_FAMILY, "vessel.yaml").root)
    blocks = EVERY_FAMILY.replace("\n  windlass:", "\nruns:\n  windlass:").split("\n")
    files: list[list[str]] = []
    for line in blocks:
        if line and not line.startswith(" "):
            files.append([])
        files[-1].append(line)
    (tmp_path / "deep").mkdir()
    for number, lines in enumerate(files):
        place = tmp_path / ("deep" if number % 2 else ".") / f"{number:02}.yaml"
        place.write_text("\n".join(lines) + "\n", encoding="utf-8")
    split = read_inventory(tmp_path)

    assert len(tree) + 1 == len(files)
    assert bare(read_text(EVERY_FAMILY)) == replace(bare(split), folder=None)


def test_hidden_files_and_files_of_other_kinds_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "vessel.yaml").write_text("vessel: {name: Little Tern}\n", encoding="utf-8")
    (tmp_path / ".draft.yaml").write_text("nonsense: [", encoding="utf-8")
    (tmp_path / "notes.txt").write_text("nonsense: [", encoding="utf-8")

    assert ["vessel.yaml"] == [file.rpartition("/")[2] for file in read_inventory(tmp_path).texts]


def test_a_family_with_nothing_below_it_is_as_good_as_left_out() -> None:
    assert {} == read_text("vessel: {name: Little Tern}\nfuses:\nspares:\n").fuses


def test_a_key_with_nothing_after_it_is_as_good_as_left_out() -> None:
    text = "vessel:\n  name: Little Tern\n  invented:\n  length: ~\n  owner: null\n"

    assert read_text("vessel: {name: Little Tern}\n").vessel == read_text(text).vessel


def test_photos_beside_the_inventory_are_found(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "saloon.jpg").touch()
    text = "vessel: {name: Little Tern}\nspaces:\n  saloon: {name: Saloon, photo: photos/saloon.jpg}\n"
    (tmp_path / "vessel.yaml").write_text(text, encoding="utf-8")

    assert ("photos/saloon.jpg",) == read_inventory(tmp_path).spaces["saloon"].photo


def test_every_value_knows_its_place() -> None:
    inventory = read_text(EVERY_FAMILY, "tern.yaml")

    assert "tern.yaml:35:33" == str(inventory.place("fuses", "F1", "rating"))
    assert "tern.yaml:35:3" == str(inventory.place_of(inventory.fuses["F1"]))


def test_the_place_of_what_is_not_written_is_that_of_its_owner() -> None:
    inventory = read_text(EVERY_FAMILY, "tern.yaml")

    assert inventory.place_of(inventory.fuses["F1"]) == inventory.place("fuses", "F1", "access")


def test_a_key_has_a_place_of_its_own() -> None:
    root = reader.read("a:\n  b: c\n", "f").root

    assert isinstance(root, Map)
    assert (2, 6) == ((place := find(root, ("a", "b"))).line, place.column)
    assert (2, 3) == ((place := find(root, ("a", "b"), key=True)).line, place.column)
    assert Text("c", find(root, ("a", "b"))) == root.entries["a"].entries["b"]


def test_a_cable_in_its_short_form_is_the_cable_in_its_long_form() -> None:
    def cable(written: str):
        text = "vessel: {name: Tern}\nspaces: {engine: {}, bilge: {}}\nbars: {X1: {}, X2: {}}\n"
        return read_text(f"{text}runs:\n  r:\n    - X1\n    - W1: {written}\n    - X2\n").runs["r"].path[1].cable

    short = "2 × 1,5 mm², ~6.2 m, tinned, sheathed, 105 °C, 2-core, bundle of 6, red, in engine, in bilge, soldered"
    long = (
        "{area: '1,5 mm²', length: ~6.2 m, parallel: 2, tinned: yes, sheathed: yes, insulation: 105 °C, cores: 2, "
        "bundle: 6, colour: red, spaces: [engine, bilge], joint: soldered}"
    )

    assert cable(long) == cable(short)
