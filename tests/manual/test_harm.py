"""Names that would break a careless page come out as text, on the site and on paper."""

from __future__ import annotations

import re

import pytest

from loombook.manual.paper import PaperWriter
from loombook.manual.site import SiteWriter, markdown
from loombook.manual.text import Action, Column, Id, Link, Marked, plain
from loombook.study.model import Why

from .boats import HARM, LONG, RIGHT_TO_LEFT, hostile, of_text, of_vessel, page
from .paper import compiled, words
from .reading import answer, links, read, text

TURNED = "before \u202e turned \u202c after"
NAMES = (
    HARM,
    RIGHT_TO_LEFT,
    LONG,
    "- 3 A",
    "1. one",
    "# one",
    "+ one",
    ": one",
    "> one",
    "```",
    "---",
    "===",
    "#let x = 1",
    "*/ // /*",
    '"; #panic()',
)


def blocks(writer, name: str) -> str:
    """Every block of a writer with one name in each place."""
    why = Why(name, name, ((name, name, name),), ((name, name),), name)
    return "\n".join(
        [
            writer.title(name), writer.heading(name, "here"), writer.paragraph(name), writer.paragraph("Text ", name), writer.small(name),
            writer.meta(name, True), writer.listing([name, ("a ", name)]), writer.index([name]), writer.facts([(name, name)]),
            writer.answer([(name, name)], name), writer.table(name, [Column(name), Column(name, "A", True)], [[name, Id(name)]], anchors=["row"]),
            writer.steps([Action(name, name, name)]), writer.path([name]), writer.caution(name), writer.note(name), writer.code(name),
            writer.buttons([Link("page:index.md", name)]), writer.why(name, why, "why"), writer.finding("A", name, [(name, name)], "f"),
            writer.card(name, name, name, lambda: writer.boxes([name], [name], [name])), writer.paragraph(Marked(name, "missing")),
        ]
    )  # fmt: skip


def in_browser(body: str) -> str:
    """The page as the site builder sets it."""
    from markdown import Markdown

    return Markdown(
        extensions=["tables", "attr_list", "md_in_html", "def_list", "toc", "admonition", "fenced_code"]
    ).convert(body)


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_read_as_written_in_every_block_of_the_site(name: str) -> None:
    shown = read(in_browser(blocks(SiteWriter(), name)))
    said = " ".join("".join(shown.words).split())
    wanted = " ".join(name.split())
    plain_said = re.sub("[\u2066-\u2069\u202a-\u202e]", "", said)
    plain_wanted = re.sub("[\u2066-\u2069\u202a-\u202e]", "", wanted)

    assert plain_said.count(plain_wanted) >= 30
    assert set(shown.tags) <= {
        "h1", "h2", "p", "span", "ul", "li", "dl", "dt", "dd", "div", "table", "caption", "thead", "tbody", "tr", "th", "td", "ol", "a", "details",
        "summary", "strong", "section", "h3", "br", "pre", "code",
    }  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_read_as_written_in_every_block_on_paper(name: str) -> None:
    writer = PaperWriter()
    said = words(compiled(blocks(writer, name)))

    assert said.count(re.sub(r"\W", "", name)[:20]) >= 20


def test_a_hostile_boat_links_only_to_what_is_there() -> None:
    manual = of_text(hostile())
    paths = {page.path for page in manual.pages}
    strange = [
        (p.path, link) for p in manual.pages for link in links(p.body) if link[0] == "page" and link[1] not in paths
    ]

    assert strange == []


def test_no_figure_is_called_in_by_a_name() -> None:
    assert [p.path for p in of_text(hostile()).pages if "<!--figure:" in p.body] == []


def test_a_hostile_boats_consumer_answers_all_the_same() -> None:
    found = answer(page(of_text(hostile()), "circuits/C21.md"))

    assert found["Fuse"].startswith(
        "3 A blade fuse, way 1 of Panel, labelled <script>alert(1)</script> | `tick` {{ 7*7 }}"
    )


def test_writing_from_the_right_does_not_turn_its_neighbours_round() -> None:
    body = text(page(of_text(hostile()), "circuits/C22.md"))

    assert body.startswith("# \u2068\u05d0\u05d5\u05e8")
    assert "\u202c" not in SiteWriter().inline(TURNED)


def test_the_whole_hostile_boat_compiles_on_paper() -> None:
    manual = of_text(hostile(), "typst")
    source = "".join(p.body for p in manual.pages)

    assert "scriptalert1script" in words(compiled(source))


def test_the_vessel_with_everything_compiles_on_paper() -> None:
    manual = of_vessel("everything", "typst")
    source = "".join(p.body for p in manual.pages)

    assert len(compiled(source)) > 10_000


def test_what_is_not_text_is_refused() -> None:
    with pytest.raises(TypeError, match="nothing known"):
        SiteWriter().finish(None)
    with pytest.raises(TypeError, match="is not text"):
        SiteWriter().inline(3.5)


def test_markdown_alone_is_harmless() -> None:
    assert re.search(r"[<>`*_#|{}\[\]\\$]", re.sub(r"&#\d+;", "", markdown(HARM))) is None
    assert plain(("a", Link("item:F1", "b"))) == "ab"


def test_a_search_finds_each_word_because_neighbouring_cells_do_not_run_into_one():
    said = re.sub("<[^>]*>", "", in_browser(blocks(SiteWriter(), "word")))

    assert not re.findall(r"\w+word|word\w+", said)
