"""The dinghy's pages read as they were last looked at."""

from __future__ import annotations

import pytest

from .boats import DINGHY, of_text, page
from .golden import FOLDER, cases, file_of


@pytest.mark.parametrize(("writer", "path"), cases(), ids=lambda value: value)
def test_the_page_reads_as_it_was_last_looked_at(writer: str, path: str) -> None:
    kept = file_of(writer, path).read_text(encoding="utf-8")

    assert kept == page(of_text(DINGHY, writer), path)


def test_no_page_is_kept_for_nothing() -> None:
    assert {file_of(*case) for case in cases()} == set(FOLDER.iterdir())
