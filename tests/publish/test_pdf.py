"""The printed manual and its cards, read back from the PDF that a boat's inventory gives."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from io import BytesIO

import pikepdf
import pytest

from loombook.drawings.sheets import draw
from loombook.inventory import read_text
from loombook.inventory.records import Inventory
from loombook.manual import Manual, build
from loombook.publish import pdf
from loombook.publish.downloads import downloads
from loombook.publish.cardsheets import cards
from loombook.publish.typeset import Source
from tests.manual.boats import AS_OF, DINGHY, worked
from tests.manual.reading import answer
from tests.manual.test_harm import hostile

LEAST = {"a4": 16.0, "a5": 14.0}
"""The smallest letters of a step [pt]; the cards' print rules."""

DIGIT = 0.636
"""Width of a digit of DejaVu Sans [em]."""


@dataclass(frozen=True)
class Run:
    """Words shown in one go, the size of their letters [pt], their height on the sheet and where they begin [pt]."""

    text: str
    size: float
    y: float
    x: float = 0.0


def runs(page: pikepdf.Page) -> list[Run]:
    """What a sheet says, in the order in which it was set."""
    maps = {str(name): _letters(font) for name, font in dict(page.obj.Resources.get("/Font", {})).items()}
    found, stack, matrix, text = [], [], pikepdf.Matrix(), pikepdf.Matrix()
    known, size, spelled = {}, 0.0, []
    for instruction in pikepdf.parse_content_stream(page):
        operator, given = str(instruction.operator), instruction.operands
        if operator == "q":
            stack.append(matrix)
        elif operator == "Q":
            matrix = stack.pop()
        elif operator in ("BDC", "BMC"):
            properties = given[1] if len(given) > 1 and isinstance(given[1], pikepdf.Dictionary) else {}
            spelled.append(str(properties["/ActualText"]) if "/ActualText" in properties else None)
        elif operator == "EMC":
            spelled.pop()
        elif operator == "cm":
            matrix = pikepdf.Matrix(*map(float, given)) @ matrix
        elif operator == "Tf":
            known, size = maps[str(given[0])], float(given[1])
        elif operator == "Tm":
            text = pikepdf.Matrix(*map(float, given))
        elif operator in ("Tj", "TJ"):
            codes = b"".join(
                bytes(p) for p in (given[0] if operator == "TJ" else given) if isinstance(p, pikepdf.String)
            )
            words = "".join(known.get(codes[i : i + 2], "") for i in range(0, len(codes), 2))
            if (
                spelled and spelled[-1] is not None
            ):  # what the sheet says of itself, where one sign stands for several letters
                words, spelled[-1] = spelled[-1], ""
            at = text @ matrix
            found.append(Run(words, round(size * abs(at.d), 1), round(at.f, 1), round(at.e, 1)))
    return found


def _letters(font: pikepdf.Object) -> dict[bytes, str]:
    """A font's codes and the signs they stand for, from its table for those who search and copy."""
    table = font.ToUnicode.read_bytes().decode("latin-1")
    pairs = [
        m
        for block in re.findall(r"beginbfchar(.*?)endbfchar", table, re.S)
        for m in re.findall(r"<(\w+)>\s*<(\w+)>", block)
    ]
    return {bytes.fromhex(code): bytes.fromhex(sign).decode("utf-16-be") for code, sign in pairs}


def said(page: pikepdf.Page) -> str:
    """A sheet's words, letters and digits only."""
    return re.sub(r"\W", "", "".join(run.text for run in runs(page)))


def with_paper(inventory: Inventory) -> Manual:
    study, checked = worked(inventory)
    return build(study, checked, AS_OF, draw(study, checked), paper=True)


@pytest.fixture(scope="session")
def manual() -> Manual:
    return with_paper(read_text(DINGHY))


@pytest.fixture(scope="session")
def made(manual: Manual) -> dict[str, bytes]:
    return pdf.pdfs(manual)


@pytest.fixture(scope="session")
def book(made: dict[str, bytes]) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(made[pdf.NAME]))


@pytest.fixture(scope="session")
def sheets(book: pikepdf.Pdf) -> list[str]:
    return [said(page) for page in book.pages]


def test_the_same_manual_gives_the_same_bytes(manual: Manual, made: dict[str, bytes]) -> None:
    again = pdf.pdfs(manual)

    assert made == again


def test_every_sheet_names_the_vessel_her_revision_and_its_own_number(manual: Manual, sheets: list[str]) -> None:
    edition = re.sub(r"\W", "", manual.edition)
    bare = [n for n, words in enumerate(sheets, 1) if edition not in words or f"page{n}of{len(sheets)}" not in words]

    assert "Dab · revision 3" in manual.edition
    assert bare == []


def test_a_device_is_found_by_its_everyday_name(sheets: list[str]) -> None:
    assert [n for n, words in enumerate(sheets) if "echosounder" in words] != []


def test_every_link_leads_to_a_sheet_of_the_manual(book: pikepdf.Pdf) -> None:
    pages = {page.obj.objgen for page in book.pages}
    places = pikepdf.NameTree(book.Root.Names.Dests)
    notes = [note for page in book.pages for note in page.obj.get("/Annots", ())]
    astray = [note for note in notes if "/A" in note or places[str(note.Dest)][0].objgen not in pages]

    assert len(notes) > 200
    assert astray == []


