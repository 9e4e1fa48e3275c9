"""The theme's word search, mended: branches of its set of words that differ are never taken for one."""

from __future__ import annotations

import re

import pytest

from loombook.publish import wordsearch
from tests.publish import fake
from tests.publish.site import build_site, warnings_of


def test_the_site_carries_the_mended_search(tmp_path):
    site = build_site(fake.manual(), tmp_path)
    (worker,) = (site / "assets/javascripts/workers").glob("search.*.min.js")

    assert '.id+";"}return' in worker.read_text(encoding="utf-8")


@pytest.mark.parametrize("program", ["", "e=e+s+o.id}return e;e=e+s+o.id}return e", 'e=e+s+o.id+";"}return e'])
def test_another_search_program_is_not_touched(program):
    with pytest.raises(ValueError, match="like the one to mend"):
        wordsearch.kept_apart(program)


def test_a_theme_with_another_search_gives_a_warning_and_still_a_site(tmp_path, caplog, monkeypatch):
    monkeypatch.setattr(wordsearch, "WORKER", re.compile("no such file"))

    (warning,) = warnings_of(fake.manual(), tmp_path, caplog)

    assert "the search may fail at some words" in warning and "constraints.txt" in warning
    assert (tmp_path / "site/index.html").is_file()
