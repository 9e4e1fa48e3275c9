"""What an owner is told about each thing that can be wrong with an inventory, letter by letter.

A case is a file or folder in `cases/` whose name says what is wrong; beside it stands the message. What no text file
can hold is made in `bad_inputs.py`. `write_expected.py` writes the message of a new case.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from loombook.diagnostics import InventoryError
from loombook.inventory import read_text
from tests.inventory.bad_inputs import CASES, NAMES, expected, said


@pytest.mark.parametrize("name", NAMES)
def test_the_owner_is_told_what_is_wrong_and_where(name: str, tmp_path: Path) -> None:
    message = said(name, tmp_path)

    assert expected(name).read_text(encoding="utf-8") == message


@pytest.mark.parametrize("name", NAMES)
def test_a_message_names_a_line_and_never_a_program(name: str) -> None:
    message = expected(name).read_text(encoding="utf-8")

    assert [] == [
        word for word in ("Traceback", "pydantic", "NoneType", "yaml.", "<class", "Input should") if word in message
    ]
    assert message.rstrip().endswith("in the inventory")
    assert "-->" in message or "no-inventory" in message


def test_one_mistake_made_a_thousand_times_is_not_told_a_thousand_times() -> None:
    fuses = "".join(f"  F{n}: {{rating: 10 A}}\n" for n in range(1, 1001))
    with pytest.raises(InventoryError) as caught:
        read_text(f"vessel: {{name: Tern}}\nfuses:\n{fuses}")

    assert 200 == len(caught.value.diagnostics)
    assert caught.value.text.endswith("\n200 errors in the inventory, and there may be more: begin with the first\n")


def test_every_message_belongs_to_a_case() -> None:
    written = sorted(path.stem for path in CASES.glob("*.txt"))

    assert list(NAMES) == written


def test_there_are_more_than_a_hundred_cases() -> None:
    assert len(NAMES) > 100
