"""What did not change between two builds of one session, as under `mkdocs serve`, is not laid out a second time."""

from __future__ import annotations

import pytest
from loombook.drawings import drawset
from loombook.inventory import read_text
from loombook.network import build

from tests.drawings.homes import drawn, study_for_sheets
from tests.random_vessels import random_vessel

TEXT = random_vessel(7)


def layouts(text: str, patch: pytest.MonkeyPatch) -> int:
    """How many layouts it takes to draw the vessel of a text."""
    count = []
    once = drawset.laid
    with patch.context() as inside:
        inside.setattr(drawset, "laid", lambda *asked: count.append(asked) or once(*asked))
        drawn(study_for_sheets(build(read_text(text))))
    return len(count)


def test_a_vessel_read_again_is_not_laid_out_again(monkeypatch: pytest.MonkeyPatch) -> None:
    drawset.pieces.cache_clear()
    drawset.fitted.cache_clear()

    assert layouts(TEXT, monkeypatch) > 10
    assert layouts(TEXT, monkeypatch) == 0


def test_another_name_of_one_load_lays_out_the_sheet_that_shows_it_and_no_other(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    drawset.pieces.cache_clear()
    drawset.fitted.cache_clear()
    first = layouts(TEXT, monkeypatch)
    assert "name: Load 1," in TEXT
    again = layouts(TEXT.replace("name: Load 1,", "name: Lamp 1,", 1), monkeypatch)

    assert 0 < again < first / 4
