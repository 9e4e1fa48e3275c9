"""Binds the sections of the manual: sheets in order, links from one to another, page numbers, and bookmarks."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO

import pikepdf
from pikepdf import Array, Dictionary, Name, NameTree, Object, OutlineItem, Page, Pdf

from loombook.publish.typeset import Bookmark

ALPHABET = "0123456789pageof"
"""The signs that the binder writes with, set once in the manual's own font."""
SIZE = 8.0
"""Of what the binder writes [pt]."""
_FONT = Name("/LbFigures")
_NOTE = re.compile(
    rb"((?:^|\n)(\d+) 0 obj\s*<</Type/Annot/Subtype/Link/Rect\[([^\]]*)\][^>]*?)"
    rb"(/A<</Type/Action/S/URI/URI\((at|of|to|no):(\d*)\)>>)([^>]*>>)"
)
"""A link as Typst writes it: what comes before its action, its object, its box, the action, our word and the mark."""
_PAGE = re.compile(rb"((?:^|\n)(\d+) 0 obj\s*<</Type/Page/[^>]*?/Annots\[)([^\]]*)(\])")
_Box = tuple[float, ...]


class Figures:
    """Writes numbers in the font of the sheet that `ALPHABET` was set on."""

    def __init__(self, sheet: bytes, book: Pdf) -> None:
        pdf = Pdf.open(BytesIO(sheet))
        page = pdf.pages[0]
        fonts = page.obj.Resources.Font
        self.codes: dict[str, bytes] = {}
        codes: list[bytes] = []
        name = ""
        for instruction in pikepdf.parse_content_stream(page):
            operator, operands = str(instruction.operator), instruction.operands
            if operator == "Tf":
                name = str(operands[0])
            for part in operands[0] if operator == "TJ" else operands if operator == "Tj" else ():
                if isinstance(part, pikepdf.String):
                    raw = bytes(part)
                    codes += [raw[i : i + 2] for i in range(0, len(raw), 2)]
        self.codes = dict(zip(ALPHABET, codes, strict=True))
        self.font = book.copy_foreign(pdf.make_indirect(fonts[name]))
        self.wide = _widths(fonts[name], self.codes)

    def width(self, words: str) -> float:
        """Of words as they come out [pt]."""
        return sum(self.wide.get(sign, 318.0) for sign in words) * SIZE / 1000

    def show(self, words: str, x: float, y: float) -> bytes:
        """Operators that write words from (x, y)."""
        parts = "".join(f"<{self.codes[sign].hex()}>" if sign != " " else "-318" for sign in words)
        return f"BT {_FONT} {SIZE:g} Tf 1 0 0 1 {x:.2f} {y:.2f} Tm [{parts}] TJ ET\n".encode()


def _widths(font: Object, codes: dict[str, bytes]) -> dict[str, float]:
    """Sign → its advance [1/1000 of the size], from the font's table, which has two kinds of rows."""
    table = list(font.DescendantFonts[0].W)
    known: dict[int, float] = {}
    while table:
        first, second = int(table.pop(0)), table.pop(0)
        if isinstance(second, Array):
            known |= {first + n: float(wide) for n, wide in enumerate(second)}
        else:
            wide = float(table.pop(0))
            known |= dict.fromkeys(range(first, int(second) + 1), wide)
    return {sign: known[int.from_bytes(code, "big")] for sign, code in codes.items()}


@dataclass(frozen=True)
class _Sheet:
    """What a sheet asks of the binder. Boxes are left, low, right and top [pt]."""

    number: _Box | None
    """For the sheet's own number, at its foot."""
    places: Sequence[tuple[int, _Box]]
    """Marks that are on it."""
    numbers: Sequence[tuple[int, _Box]]
    """Marks whose page number it prints."""


