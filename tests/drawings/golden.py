"""Golden drawings: what the sample yacht's drawings looked like when a person last approved of them.

`python -m tests.drawings.golden` writes them anew; look at the contact sheet before you commit.
"""

from __future__ import annotations

from pathlib import Path

from loombook.drawings import charts, strip
from loombook.drawings.drawset import draw

from tests.drawings import sample_charts, samples

FOLDER = Path(__file__).with_name("golden")


def drawings() -> dict[str, str]:
    """All golden drawings by name."""
    return {
        **draw(samples.book()),
        samples.strip().name: strip.draw(samples.strip()),
        **{chart.name: charts.draw(chart) for chart in sample_charts.ALL},
    }


def main() -> None:
    """Write the golden drawings anew."""
    FOLDER.mkdir(exist_ok=True)
    found = drawings()
    for old in FOLDER.glob("*.svg"):
        if old.stem not in found:
            old.unlink()
    for name, text in found.items():
        (FOLDER / f"{name}.svg").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
