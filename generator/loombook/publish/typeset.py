"""Turns the manual's pages for paper into Typst documents: sections of the manual, and each card alone.

Places have numbers here, called marks. A section says `at:7` where place 7 is and `to:7` where a link leads to it; the
binder, who knows every section, makes links and page numbers of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from loombook.drawings.metrics import SIZE
from loombook.manual.model import Manual, Page
from loombook.manual.paper import markup, string
from loombook.manual.widths import STANDING
from loombook.publish.figures import Figure, Piece
from loombook.publish.nav import HOME

CHAPTERS = {"circuits": "Every device", "items": "Every part", "rules": "The rules"}
"""Folder of pages that the navigation leaves out → the chapter that holds them on paper."""
FLOWING = frozenset({"Every part", "The rules"})
"""Chapters of short pages, which share sheets."""
CARDS = "cards"
"""The folder of the cards."""
PAPERS = ("a4", "a5")
"""Each card stands alone on these."""
FULL = 200_000
"""Signs of source in a section, about; sections are set side by side."""

_TEXT = r'"((?:[^"\\]|\\.)*)"'
_LINK = re.compile(rf"#lb-link\({_TEXT}\)")
_TURN = re.compile(rf"#lb-turn\({_TEXT}\);")
_NAME = re.compile(rf"#lb-(?:heading\(\d+, |anchor\(|why\(|finding\(){_TEXT}")
_FIGURE = re.compile(rf"#lb-figure\({_TEXT}, (\[.*\])\)\n")
_PHOTO = re.compile(rf"#lb-photo\({_TEXT}, (\[.*\])\)\n")
_CARD = re.compile(rf"^#lb-card\({_TEXT}, .*?^\]$", re.M | re.S)
_LEAST = re.compile(r"#lb-table\((\d+),")
_NEXT_SHEET = re.compile(r"\.\d+$")
OTHER_SIDE = ", other side"

Place = tuple[str, str]
"""A page's path and the name of an anchor on it, or nothing for the page; a drawing's is `("drawing", name)`."""


def _unquoted(text: str) -> str:
    return text.replace('\\"', '"').replace("\\\\", "\\")


@dataclass(frozen=True)
class Bookmark:
    """A line of the contents, with those below it."""

    title: str
    mark: int
    below: tuple[Bookmark, ...] = ()


@dataclass(frozen=True)
class Card:
    """A card by itself: its name, and Typst source for its sides."""

    title: str
    file: str
    """Name of its file, without the paper's."""
    body: str

    def path(self, paper: str) -> str:
        """Where its PDF stands beside the manual's."""
        return f"{CARDS}/{self.file}-{paper}.pdf"