def bind(
    sections: Sequence[bytes], figures: bytes, bookmarks: Sequence[Bookmark], title: str, day: datetime.date | None
) -> bytes:
    """One PDF of many.

    Args:
        sections: PDFs whose links say `at:N` (place N is here), `to:N`, `no:N` (write its page number) and `of:`
        figures: a PDF with one sheet on which `ALPHABET` is set
        bookmarks: the tree beside the sheets
        title: of the document
        day: from which it speaks
    """
    book = Pdf.new()
    sheets: list[_Sheet] = []
    for section in sections:
        linked, asked = _read(section)
        pages = Pdf.open(BytesIO(linked)).pages
        for page in pages:
            sheets.append(asked[page.obj.objgen[0]])
            book.pages.append(page)  # `extend` would warn of names that its PDF has no places for: they are the book's
    places = _places(book, sheets)
    writes = Figures(figures, book)
    for number, (page, sheet) in enumerate(zip(book.pages, sheets, strict=True), 1):
        _number(book, page, sheet, f"page {number} of {len(sheets)}", places, writes)
    names = NameTree.new(book)
    for mark, (_, there) in places.items():
        names[str(mark)] = there
    book.Root.Names = Dictionary(Dests=names.obj)
    with book.open_outline() as outline:
        outline.root.extend(_outline(line, places) for line in bookmarks)
    book.Root.PageMode = Name.UseOutlines
    book.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    book.Root.Lang = pikepdf.String("en")
    book.docinfo["/Title"] = title
    if day:
        book.docinfo["/CreationDate"] = f"D:{day:%Y%m%d}000000Z"
    out = BytesIO()
    book.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return out.getvalue()


_Places = dict[int, tuple[int, Array]]
"""Mark → number of its page, and the destination."""


def _read(section: bytes) -> tuple[bytes, dict[int, _Sheet]]:
    """A section whose links lead to places of the book, and what each of its page objects asks.

    Typst writes an object that is not a stream as plain text, so notes are read and changed where they stand, none of
    them longer than it was: asking the library for each of tens of thousands takes as long as all the rest.
    """
    notes: dict[bytes, tuple[bytes, int, _Box]] = {}

    def lead(match: re.Match[bytes]) -> bytes:
        head, id, edges, action, kind, mark, end = match.groups()
        notes[id] = kind, int(mark or 0), tuple(map(float, edges.split()))
        return head + (b"/Dest(%s)" % mark).ljust(len(action)) + end

    section = _NOTE.sub(lead, section)
    asked: dict[int, _Sheet] = {}

    def keep(match: re.Match[bytes]) -> bytes:
        """Only what leads somewhere stays on the sheet."""
        head, id, given, end = match.groups()
        of: dict[bytes, list[tuple[int, _Box]]] = {}
        kept = b""
        for note in given.split(b" 0 R"):
            kind, mark, box = notes.get(note.strip(), (b"", 0, ()))
            if kind:
                of.setdefault(kind, []).append((mark, box))
            kept += note + b" 0 R" if note and kind not in (b"at", b"of") else b""
        foot = of.get(b"of", [])
        asked[int(id)] = _Sheet(foot[0][1] if foot else None, of.get(b"at", ()), of.get(b"no", ()))
        return head + kept.ljust(len(given)) + end

    return _PAGE.sub(keep, section), asked


def _places(book: Pdf, sheets: Sequence[_Sheet]) -> _Places:
    """Where the marks are: each where it comes first."""
    places: _Places = {}
    for number, (page, sheet) in enumerate(zip(book.pages, sheets, strict=True), 1):
        high = float(page.mediabox[3])
        for mark, box in sheet.places:
            top = round(min(max(box[1], box[3]) + 6, high), 1)
            places.setdefault(mark, (number, Array([page.obj, Name.XYZ, 0, top, None])))
    return places


def _number(book: Pdf, page: Page, sheet: _Sheet, own: str, places: _Places, writes: Figures) -> None:
    """Writes the page numbers that a sheet asks for, close to what follows them: room is kept for the longest."""
    told = [(str(places[mark][0]), box) for mark, box in sheet.numbers]
    drawn = b"".join(writes.show(text, box[2] - writes.width(text), box[1] + 0.1) for text, box in told)
    if sheet.number:
        _, low, right, _ = sheet.number
        drawn += writes.show(own, right - writes.width(own), low + 0.1)
    if drawn:
        resources = book.make_indirect(Dictionary(page.obj.Resources))
        resources.Font = Dictionary(dict(resources.get("/Font", Dictionary())))
        resources.Font[_FONT] = writes.font
        page.obj.Resources = resources
        page.contents_add(b"q\n", prepend=True)
        page.contents_add(b"Q\n" + drawn)


def _outline(line: Bookmark, places: _Places) -> OutlineItem:
    item = OutlineItem(line.title, places[line.mark][1])
    item.is_closed = True
    item.children.extend(_outline(below, places) for below in line.below)
    return item
