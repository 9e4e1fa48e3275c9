"""Widths and wrapping: conservative, at words, nothing lost without a sign."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st
from loombook.drawings.geometry import MM
from loombook.drawings.metrics import SIZE, clean, measured, width, wrap

ARIAL_CAPITAL = 0.716
"""Height of a capital [em] in Arial, from its OS/2 table; the other named fonts are not lower."""


def test_a_capital_prints_at_least_two_and_a_half_millimetres_high() -> None:

    assert SIZE * ARIAL_CAPITAL / MM >= 2.5


def test_figure_and_unit_stay_together() -> None:

    assert wrap("charger 24 V 60 A", 60) == ["charger", "24 V", "60 A"]


def test_a_long_name_wraps_at_words() -> None:

    assert wrap("Bilge pump automatic", 95) == ["Bilge pump", "automatic"]


def test_what_does_not_fit_ends_in_an_ellipsis() -> None:

    assert wrap("one two three four five six seven", 60, most=2)[-1].endswith("…")


@given(st.text(max_size=80), st.floats(30, 300))
def test_no_line_is_wider_than_its_room(text: str, room: float) -> None:
    lines = wrap(text, room)

    assert all(width(line) <= room + 0.1 for line in lines if len(line) > 1)


@given(st.text(alphabet=st.characters(categories=("L", "N")), min_size=1, max_size=60), st.floats(60, 300))
def test_wrapping_loses_no_letter(text: str, room: float) -> None:
    lines = wrap(text, room, most=99)

    assert "".join(lines) == clean(text)


@given(st.text(max_size=60))
def test_control_and_override_signs_are_left_out(text: str) -> None:

    assert not {unicodedata.category(c) for c in clean(text + "\u202e\x00\ufeff")} & {"Cc", "Cf", "Cs"}


def test_scripts_without_a_width_table_are_told_apart() -> None:

    assert measured("70 mm² für Größe Ω → −")
    assert not measured("אורות")
    assert not measured("航海燈")
