"""What the pages say, over all vessels: nothing unknown shown as known, the same on both writers."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from jinja2 import Environment, nodes

import loombook.manual
from loombook.checks import RULES
from loombook.compare import Side, compare
from loombook.inventory import read_text
from loombook.manual import build
from loombook.manual.book import Book
from loombook.manual.pages import PAGES

from .boats import AS_OF, DINGHY, VESSELS, book_of, of_text, of_vessel, page, worked, worked_vessel
from .reading import read, table, text

TEMPLATES = sorted((Path(loombook.manual.__file__).parent / "templates").glob("*.j2"))


@pytest.fixture(params=VESSELS, scope="module")
def vessel(request) -> str:
    return request.param


def test_no_page_shows_a_value_of_the_program(vessel: str) -> None:
    slips = re.compile(r"\b(None|nan|NaN|inf|True|False|Undefined)\b|Quantity\(|Range\(|<built-in|object at 0x|∞")
    found = [(p.path, slips.search(text(p.body))[0]) for p in of_vessel(vessel).pages if slips.search(text(p.body))]

    assert found == []


def test_every_page_says_whose_it_is_and_which_revision(vessel: str) -> None:
    record = book_of(vessel).inventory.vessel
    silent = [
        p.path
        for p in of_vessel(vessel).pages
        if f"revision {record.revision}" not in p.body or "This vessel is invented." not in p.body
    ]

    assert silent == []


def test_every_page_begins_with_its_own_heading(vessel: str) -> None:
    assert [p.path for p in of_vessel(vessel).pages if not p.body.startswith("# ") or p.body.count("\n# ")] == []


def test_every_table_has_a_caption_and_heads(vessel: str) -> None:
    bare = []
    for p in of_vessel(vessel).pages:
        for found in read(p.body).tables:
            if not found.caption or not all(found.head) or any(len(row) != len(found.head) for row in found.rows):
                bare.append(f"{p.path}: {found.caption}")

    assert bare == []


def test_site_and_paper_have_the_same_pages(vessel: str) -> None:
    site, paper = of_vessel(vessel), of_vessel(vessel, "typst")

    assert [(p.path, p.title, p.tags) for p in site.pages] == [(p.path, p.title, p.tags) for p in paper.pages]


def test_the_same_boat_gives_the_same_bytes() -> None:
    first, second = (build(*worked(read_text(DINGHY)), AS_OF) for _ in range(2))

    assert first == second


def test_a_drawing_is_called_in_only_where_it_is_given() -> None:
    drawings = {name: "<svg/>" for name in ("ship", "ship.2", "strip-C21", "panel-front-X4", "bank-G1")}
    manual = build(*worked(read_text(DINGHY)), AS_OF, drawings)
    called = [name for p in manual.pages for name in re.findall(r"<!--figure:(\S+)-->", p.body)]

    assert called == ["ship", "ship.2", "panel-front-X4", "bank-G1", "strip-C21"]


# the templates


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.stem)
def test_a_template_holds_no_text_outside_its_blocks(path: Path) -> None:
    tree = Environment(trim_blocks=True, lstrip_blocks=True).parse(path.read_text(encoding="utf-8"))
    loose = [data.data for data in tree.find_all(nodes.TemplateData) if data.data.strip()]

    assert loose == []


def test_every_kind_of_page_is_a_documented_module() -> None:
    from importlib import import_module

    silent = [kind for kind, make in PAGES.items() if not import_module(make.__module__).__doc__]

    assert silent == []


def test_every_kind_of_page_stands_in_the_demo() -> None:
    """That of changes asks for an earlier revision: here for herself as she is."""
    study, checked = worked_vessel("demo")
    side = Side(study, checked)
    book = Book(study, checked, AS_OF, comparison=compare(side, side))

    assert [kind for kind, make in PAGES.items() if not list(make(book))] == []


# care


def test_dangerous_pages_carry_a_caution_and_defer() -> None:
    for path in ("emergency/still-live.md", "circuits/C41.md", "banks/G1.md", "sources/mains.md", "figures/fault.md"):
        body = page(of_vessel("demo"), path)

        assert 'class="lb-caution' in body
        assert re.search(r"qualified|make live work safe", text(body))


# findings


def test_every_finding_stands_whole_with_what_clears_it_and_its_source() -> None:
    book = book_of("demo")
    body = page(of_vessel("demo"), "findings/findings.md")

    assert body.count('<div class="lb-finding') == len(book.checked.findings) + len(book.checked.accepted)
    for outcome in book.checked.findings:
        assert f'id="{book.found.anchor(outcome)}"' in body


def test_what_cannot_be_checked_names_the_field_and_never_reads_as_a_pass() -> None:
    book = book_of("demo")
    body = page(of_vessel("demo"), "findings/cannot-check.md")

    assert sum(len(found.rows) for found in read(body).tables) == len(book.checked.unknown) > 0
    assert "lb-pass" not in body


def test_a_waiver_that_ended_is_said_to_have_ended() -> None:
    rows = table(page(of_vessel("demo"), "findings/waivers.md"), "Waivers").rows
    states = {row[0]: row[5] for row in rows}

    assert states["C-05"] == "ended 243 days ago: the finding stands again"
    assert states["T-02"].startswith("holds for")


def test_every_rule_has_a_page_with_its_source() -> None:
    paths = {p.path: p.body for p in of_vessel("minimal").pages}

    assert [rule.id for rule in RULES if "## Source" not in paths.get(f"rules/{rule.id}.md", "")] == []


# figures


def test_every_fault_current_of_the_demo_is_a_range_or_says_why_not() -> None:
    rows = table(page(of_vessel("demo"), "figures/fault.md"), "At sources").rows

    assert all(re.search(r"\d|cannot check", row[2]) for row in rows)


def test_shares_of_a_fault_current_are_per_cent_of_it() -> None:
    rows = table(page(of_vessel("demo"), "figures/fault.md"), "At sources").rows
    sums = [sum(int(n) for n in re.findall(r"(\d+) %", row[4])) for row in rows if "%" in row[4]]

    assert sums and all(0 < total <= 102 for total in sums)


def test_a_drop_over_its_limit_is_said_to_be_over() -> None:
    rows = {row[0]: row for row in table(page(of_vessel("demo"), "figures/drop.md"), "Each consumer").rows}

    assert rows["VHF radio C60"][5] == "over"


def test_an_assumption_names_what_it_was_used_for() -> None:
    rows = table(page(of_vessel("demo"), "figures/assumptions.md"), "Defaults used").rows

    assert rows and all(row[3] for row in rows)


# running


def test_a_spare_that_is_missing_shows_as_short() -> None:
    rows = {(row[0], row[1]): row for row in table(page(of_text(DINGHY), "running/spares.md"), "Every kind").rows}

    assert rows["blade fuse", "3"][5] == "0"
    assert rows["glass fuse", "1"][5] == "2"


def test_a_print_of_an_older_revision_is_told_from_the_present_one() -> None:
    rows = table(page(of_text(DINGHY), "running/prints.md"), "Where a copy").rows

    assert rows[0][4].endswith(": this is revision 3")


# look up


def test_every_everyday_name_is_in_the_index_with_its_fuse() -> None:
    book = book_of("demo")
    body = text(page(of_vessel("demo"), "lookup/index.md"))
    names = [name for c in book.network.consumers.values() for name in (c.name, *c.record.also_called)]

    assert [name for name in names if name not in body] == []
    assert "echo sounder: Depth sounder C41 · 3 A, way 1 of Electronics panel, 12 V" in body


def test_every_fuse_and_breaker_is_in_the_schedule_once() -> None:
    rows = [row[0] for found in read(page(of_vessel("demo"), "lookup/fuses.md")).tables for row in found.rows]

    assert len(rows) == len(set(rows)) == len(book_of("demo").devices)


def test_a_difference_on_the_verification_page_is_a_figure_that_a_person_reads() -> None:
    body = page(of_vessel("minimal"), "figures/verification.md")

    assert [] == re.findall(r"0\.0{8}\d*", body)
    assert '<td class="lb-num">0</td>' in body
