"""What each page of the manual says, neutral to the site builder."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import TYPE_CHECKING

from .model import Manual, Page

if TYPE_CHECKING:
    from ..checks import Checked
    from ..compare import Comparison
    from ..study.model import Study


def build(
    study: Study,
    checked: Checked,
    as_of: datetime.date,
    drawings: Mapping[str, str] | None = None,
    writer: str = "site",
    paper: bool = False,
    comparison: Comparison | None = None,
) -> Manual:
    """The whole manual.

    Args:
        study: what was worked out
        checked: what the rules say of it
        as_of: the day from which the manual speaks
        drawings: name → SVG; a page shows a drawing only where it is given
        writer: of the pages: `site` for Markdown, `typst` for the PDF's source
        paper: whether the manual also holds `paper`, the same pages for the PDF
        comparison: with an earlier revision, for the page that tells what was changed
    """
    from .make import make  # here, because whoever publishes asks for the values long before a manual is made

    return make(study, checked, as_of, drawings or {}, writer, paper, comparison)


__all__ = ["Manual", "Page", "build"]
