"""The pages of the dinghy that are kept as they should read. `python -m tests.manual.golden` writes them anew, to be looked at."""

from __future__ import annotations

from pathlib import Path

from .boats import DINGHY, of_text, page

FOLDER = Path(__file__).parent / "golden"
KEPT = {
    "site": (
        "index.md", "emergency/isolate.md", "orientation/system.md", "panels/X4.md", "lookup/index.md", "lookup/fuses.md", "lookup/lost.md",
        "banks/G1.md", "figures/drop.md", "findings/waivers.md", "running/spares.md", "circuits/C21.md", "items/F1.md", "items/W1.md",
    ),
    "typst": ("emergency/isolate.md", "circuits/C21.md"),
}  # fmt: skip
"""Writer → pages."""


def file_of(writer: str, path: str) -> Path:
    """Where a page is kept."""
    name = path.removesuffix(".md").replace("/", "-")
    return FOLDER / f"{name}.{'md' if writer == 'site' else 'typ'}"


def cases() -> list[tuple[str, str]]:
    """Every page that is kept, with its writer."""
    return [(writer, path) for writer, paths in KEPT.items() for path in paths]


if __name__ == "__main__":
    for writer, path in cases():
        file_of(writer, path).write_text(page(of_text(DINGHY, writer), path), encoding="utf-8", newline="\n")
