"""The demo's manual as PDF, from its finished pages: sections written, set by Typst, and bound."""

from __future__ import annotations

import datetime
import time
from io import BytesIO
from pathlib import Path

import pikepdf

from loombook.pipeline import manual_of
from loombook.publish import pdf


def main() -> None:
    manual = manual_of(Path("vessel"), datetime.date.today(), paper=True)
    start = time.perf_counter()
    book = pdf.manual_pdf(manual)
    bound = time.perf_counter()
    cards = pdf.card_pdfs(manual)
    ended = time.perf_counter()
    sheets = len(pikepdf.open(BytesIO(book)).pages)
    print(f"PDF, demo: {bound - start:.2f} s for {sheets} sheets, {len(book) / 1e6:.1f} MB (target 5 s)")
    print(f"cards, demo: {ended - bound:.2f} s for {len(cards)} PDFs")


if __name__ == "__main__":
    main()