@dataclass(frozen=True, eq=False)
class Source:
    """The manual as Typst source."""

    manual: Manual
    unread: frozenset[str] = frozenset()
    """Paths of pictures that cannot be shown; their place says so."""

    # what there is

    @cached_property
    def chapters(self) -> dict[str, list[Page]]:
        """Chapter → its pages in reading order. Pages without one stand with the page before them."""
        found: dict[str, list[Page]] = {}
        last = ""
        for page in self.manual.paper:
            if page.path != HOME:
                last = page.chapter or CHAPTERS.get(page.path.partition("/")[0], last)
                found.setdefault(last, []).append(page)
        return found

    @cached_property
    def _names(self) -> dict[str, set[str]]:
        """Page → the anchors on it."""
        return {page.path: {_unquoted(name) for name in _NAME.findall(page.body)} - {""} for page in self.manual.paper}

    def _place(self, target: str) -> Place | None:
        """Where `item:F12` or `page:figures/drop.md#C21` leads in this document, or None."""
        kind, _, rest = target.partition(":")
        name, _, given = rest.partition("#")
        path, anchor = name, given
        if kind == "item":
            path, _, own = self.manual.links.get(name, ("", ""))[1].partition("#")
            anchor = given or own
        if path not in self._names:
            return None
        return path, anchor if anchor in self._names[path] else ""

    @cached_property
    def marks(self) -> dict[Place, int]:
        """Every place that something leads to → its number."""
        places = {(page.path, "") for page in self.manual.paper} | {("chapter", name) for name in self.chapters}
        places |= {("drawing", name) for name in self.manual.drawings}
        for page in self.manual.paper:
            places |= {place for text in _LINK.findall(page.body) if (place := self._place(_unquoted(text)))}
        for figure in self.figures.values():
            places |= {place for spot in figure.spots if (place := self._place(spot.target))}
        return {place: number for number, place in enumerate(sorted(places))}

    def _mark(self, target: str, here: str) -> int | None:
        place = self._place(target)
        return None if place is None or place == (here, "") else self.marks[place]

    @cached_property
    def figures(self) -> dict[str, Figure]:
        return {name: Figure(text) for name, text in self.manual.drawings.items()}

    @cached_property
    def pieces(self) -> dict[str, list[tuple[str, Piece]]]:
        """Drawing → its pieces, each with the name of its file."""
        return {
            name: [(f"drawings/{number}-{part}.svg", piece) for part, piece in enumerate(figure.pieces())]
            for number, (name, figure) in enumerate(self.figures.items())
        }

    @cached_property
    def pictures(self) -> dict[str, str]:
        """Path of a picture among the manual's files → the name of its file for Typst."""
        shown = {_unquoted(m[1]) for page in self.manual.paper for m in _PHOTO.finditer(page.body)}
        return {path: f"pictures/{n}.{path.rpartition('.')[2].lower()}" for n, path in enumerate(sorted(shown & set(self.manual.files) - self.unread))}

    def files(self) -> dict[str, bytes]:
        """Drawings and pictures by the names that the source has for them."""
        found = {file: self.manual.files[path] for path, file in self.pictures.items()}
        for name, pieces in self.pieces.items():
            for file, piece in pieces:
                found[file] = self.figures[name].cropped(piece).encode()
        return found

    # the manual

    def bookmarks(self) -> list[Bookmark]:
        """The tree of the contents."""
        found = [Bookmark(page.title, self.marks[page.path, ""]) for page in self.manual.paper if page.path == HOME]
        for name, pages in self.chapters.items():
            below = tuple(Bookmark(page.title, self.marks[page.path, ""]) for page in pages)
            found.append(Bookmark(name, self.marks["chapter", name], below))
        return found

    def sections(self) -> list[str]:
        """The manual as documents to be set side by side, in reading order."""
        sections = [self._cover()]
        last = ""
        for chapter, text in self._sheets():
            if last != chapter or len(sections[-1]) + len(text) > FULL:
                sections.append("")
            sections[-1] += text
            last = chapter
        return [self._head() + section for section in sections]

    def _head(self) -> str:
        show = f"lb-manual({string(self.manual.title)}, {self._edition()}, {self._day()}, body)"
        return f'#import "blocks.typ": *\n#import "sheets.typ": *\n#show: body => {show}\n'

    def _edition(self) -> str:
        return f"[{markup(self.manual.edition)}]"

    def _day(self) -> str:
        day = self.manual.as_of
        return f"datetime(year: {day.year}, month: {day.month}, day: {day.day})" if day else "none"

    def _cover(self) -> str:
        home = "".join(self._body(page, "") for page in self.manual.paper if page.path == HOME)
        lines = []
        for chapter in self.bookmarks():
            lines += [(1, chapter)] + [(2, page) for page in chapter.below]
        rows = "".join(f"  ({level}, [{markup(line.title)}], {line.mark}),\n" for level, line in lines)
        return f"#lb-cover[\n{home}]\n#lb-contents((\n{rows}))\n"

    def _sheets(self) -> Iterator[tuple[str, str]]:
        """(chapter, sheets that are set together)."""
        printed: set[str] = set()
        for chapter, pages in self.chapters.items():
            opening = f"#lb-chapter({self.marks['chapter', chapter]})[{markup(chapter)}]\n"
            for run in _runs(pages, chapter in FLOWING):
                title = run[0].title if len(run) == 1 else ""
                bodies = "#lb-next()\n".join(self._body(page, opening if page is pages[0] else "") for page in run)
                lying = len(run) == 1 and _is_wide(run[0])
                sheets = "".join(self._own_sheets(page, printed) for page in run)
                head = f"[{markup(chapter)}], [{markup(title)}], {'true' if lying else 'false'}"
                yield chapter, f"#lb-sheets({head})[\n{bodies}]\n{sheets}"

    def _body(self, page: Page, opening: str) -> str:
        """A page with its links, drawings and pictures."""
        names = {"", *self._names[page.path]}
        marks = "".join(
            f"{string(name)}: {self.marks[page.path, name]}, " for name in sorted(names) if (page.path, name) in self.marks
        )
        body = self._linked(self._photographed(self._illustrated(page.body)), page.path)
        bound = "#let (lb-anchor, lb-heading, lb-why, lb-finding) = lb-page"
        return f"{opening}#[\n{bound}(({marks or ':'}))\n{body}]\n"

    def _linked(self, body: str, here: str) -> str:
        def link(match: re.Match) -> str:
            mark = self._mark(_unquoted(match[1]), here)
            return '#lb-link("")' if mark is None else f"#lb-to({mark})"

        def turn(match: re.Match) -> str:
            mark = self._mark(_unquoted(match[1]), here)
            return "" if mark is None else f"#lb-turn({mark});"

        return _TURN.sub(turn, _LINK.sub(link, body))

    def _photographed(self, body: str) -> str:
        def photo(match: re.Match) -> str:
            file = self.pictures.get(_unquoted(match[1]))
            return f"#lb-photo({string(file)}, {match[2]})\n" if file else f"#lb-unread({match[2]})\n"

        return _PHOTO.sub(photo, body)

    def _illustrated(self, body: str) -> str:
        """Drawings where they stand in the text; for a sheet of its own, the number of that sheet."""
        found: dict[str, list[str]] = {}
        for match in _FIGURE.finditer(body):
            name = _unquoted(match[1])
            if name in self.figures:
                found.setdefault(_NEXT_SHEET.sub("", name), []).append(name)

        def figure(match: re.Match) -> str:
            name = _unquoted(match[1])
            if name not in self.figures:
                return ""
            if not self.figures[name].paper:
                return f"#lb-drawing({self.marks['drawing', name]}, ({self._pieces(name)}), {match[2]})\n"
            first, *more = found[_NEXT_SHEET.sub("", name)]
            if name != first:
                return ""
            marks = [self.marks["drawing", sheet] for sheet in (first, *more)]
            return f"#lb-shown(({''.join(f'{mark}, ' for mark in marks)}), {match[2]})\n"

        return _FIGURE.sub(figure, body)

    def _own_sheets(self, page: Page, printed: set[str]) -> str:
        """The drawings that take a sheet of their own, behind the first page that shows them."""
        sheets = ""
        for match in _FIGURE.finditer(page.body):
            name = _unquoted(match[1])
            figure = self.figures.get(name)
            if figure and figure.paper and name not in printed:
                printed.add(name)
                mark = self.marks["drawing", name]
                sheets += f"#lb-sheet({mark}, {string(figure.paper.lower())}, {self._pieces(name)[:-2]})\n"
        return sheets

    def _pieces(self, name: str) -> str:
        figure = self.figures[name]
        shown = ""
        for file, piece in self.pieces[name]:
            spots = "".join(
                f"({s.x:.1f}, {s.y:.1f}, {s.wide:.1f}, {s.high:.1f}, {mark}), "
                for s in figure.on(piece)
                if (mark := self._mark(s.target, "")) is not None
            )
            size = f"{piece.wide * piece.scale:.1f}, {piece.high * piece.scale:.1f}"
            shown += f"lb-piece({string('/' + file)}, {size}, ({spots})), "
        return shown

    # cards

    def card(self, card: Card, paper: str) -> str:
        """A card alone on `a4` or `a5`. Its links lead out of the sheet, so they are plain words."""
        body = _TURN.sub("", _LINK.sub('#lb-link("")', _FIGURE.sub(self._plan, card.body)))
        names = "#let lb-card = lb-aside\n#let (lb-anchor, lb-heading, lb-why, lb-finding) = lb-page((:))"
        show = f"lb-alone({string(card.title)}, {self._edition()}, {self._day()}, {string(paper)}, body)"
        return f'#import "blocks.typ": *\n#import "sheets.typ": *\n{names}\n#show: body => {show}\n{body}\n'

    def _plan(self, match: re.Match) -> str:
        name = _unquoted(match[1])
        if name not in self.figures:
            return ""
        return f"#lb-plan({string(_plan_file(name))}, {self.figures[name].size[0] / SIZE:.2f}em, {match[2]})\n"

    def plans(self) -> dict[str, bytes]:
        """The drawings on cards, by the names that a card alone has for them."""
        shown = {_unquoted(m[1]) for card in cards(self.manual) for m in _FIGURE.finditer(card.body)}
        whole = {name: self.figures[name] for name in sorted(shown & self.figures.keys())}
        return {_plan_file(name): figure.cropped(figure.pieces()[0]).encode() for name, figure in whole.items()}


