"""The launch as she is, and as she was before a change; made by altering her inventory's text."""

from __future__ import annotations

import datetime
from functools import cache
from pathlib import Path

from loombook.checks import run_checks
from loombook.compare import Comparison, Side, compare
from loombook.inventory import read_text
from loombook.network import build
from loombook.study.run import study

LAUNCH = (Path(__file__).parents[1] / "vessels/launch/vessel.yaml").read_text(encoding="utf-8")
AS_OF = datetime.date(2026, 6, 1)
TESTS = """
tests:
  - {item: C9, what: voltage drop, value: 0.21 V, date: 2026-04-18}
  - {item: F3, what: torque, value: 2 N·m, date: 2026-04-18}
  - {item: G1, what: capacity, value: 291 Ah, date: 2026-04-18}
"""


def altered(*changes: tuple[str, str], text: str = LAUNCH) -> str:
    """The launch's inventory with each first text in place of the other."""
    for old, new in changes:
        assert old in text, f"the launch has no `{old}`"
        text = text.replace(old, new)
    return text


@cache
def side(text: str) -> Side:
    result = study(build(read_text(text)))
    return Side(result, run_checks(result, AS_OF))


def after(*changes: tuple[str, str], more: str = "") -> Comparison:
    """What differs once the launch has been altered so."""
    return compare(side(LAUNCH + more), side(altered(*changes, text=LAUNCH + more)))


def before(*changes: tuple[str, str], more: str = "") -> Comparison:
    """The same change undone: the launch as she is, after she was altered so."""
    return compare(side(altered(*changes, text=LAUNCH + more)), side(LAUNCH + more))
