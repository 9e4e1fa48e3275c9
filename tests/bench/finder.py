"""How quick the fault finder is in a browser: typing, ticking a dead device; and how large its file is."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path
from statistics import median

from loombook.publish.pocket import write_pocket
from tests.bench.many import vessel
from tests.browser.chromium import find
from tests.manual.boats import of_text

TYPED = ("d", "device 17", "echo", "way 3", "fuse", "nothing like it", "devcie 1999", "red wire at the panel")
TARGET = 50
"""Longest time for a look-up among 2,000 circuits [ms]."""

THUMB = 1000
"""From the page to the first letter, at the quickest [ms]."""

TIMES = """(typed) => typed.map((words) => {
  const box = document.getElementById("lb-find-box");
  box.value = words;
  const start = performance.now();
  box.dispatchEvent(new Event("input"));
  document.body.offsetHeight; // laid out as well
  return performance.now() - start;
})"""

TICK = """() => {
  const { finder } = document.getElementById("lb-find");
  const start = performance.now();
  finder.mark(0, "dead");
  document.body.offsetHeight;
  const ticked = performance.now() - start;
  finder.startAgain();
  return ticked;
}"""


def times(circuits: int) -> dict[str, float]:
    """Times [ms] and size [kB] for a vessel with so many circuits: first key, later keys, ticking, file."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as session:
        path = write_pocket(of_text(vessel(circuits)), Path(scratch))
        browser = session.chromium.launch(executable_path=find(), args=["--no-sandbox", "--disable-dev-shm-usage"])
        at_once, first = ([], [])
        for times_of, wait in ((at_once, 0), (first, THUMB)) * 5:
            page = browser.new_page(viewport={"width": 360, "height": 740})
            page.goto(path.as_uri())
            page.wait_for_timeout(wait)
            times_of.extend(page.evaluate(TIMES, TYPED[:1]))
        runs = [page.evaluate(TIMES, TYPED) for _ in range(5)]
        tick = median(page.evaluate(TICK) for _ in range(5))
        browser.close()
        size = path.stat().st_size / 1000
    firsts = {
        "first look-up": median(first),
        "the same with the page just loaded": median(at_once),
        "first at best": min(first),
    }
    return firsts | {"slowest look-up": max(median(times) for times in zip(*runs)), "tick": tick, "file kB": size}


def report(circuits: int = 2000) -> None:
    found = times(circuits)
    words = ", ".join(f"{name} {value:.0f}" + ("" if name.endswith("kB") else " ms") for name, value in found.items())
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0
    print(
        f"\nfault finder, {circuits} circuits: {words} (target: look-up under {TARGET} ms; load of the machine {load:.1f})"
    )


if __name__ == "__main__":
    report(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
