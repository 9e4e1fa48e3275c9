"""Writes the manual as a folder of plain Markdown and SVG, for any other site builder: whole or not at all."""

from __future__ import annotations

import os
import posixpath
import re
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from loombook.manual.model import Manual
from loombook.publish import links, svg
from loombook.publish.failure import PublishError

MARKER = "WRITTEN-BY-LOOMBOOK.txt"
"""Says whose folder it is. A folder without it is never replaced unless the caller says so."""

_MARKER_TEXT = "Loombook writes this folder and replaces it whole. Change the inventory, not the files here.\n"
_FIGURE = re.compile(r"<!--figure:([\w.-]+)-->")
_DRAWINGS = "drawings"


class FolderError(PublishError):
    """The folder cannot be written as asked; the message says why and nothing has been changed."""


def write_folder(
    manual: Manual, out: Path, *, replace: bool = False, beside: Callable[[Path], None] = lambda folder: None
) -> Path:
    """The manual in `out`: pages, drawings and files.

    Args:
        manual: what to write
        out: the folder; it may be absent, empty, or an earlier one of ours
        replace: also take the place of a folder that is not ours
        beside: puts more into the folder before it appears; what goes wrong there leaves nothing behind
    Returns:
        the folder
    """
    out = Path(os.path.abspath(out))
    _refuse_foreign(out, replace)
    contents = _contents(manual)
    out.parent.mkdir(parents=True, exist_ok=True)
    new = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent))
    try:
        new.chmod(0o755)
        for path, content in contents.items():
            place = new / path
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_bytes(content)
        beside(new)
        _take_place(new, out)
    finally:
        shutil.rmtree(new, ignore_errors=True)
    return out


def _refuse_foreign(out: Path, replace: bool) -> None:
    if out.is_symlink() or (out.exists() and not out.is_dir()):
        raise FolderError(f"{out} is not a folder")
    if out.is_dir() and any(out.iterdir()) and not (out / MARKER).exists() and not replace:
        raise FolderError(f"{out} holds files that Loombook did not write; name another folder or an empty one")


def _take_place(new: Path, out: Path) -> None:
    """Puts `new` where `out` is; if that fails, `out` is as it was."""
    if not out.exists():
        new.rename(out)
        return
    old = new.with_name(new.name + "-old")
    out.rename(old)
    try:
        new.rename(out)
    except OSError:
        old.rename(out)
        raise
    shutil.rmtree(old)


def _contents(manual: Manual) -> dict[str, bytes]:
    """Path in the folder → content."""
    drawings = {name: f"{_DRAWINGS}/{name}.svg" for name in manual.drawings}
    paths = {path: path for path in [page.path for page in manual.pages] + list(manual.files)}
    wrong: list[str] = []

    def linked(text: str, here: str) -> str:
        return links.resolve(
            text, here, manual.links, paths, lambda message: wrong.append(f"{here}: {message}"), markdown=True
        )

    bodies = {page.path: _with_figures(page.body, page.path, manual, drawings) for page in manual.pages}
    texts = {path: linked(body, path) for path, body in bodies.items()}
    texts |= {path: linked(svg.standalone(manual.drawings[name]), path) for name, path in drawings.items()}
    if wrong:
        raise FolderError("\n".join(wrong))
    contents = {path: text.encode() for path, text in texts.items()} | manual.files | {MARKER: _MARKER_TEXT.encode()}
    for path in contents:
        if posixpath.isabs(path) or ".." in path.split("/"):
            raise FolderError(f"{path} would be written outside the folder")
    return contents


def _with_figures(body: str, here: str, manual: Manual, drawings: dict[str, str]) -> str:
    """The page with its drawings as images: in Markdown where the drawing stands apart, in HTML inside other HTML."""

    def image(match: re.Match) -> str:
        name = match[1]
        if name not in drawings:
            raise FolderError(f"{here}: no drawing `{name}` in the manual")
        alt = links.plain(svg.title_of(manual.drawings[name]) or name)
        source = posixpath.relpath(drawings[name], posixpath.dirname(here) or ".")
        stands_apart = match.start() == 0 or body.endswith("\n\n", 0, match.start())
        return f"![{alt}]({source})" if stands_apart else f'<img src="{source}" alt="{alt}">'

    return _FIGURE.sub(image, body)
