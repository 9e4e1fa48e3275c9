"""Binds the sections of the manual: sheets in order, links from one to another, page numbers, and bookmarks."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field
from io import BytesIO

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, OutlineItem, Pdf

from loombook.publish.typeset import Bookmark

ALPHABET = "0123456789pageof"
"""The signs that the binder writes with, set once in the manual's own font."""
SIZE = 8.0
"""Of what the binder writes [pt]."""
_FONT = Name("/LbFigures")


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


@dataclass
class _Asked:
    """What a sheet asks of the binder."""

    page: Object
    numbers: list[tuple[int, list[float]]] = field(default_factory=list)
    """Marks whose page number stands in a box."""
    foot: list[float] | None = None
    """The box for the sheet's own number."""
    links: list[tuple[Object, int]] = field(default_factory=list)


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
    for section in sections:
        book.pages.extend(Pdf.open(BytesIO(section)).pages)
    writes = Figures(figures, book)
    asked, places = _read(book)
    for number, sheet in enumerate(asked, 1):
        _finish(book, sheet, number, len(asked), places, writes)
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


_Places = dict[int, tuple[int, Object, Array]]
"""Mark → number of its page, the page, and the destination."""


def _read(book: Pdf) -> tuple[list[_Asked], _Places]:
    """What every sheet asks, and where the marks are; what was only said to the binder is taken off the sheets."""
    asked, places = [], {}
    for number, page in enumerate(book.pages, 1):
        sheet = _Asked(page.obj)
        asked.append(sheet)
        kept = []
        for note in page.obj.get("/Annots", ()):
            kind, _, mark = str(note.A.URI).partition(":") if "/A" in note and "/URI" in note.A else ("", "", "")
            box = [float(edge) for edge in note.Rect]
            if kind == "at":
                top = min(max(box[1], box[3]) + 6, float(page.mediabox[3]))
                places.setdefault(int(mark), (number, page.obj, Array([page.obj, Name.XYZ, 0, round(top, 1), None])))
            elif kind == "of":
                sheet.foot = box
            elif kind in ("to", "no"):
                kept.append(note)
                sheet.links.append((note, int(mark)))
                if kind == "no":
                    sheet.numbers.append((int(mark), box))
            else:
                kept.append(note)
        if kept:
            page.obj.Annots = Array(kept)
        elif "/Annots" in page.obj:
            del page.obj["/Annots"]
    return asked, places


def _finish(book: Pdf, sheet: _Asked, number: int, count: int, places: _Places, writes: Figures) -> None:
    """Links lead somewhere, and numbers are written."""
    for note, mark in sheet.links:
        del note["/A"]
        note.Dest = places[mark][2]
    drawn = b""
    for mark, (left, low, right, _) in sheet.numbers:
        words = str(places[mark][0])
        drawn += writes.show(words, left, low + 0.1)
    if sheet.foot:
        left, low, right, _ = sheet.foot
        words = f"page {number} of {count}"
        drawn += writes.show(words, right - writes.width(words), low + 0.1)
    if drawn:
        page = pikepdf.Page(sheet.page)
        resources = book.make_indirect(Dictionary(sheet.page.Resources))
        resources.Font = Dictionary(dict(resources.get("/Font", Dictionary())))
        resources.Font[_FONT] = writes.font
        sheet.page.Resources = resources
        page.contents_add(b"q\n", prepend=True)
        page.contents_add(b"Q\n" + drawn)


def _outline(line: Bookmark, places: _Places) -> OutlineItem:
    item = OutlineItem(line.title, places[line.mark][2])
    item.is_closed = True
    item.children.extend(_outline(below, places) for below in line.below)
    return item