def test_a_page_number_is_that_of_the_sheet_with_the_page(manual: Manual, book: pikepdf.Pdf, sheets: list[str]) -> None:
    numbers = {page.obj.objgen: number for number, page in enumerate(book.pages)}
    wrong = []
    with book.open_outline() as outline:
        for chapter in outline.root[1:]:
            for line in chapter.children:
                if re.sub(r"\W", "", line.title) not in sheets[numbers[line.destination[0].objgen]]:
                    wrong.append(line.title)

    assert wrong == []


def test_a_page_number_stands_close_to_the_bracket_behind_it(book: pikepdf.Pdf) -> None:
    found = runs(book.pages[0])
    numbers = [run for run in found if run.text.isdigit() and run.size == 8]
    brackets = [run for run in found if run.text.startswith(")")]
    ends = [(number.x + len(number.text) * DIGIT * number.size, number.y) for number in numbers]
    near = [any(abs(b.x - x) < 1.5 and abs(b.y - y) < 3 for b in brackets) for x, y in ends]

    assert len(near) >= 3 and all(near)


def test_the_bookmarks_are_the_navigation_and_then_what_it_leaves_out(manual: Manual, book: pikepdf.Pdf) -> None:
    with book.open_outline() as outline:
        tree = {line.title: [below.title for below in line.children] for line in outline.root}
    nav: dict[str, list[str]] = {}
    for page in manual.pages:
        if page.chapter:
            nav.setdefault(page.chapter, []).append(page.title)

    for chapter, titles in nav.items():
        assert titles == [title for title in tree[chapter] if title in titles]
    assert [*tree][0] == manual.pages[0].title
    assert {p.title for p in manual.pages if p.path.startswith("circuits/")} == {*tree["Every device"]}


def test_every_drawing_that_a_page_shows_is_in_the_manual(manual: Manual) -> None:
    source = "".join(Source(manual).sections())

    assert source.count("lb-sheet(") + source.count("lb-drawing(") >= len(
        {n for p in manual.pages for n in re.findall(r"figure:([\w.-]+)", p.body)}
    )


def test_paper_and_site_name_the_same_fuse_and_place(manual: Manual, sheets: list[str]) -> None:
    everything = "".join(sheets)
    missing = []
    for page in manual.pages:
        if page.path.startswith("circuits/"):
            found = answer(page.body)
            missing += [
                (page.path, term)
                for term in ("Fuse", "Where")
                if re.sub(r"\W", "", found.get(term, "")) not in everything
            ]

    assert missing == []


@pytest.mark.parametrize("paper", LEAST)
def test_no_step_of_a_card_is_set_too_small(made: dict[str, bytes], manual: Manual, paper: str) -> None:
    small, steps = [], 0
    for card in cards(manual):
        first = [m for m in re.findall(r"#lb-steps\(\(\((\[.*?\]), \[", card.body)]
        words = {re.sub(r"\W", "", "".join(re.findall(r'"([^"]*)"', do)) or do) for do in first} - {""}
        shown = [
            run for page in pikepdf.open(BytesIO(made[f"cards/{card.file}-{paper}.pdf"])).pages for run in runs(page)
        ]
        for do in words:
            found = [
                run.size
                for run in shown
                if len(run.text) > 3 and re.sub(r"\W", "", run.text) and do.startswith(re.sub(r"\W", "", run.text))
            ]
            steps += len(found)
            small += [(card.title, do, max(found))] if found and max(found) < LEAST[paper] else []

    assert steps > 5
    assert small == []


def test_every_card_says_which_revision_it_is(made: dict[str, bytes], manual: Manual) -> None:
    edition = re.sub(r"\W", "", manual.edition)
    bare = [
        name for name, content in made.items() if name.startswith("cards/")
        for page in pikepdf.open(BytesIO(content)).pages if edition not in said(page)
    ]  # fmt: skip

    assert len(made) > 10
    assert bare == []


def test_a_hostile_boat_is_set_as_written() -> None:
    boat = with_paper(read_text(hostile()))
    words = "".join(said(page) for page in pikepdf.open(BytesIO(pdf.manual_pdf(boat))).pages)

    assert "scriptalert1script" in words


def test_a_page_that_typst_cannot_set_is_named(manual: Manual) -> None:
    first, second, *_ = manual.paper
    broken = replace(
        manual, paper=(first, replace(second, body='#lb-heading(1, "", [Broken page])\n#nothing-like-this()\n'))
    )

    with pytest.raises(pdf.PdfError, match="cannot be set at the page `Broken page`"):
        pdf.manual_pdf(broken)


def test_a_picture_that_cannot_be_read_is_said_so(manual: Manual) -> None:
    body = '#lb-heading(1, "", [Photo])\n#lb-photo("files/a.png", [The switch])\n'
    shown = replace(
        manual, paper=(replace(manual.paper[0], body=body),), files={"files/a.png": b"no picture"}, drawings={}
    )
    words = "".join(said(page) for page in pikepdf.open(BytesIO(pdf.manual_pdf(shown))).pages)

    assert "Theswitchthepicturecannotberead" in words


def test_the_home_page_offers_what_is_made(manual: Manual, made: dict[str, bytes]) -> None:
    offered = re.findall(r'href="page:([^"]+)"', downloads(manual, has_pocket=False, serving=False))

    assert sorted(offered) == sorted(made)
    assert "no PDF is made" in downloads(replace(manual, paper=()), has_pocket=False, serving=True)
