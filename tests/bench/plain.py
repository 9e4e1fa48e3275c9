"""MkDocs building the demo's pages from plain files, without Loombook: what the build is measured against.

The pages and files are written on the first run and built on every run; only the build's time is of interest, and the
writing is left out of it by being done once for a folder.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from mkdocs.__main__ import cli


def main(scratch: str) -> None:
    docs = Path(scratch, "plain")
    if not docs.exists():
        write(docs)
    cli(["build", "--quiet", "--config-file", str(Path(scratch, "plain.yml"))])


def write(docs: Path) -> None:
    import datetime

    from loombook.pipeline import manual_of
    from loombook.publish.nav import navigation

    manual = manual_of(Path("vessel"), datetime.date.today())
    for page in manual.pages:
        path = docs / page.path
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("\n" + page.body, encoding="utf-8")
    for name, content in manual.files.items():
        path = docs / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    listed = navigation(manual, [])
    text = Path("mkdocs.yml").read_text(encoding="utf-8").replace("docs_dir: docs", "docs_dir: plain")
    before, after = text.split("  - loombook:\n")
    after = after[after.index("\ntheme:") :]
    docs.parent.joinpath("plain.yml").write_text(
        f"{before}{after}\nnav: {json.dumps(listed, ensure_ascii=False)}\n", encoding="utf-8"
    )


if __name__ == "__main__":
    main(sys.argv[1])