def _plan_file(name: str) -> str:
    return f"drawings/{name}.svg"


def cards(manual: Manual) -> list[Card]:
    """Every card of the manual, both its sides together, in reading order."""
    found: dict[str, list[str]] = {}
    for page in manual.paper:
        for match in _CARD.finditer(page.body):
            found.setdefault(_unquoted(match[1]).removesuffix(OTHER_SIDE), []).append(match[0])
    files: set[str] = set()
    made = []
    for title, sides in found.items():
        word = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60] or "card"
        file = next(name for name in (word, *(f"{word}-{n}" for n in range(2, 9999))) if name not in files)
        files.add(file)
        made.append(Card(title, file, "\n".join(sides)))
    return made


def _is_wide(page: Page) -> bool:
    """Whether a table of the page needs the long side of the sheet."""
    return any(int(least) > STANDING for least in _LEAST.findall(page.body))


def _runs(pages: list[Page], flowing: bool) -> list[list[Page]]:
    """Pages that share sheets: in a flowing chapter as many as make a section, but for a wide one."""
    runs: list[list[Page]] = []
    size = 0
    for page in pages:
        joins = flowing and runs and not _is_wide(page) and not _is_wide(runs[-1][0]) and size + len(page.body) < FULL
        if joins:
            runs[-1].append(page)
        else:
            runs.append([page])
            size = 0
        size += len(page.body)
    return runs
