"""Symbols: every kind of thing has one, and what is drawn is plain geometry that fits together."""

from __future__ import annotations

import pytest
from loombook.drawings.iec import LETTER
from loombook.drawings.metrics import SIZE
from loombook.drawings.symbols import SYMBOLS, glyph

ASKED_FOR = (
    "battery",
    "fuse",
    "breaker",
    "isolator",
    "changeover",
    "paralleling",
    "contactor",
    "shunt",
    "charger",
    "inverter",
    "converter",
    "alternator",
    "solar",
    "shore",
    "motor",
    "lamp",
    "load",
    "heater",
    "pump",
    "electronics",
    "junction",
    "terminal",
    "earth",
    "rcd",
    "transformer",
    "bms",
)
DOTS = ("junction", "terminal")
LOADS = ("motor", "pump", "lamp", "heater", "electronics", "socket", "horn", "load", "spare", "earth", "hull", "anode")


@pytest.mark.parametrize("kind", ASKED_FOR)
def test_every_kind_of_thing_aboard_has_a_symbol(kind: str) -> None:

    assert kind in SYMBOLS


@pytest.mark.parametrize("kind", SYMBOLS)
def test_every_symbol_renders_upright_and_across(kind: str) -> None:
    upright, across = glyph(kind), glyph(kind, across=True)

    assert upright.paths
    assert across.paths
    assert upright.end.x == 0
    assert across.end.y == 0


@pytest.mark.parametrize("kind", SYMBOLS)
def test_a_symbol_hangs_from_its_supply_end(kind: str) -> None:
    """Else it would stand on the label over it; a dot is as far above as below."""

    assert glyph(kind).box.top >= (-4 if kind in DOTS else 0)


@pytest.mark.parametrize("kind", sorted(set(SYMBOLS) - set(LOADS) - set(DOTS)))
def test_the_line_goes_on_where_the_symbol_ends(kind: str) -> None:
    upright, across = glyph(kind), glyph(kind, across=True)

    assert upright.box.bottom == pytest.approx(upright.end.y, abs=0.7)
    assert across.box.right == pytest.approx(across.end.x, abs=0.7)


@pytest.mark.parametrize("kind", SYMBOLS)
def test_coordinates_carry_no_float_noise(kind: str) -> None:
    numbers = [
        n
        for _, path in glyph(kind).paths
        for n in path.replace("M", " ").replace("L", " ").replace("C", " ").replace("Z", " ").replace("a", " ").split()
    ]

    assert numbers
    assert max(len(n.lstrip("-").partition(".")[2]) for n in numbers) <= 1


def test_what_each_symbol_means_is_said_once() -> None:
    meanings = [kind.means for name, kind in SYMBOLS.items() if name != "generator"]

    assert len(set(meanings)) == len(meanings)


def test_no_two_symbols_look_the_same() -> None:
    """But the alternator and the generator, which the trade draws alike."""
    looks = [(glyph(kind).paths, glyph(kind).letters) for kind in SYMBOLS if kind != "generator"]

    assert len(set(looks)) == len(looks)


def test_letters_in_symbols_are_as_large_as_notes() -> None:

    assert LETTER >= SIZE


def test_a_charger_upside_down_is_not_an_inverter_by_accident() -> None:

    assert glyph("charger").paths != glyph("inverter").paths
    assert glyph("charger", across=True).paths != glyph("inverter", across=True).paths


def test_an_unknown_kind_is_an_error() -> None:
    with pytest.raises(KeyError, match="flux capacitor"):
        glyph("flux capacitor")
