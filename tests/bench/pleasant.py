"""How easy the sheets of 60 random vessels are on the eye: crossings, bends and fill, kept from getting worse.

`python -m tests.bench.pleasant` measures and compares with `pleasant.json`; with `--record` it writes the figures there.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from loombook.drawings.drawset import scenes
from loombook.drawings.model import DrawingSet, OneLine
from loombook.drawings.quality import faults, pleasantness
from loombook.drawings.sheets import SETS
from loombook.drawings.view import Ship
from loombook.inventory import read_text
from loombook.network import build
from loombook.study.run import study

from tests.random_vessels import random_vessel

RECORD = Path(__file__).with_name("pleasant.json")
VESSELS = 60
SLACK = 1.02
"""Figures may be so much worse before that counts."""


def measured(vessels: int) -> dict[str, float]:
    """Figures over the single-line sheets of the first so many vessels."""
    sheets = crossings = bends = wrong = papers = 0
    fill = 0.0
    for seed in range(vessels):
        ship = Ship(study(build(read_text(random_vessel(seed)))))
        for make in SETS:
            asked = tuple(sheet for sheet in make(ship) if isinstance(sheet, OneLine))
            for scene in scenes(DrawingSet(ship.block, asked)):
                figures = pleasantness(scene)
                sheets += 1
                papers += scene.name in ("ship", "ship.2", "ship.3")
                crossings, bends, fill = crossings + figures.crossings, bends + figures.bends, fill + figures.fill
                wrong += len(faults(scene))
    return {
        "vessels": vessels,
        "sheets": sheets,
        "papers for a ship": round(papers / vessels, 3),
        "crossings a sheet": round(crossings / sheets, 3),
        "bends a sheet": round(bends / sheets, 3),
        "fill": round(fill / sheets, 3),
        "faults": wrong,
    }


def worse(now: dict[str, float], before: dict[str, float]) -> list[str]:
    """Figures that got worse, in words."""
    up = ("papers for a ship", "crossings a sheet", "bends a sheet", "faults")
    found = [f"{name}: {before[name]} → {now[name]}" for name in up if now[name] > before[name] * SLACK]
    return found + ([f"fill: {before['fill']} → {now['fill']}"] if now["fill"] * SLACK < before["fill"] else [])


def main() -> None:
    now = measured(VESSELS)
    for name, figure in now.items():
        print(f"{name}: {figure}")
    if "--record" in sys.argv:
        RECORD.write_text(json.dumps(now, indent=2) + "\n", encoding="utf-8")
    elif lost := worse(now, json.loads(RECORD.read_text(encoding="utf-8"))):
        sys.exit("worse than recorded: " + "; ".join(lost))


if __name__ == "__main__":
    main()
