"""The page of changes and its drawings: there where an earlier revision is given, and only there."""

from __future__ import annotations

import re

from loombook.compare import compare
from loombook.drawings.sheets import draw
from loombook.manual import build
from tests.compare.boats import AS_OF, LAUNCH, TESTS, altered, side
from tests.compare.test_compare import LARGER_FUSE, MOVED_SWITCH, NO_HORN, NO_HORN_WAY

PATH = "findings/changes.md"
NOW = side(LAUNCH + TESTS)
THEN = side(altered(LARGER_FUSE, MOVED_SWITCH, NO_HORN, NO_HORN_WAY, text=LAUNCH + TESTS))


def pages(comparison) -> dict[str, str]:
    drawings = draw(NOW.study, NOW.checked, comparison.altered if comparison else {})
    manual = build(NOW.study, NOW.checked, AS_OF, drawings, comparison=comparison)
    return {page.path: page.body for page in manual.pages}


def test_without_an_earlier_revision_there_is_no_page_and_nothing_leads_to_it() -> None:
    made = pages(None)

    assert PATH not in made and not any("changes.md" in body for body in made.values())


def test_the_page_tells_what_was_changed_with_links_and_the_home_page_leads_to_it() -> None:
    made = pages(compare(THEN, NOW))
    told = re.sub(r"<[^>]+>", "", made[PATH])

    assert "page:findings/changes.md" in made["index.md"]
    assert "What the rules say otherwise" in told and "Cards to print" in told
    assert "80 A 16 A" in told and "C6 added" in told
    assert 'href="item:F2"' in made[PATH] and 'href="item:C6"' in made[PATH]


def test_the_sheets_mark_what_was_added_or_changed_and_nothing_else() -> None:
    drawn = draw(NOW.study, NOW.checked, compare(THEN, NOW).altered)
    marked = {
        item for name, svg in drawn.items() if name.startswith("changed-")
        for item in re.findall(r'lb-is-(?:added|changed)"[^>]*data-item="([^"]+)"', svg)
    }  # fmt: skip

    assert {"F2", "Q1", "C6"} <= marked <= {"F2", "Q1", "C6", "X4"}
    assert all("lb-is-" in svg for name, svg in drawn.items() if name.startswith("changed-"))
    assert not any("lb-is-added" in svg for name, svg in drawn.items() if not name.startswith("changed-"))


def test_without_a_change_no_sheet_is_drawn_for_it() -> None:
    assert not [name for name in draw(NOW.study, NOW.checked, {}) if name.startswith("changed-")]
