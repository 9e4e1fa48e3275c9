"""The drawings of the sample yacht are those that a person last approved of."""

from __future__ import annotations

import pytest

from tests.drawings.golden import FOLDER, drawings

NAMES = sorted(path.stem for path in FOLDER.glob("*.svg"))


@pytest.fixture(scope="module")
def drawn() -> dict[str, str]:
    """All drawings as they come out now."""
    return drawings()


def test_every_drawing_has_a_golden_one(drawn: dict[str, str]) -> None:

    assert sorted(drawn) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_drawing_is_as_approved(name: str, drawn: dict[str, str]) -> None:
    """When a change is meant: `python -m tests.drawings.golden`, look at the contact sheet, commit."""
    approved = (FOLDER / f"{name}.svg").read_text(encoding="utf-8")

    assert drawn[name] == approved
