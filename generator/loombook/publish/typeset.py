"""Turns the manual's pages for paper into Typst documents to be bound: the sections of the manual.

Places have numbers here, called marks. A section says `at:7` where place 7 is and `to:7` where a link leads to it; the
binder, who knows every section, makes links and page numbers of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from loombook.manual.model import Manual, Page
from loombook.manual.paper import markup, string
from loombook.manual.widths import STANDING
from loombook.publish.figures import Figure, Piece
from loombook.publish.nav import HOME

CHAPTERS = {"circuits": "Every device", "items": "Every part", "rules": "The rules"}
"""Folder of pages that the navigation leaves out → the chapter that holds them on paper."""
FLOWING = frozenset({"Every part", "The rules"})
"""Chapters of short pages, which share sheets."""
FULL = 200_000
"""Signs of source in a section, about; sections are set side by side."""

TEXT = r'"((?:[^"\\]|\\.)*)"'
LINK = re.compile(rf"#lb-link\({TEXT}\)")
TURN = re.compile(rf"#lb-turn\({TEXT}\);")
_NAME = re.compile(rf"#lb-(?:heading\(\d+, |anchor\(|why\(|finding\(){TEXT}")
FIGURE = re.compile(rf"#lb-figure\({TEXT}, (\[.*\])\)\n")
_PHOTO = re.compile(rf"#lb-photo\({TEXT}, (\[.*\])\)\n")
_LEAST = re.compile(r"#lb-table\((\d+),")
_NEXT_SHEET = re.compile(r"\.\d+$")

Place = tuple[str, str]
"""A page's path and the name of an anchor on it, or nothing for the page; a drawing's is `("drawing", name)`."""


def unquoted(text: str) -> str:
    """What a string of Typst's says."""
    return text.replace('\\"', '"').replace("\\\\", "\\")


def prologue(sheet: str, names: str = "") -> str:
    """The head of a document: `names` of its own, and the call of `sheets.typ` that makes its sheets."""
    return f'#import "blocks.typ": *\n#import "sheets.typ": *\n{names}#show: body => {sheet}\n'


def edition(manual: Manual) -> str:
    """The edition and its day, as arguments for Typst."""
    day = manual.as_of
    date = f"datetime(year: {day.year}, month: {day.month}, day: {day.day})" if day else "none"
    return f"[{markup(manual.edition)}], {date}"


@dataclass(frozen=True)
class Bookmark:
    """A line of the contents, with those below it."""

    title: str
    mark: int
    below: tuple[Bookmark, ...] = ()


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
        return {page.path: {unquoted(name) for name in _NAME.findall(page.body)} - {""} for page in self.manual.paper}

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
            places |= {place for text in LINK.findall(page.body) if (place := self._place(unquoted(text)))}
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
        shown = {unquoted(m[1]) for page in self.manual.paper for m in _PHOTO.finditer(page.body)}
        return {
            path: f"pictures/{n}.{path.rpartition('.')[2].lower()}"
            for n, path in enumerate(sorted(shown & set(self.manual.files) - self.unread))
        }

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
        head = prologue(f"lb-manual({string(self.manual.title)}, {edition(self.manual)}, body)")
        return [head + section for section in sections]

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
            f"{string(name)}: {self.marks[page.path, name]}, "
            for name in sorted(names)
            if (page.path, name) in self.marks
        )
        body = self._linked(self._photographed(self._illustrated(page.body)), page.path)
        bound = "#let (lb-anchor, lb-heading, lb-why, lb-finding) = lb-page"
        return f"{opening}#[\n{bound}(({marks or ':'}))\n{body}]\n"

    def _linked(self, body: str, here: str) -> str:
        def link(match: re.Match) -> str:
            mark = self._mark(unquoted(match[1]), here)
            return '#lb-link("")' if mark is None else f"#lb-to({mark})"

        def turn(match: re.Match) -> str:
            mark = self._mark(unquoted(match[1]), here)
            return "" if mark is None else f"#lb-turn({mark});"

        return TURN.sub(turn, LINK.sub(link, body))

    def _photographed(self, body: str) -> str:
        def photo(match: re.Match) -> str:
            file = self.pictures.get(unquoted(match[1]))
            return f"#lb-photo({string(file)}, {match[2]})\n" if file else f"#lb-unread({match[2]})\n"

        return _PHOTO.sub(photo, body)

    def _illustrated(self, body: str) -> str:
        """Drawings where they stand in the text; for a sheet of its own, the number of that sheet."""
        found: dict[str, list[str]] = {}
        for match in FIGURE.finditer(body):
            name = unquoted(match[1])
            if name in self.figures:
                found.setdefault(_NEXT_SHEET.sub("", name), []).append(name)

        def figure(match: re.Match) -> str:
            name = unquoted(match[1])
            if name not in self.figures:
                return ""
            if not self.figures[name].paper:
                return f"#lb-drawing({self.marks['drawing', name]}, ({self._pieces(name)}), {match[2]})\n"
            first, *more = found[_NEXT_SHEET.sub("", name)]
            if name != first:
                return ""
            marks = [self.marks["drawing", sheet] for sheet in (first, *more)]
            return f"#lb-shown(({''.join(f'{mark}, ' for mark in marks)}), {match[2]})\n"

        return FIGURE.sub(figure, body)

    def _own_sheets(self, page: Page, printed: set[str]) -> str:
        """The drawings that take a sheet of their own, behind the first page that shows them."""
        sheets = ""
        for match in FIGURE.finditer(page.body):
            name = unquoted(match[1])
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
