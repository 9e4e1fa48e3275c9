"""The dinghy's pages read as they were last looked at."""

from __future__ import annotations

import pytest

from .boats import DINGHY, of_text, page
from .golden import FOLDER, KEPT, file_of


@pytest.mark.parametrize("path", KEPT)
def test_the_page_reads_as_it_was_last_looked_at(path: str) -> None:
    kept = file_of(path).read_text(encoding="utf-8")

    assert kept == page(of_text(DINGHY), path)


def test_no_page_is_kept_for_nothing() -> None:
    assert {file_of(path) for path in KEPT} == set(FOLDER.iterdir())
