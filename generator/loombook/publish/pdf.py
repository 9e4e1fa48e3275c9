"""The PDF: the whole manual bound from sections that Typst sets side by side, and each card alone on A4 and A5."""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from importlib.resources import files as resources
from pathlib import Path

import typst

from loombook.manual.model import Manual
from loombook.manual.paper import string
from loombook.publish import assets, cardsheets, fonts
from loombook.publish.bind import ALPHABET, bind
from loombook.publish.failure import PublishError
from loombook.publish.typeset import Source

NAME = "manual.pdf"
"""What the whole manual is called beside the site's pages."""
_STRING = r'"((?:[^"\\]|\\.)*)"'
PICTURES = ("png", "jpg", "jpeg", "gif", "webp")


class PdfError(PublishError):
    """A section that Typst cannot set; the message says which page, and why."""


def manual_pdf(manual: Manual) -> bytes:
    """The complete manual. Same manual, same bytes.

    Args:
        manual: with its pages for paper
    Raises:
        PdfError: where a page cannot be set
    """
    shown = {path: kind for path in manual.files if (kind := path.rpartition(".")[2].lower()) in PICTURES}
    unread = frozenset(path for path, kind in shown.items() if not _can_be_read(manual.files[path], kind))
    source = Source(manual, unread)
    figures = (
        '#set text(font: "DejaVu Sans", size: 8pt, kerning: false, ligatures: false, fallback: false)\n' + ALPHABET
    )
    *sections, letters = _set([*source.sections(), figures], source.files())
    return bind(sections, letters, source.bookmarks(), manual.title, manual.as_of)


def card_pdfs(manual: Manual) -> dict[str, bytes]:
    """Path → each card by itself, on A4 and on A5.

    Raises:
        PdfError: as `manual_pdf`
    """
    wanted = cardsheets.documents(manual)
    return dict(zip(wanted, _set(wanted.values(), cardsheets.plans(manual)), strict=True))


def pdfs(manual: Manual) -> dict[str, bytes]:
    """Path → the manual, and each card.

    Raises:
        PdfError: as `manual_pdf`
    """
    return {NAME: manual_pdf(manual), **card_pdfs(manual)}


def names(manual: Manual) -> list[str]:
    """The paths that `pdfs` will have, known before a page is set."""
    return [NAME, *cardsheets.paths(manual)]


def write_pdf(manual: Manual, folder: Path) -> Path:
    """The manual and its cards in a folder that exists; returns the path of the manual."""
    write(pdfs(manual), folder)
    return folder / NAME


def write(made: Mapping[str, bytes], folder: Path) -> None:
    """What `pdfs` made, in a folder that exists."""
    for path, content in made.items():
        (folder / path).parent.mkdir(exist_ok=True)
        (folder / path).write_bytes(content)


def _set(texts: Iterable[str], files: Mapping[str, bytes]) -> list[bytes]:
    """The PDF of each text. Typst works outside Python's lock, so threads are enough."""
    texts = list(texts)
    chosen = fonts.chosen(texts)
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name, content in {**_style(chosen.families), **files}.items():
            (root / name).parent.mkdir(exist_ok=True)
            (root / name).write_bytes(content)
        with ThreadPoolExecutor(os.cpu_count()) as pool:
            return list(pool.map(lambda numbered: _compiled(root, *numbered, chosen), enumerate(texts)))


def _compiled(root: Path, number: int, text: str, chosen: fonts.Chosen) -> bytes:
    path = root / f"{number}.typ"
    path.write_text(text, encoding="utf-8", newline="\n")
    try:
        return typst.Compiler(str(path), root=str(root), font_paths=chosen.fonts).compile(format="pdf", pdf_tags=False)
    except typst.TypstError as error:
        raise PdfError(_told(text, error)) from None


def _can_be_read(picture: bytes, kind: str) -> bool:
    """Whether Typst can show a picture."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder, f"it.{kind}").write_bytes(picture)
        try:
            _compiled(Path(folder), 0, f'#image("it.{kind}", width: 1pt)', fonts.chosen(()))
        except PdfError:
            return False
    return True


def _told(text: str, error: typst.TypstError) -> str:
    """Typst's message with the page that it is about, and the line of source."""
    lines = text.split("\n")
    at = re.search(r"\d+\.typ:(\d+)", error.diagnostic)
    line = int(at[1]) if at else len(lines)
    heads = re.findall(rf'#lb-heading\(1, "", (\[.*\])\)|#lb-card\(({_STRING}),', "\n".join(lines[:line]))
    head = "".join(heads[-1][:2]) if heads else ""
    name = "".join(re.findall(_STRING, head)) or head.strip("[]")
    where = f" at the page `{name}`" if name else ""
    shown = f"\n{line} | {lines[line - 1][:300]}" if at else ""
    return f"the PDF cannot be set{where}: {error.message}{shown}"


@cache
def _style(families: tuple[str, ...] = ()) -> dict[str, bytes]:
    """The two style files by the names under which the source asks for them, with further fonts before the last resort."""
    blocks = resources("loombook.manual").joinpath("blocks.typ").read_bytes()
    last = string(fonts.LAST)
    sheets = assets.text("sheets.typ").replace(last, ", ".join([*map(string, families), last]))
    return {"blocks.typ": blocks, "sheets.typ": sheets.encode()}
