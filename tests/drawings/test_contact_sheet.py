"""A contact sheet of all sheets of the demo as one picture in `build/`, for a reviewer's eye."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from loombook.drawings.sheets import draw
from loombook.pipeline import work_out

from tests.drawings.contact_sheet import photographed

ROOT = Path(__file__).parents[2]


def test_a_contact_sheet_of_the_demo_is_put_into_the_build(chromium: Any, capsys: Any) -> None:
    worked = work_out(ROOT / "vessel", datetime.date(2026, 6, 1))
    sheets = {name: svg for name, svg in draw(worked.study, worked.checked).items() if not name.startswith("strip-")}
    out = ROOT / "build" / "contact-sheet.png"
    out.parent.mkdir(exist_ok=True)
    photographed(chromium, list(sheets.values()), out)

    assert out.read_bytes().startswith(b"\x89PNG")
    assert out.stat().st_size > 100_000
    with capsys.disabled():
        print(f"\ncontact sheet of {len(sheets)} sheets: {out.relative_to(ROOT)}")
