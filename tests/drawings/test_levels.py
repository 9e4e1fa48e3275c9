"""Levels: what feeds stands above what it feeds, whatever way round the inventory names it."""

from __future__ import annotations

import pytest
from loombook.drawings.levels import leveled
from loombook.drawings.model import Branch, Element, Form, Node, OneLine


def sheet(nodes: str, *pairs: str, ties: tuple[str, ...] = ()) -> OneLine:
    """Bars of these letters, a branch for each pair, a tie for each pair in `ties`."""
    branches = [Branch(pair, pair[0], pair[1]) for pair in pairs]
    branches += [Branch(f"tie {pair}", pair[0], pair[1], tie=True) for pair in ties]
    return OneLine("sheet", "", tuple(Node(letter) for letter in nodes), tuple(branches))


def test_a_bar_stands_under_every_bar_that_feeds_it() -> None:
    levels = leveled(sheet("ABCD", "AB", "BC", "AC", "CD")).level

    assert levels == {"A": 0, "B": 1, "C": 2, "D": 3}


def test_a_bar_that_nothing_feeds_stands_close_over_what_it_feeds() -> None:
    levels = leveled(sheet("ABCD", "AB", "BC", "DC")).level

    assert levels == {"A": 0, "B": 1, "C": 2, "D": 1}


def test_a_paralleling_switch_puts_its_bars_on_one_level() -> None:
    flat = leveled(sheet("ABC", "AB", ties=("BC",)))

    assert flat.level["B"] == flat.level["C"]
    assert [tie.id for tie in flat.ties] == ["tie BC"]


def test_a_tie_between_a_bar_and_one_it_feeds_hangs_between_them() -> None:
    flat = leveled(sheet("AB", "AB", ties=("AB",)))

    assert flat.ties == ()
    assert flat.level == {"A": 0, "B": 1}


def test_a_loop_of_charger_and_inverter_is_drawn_with_one_of_them_turned() -> None:
    charger = Branch("charger", "AC", "DC", (Element("charger", "T1"),))
    inverter = Branch("inverter", "DC", "AC", (Element("inverter", "T2"),))
    flat = leveled(OneLine("s", "", (Node("AC"), Node("DC")), (charger, inverter)))
    turned = next(b for b in flat.branches if b.id == "inverter")

    assert (turned.upper, turned.lower) == ("AC", "DC")
    assert turned.chain[0].kind == "charger"


def test_a_line_from_source_to_load_gets_a_joint_to_hang_on() -> None:
    line = Branch("b", Element("solar", "G5"), Element("pump", "M1"), (Element("fuse", "F1"),))
    flat = leveled(OneLine("s", "", (), (line,)))

    assert [node.form for node in flat.nodes] == [Form.JUNCTION]
    assert [len(b.chain) for b in flat.branches] == [1, 0]


def test_levels_asked_for_are_kept_as_the_least() -> None:
    nodes = (Node("A", level=2), Node("B"), Node("C", level=0))
    flat = leveled(OneLine("s", "", nodes, (Branch("1", "A", "B"), Branch("2", "C", "B"))))

    assert flat.level["C"] < flat.level["A"] < flat.level["B"]


def test_a_branch_that_ends_nowhere_is_refused() -> None:
    with pytest.raises(ValueError, match="unknown nodes: Z"):
        leveled(sheet("A", "AZ"))


def test_two_bars_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="nodes with the same id: A"):
        leveled(sheet("AA"))
