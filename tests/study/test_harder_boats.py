"""Ten boats that nobody would build: each gives figures or a located message; no warning, no NaN on any page."""

from __future__ import annotations

import math
import re
import warnings
from pathlib import Path

import pytest
from click.testing import CliRunner

from loombook.cli import main
from loombook.diagnostics import InventoryError
from loombook.inventory import read_text
from loombook.manual import build as manual
from loombook.study.model import Study
from tests.manual.boats import AS_OF, of_text, worked
from tests.study.boats import CONVERTER, HEAD, RING
from tests.study.test_hard_boats import strict

BASE = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 280 Ah}}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
circuits: {C1: {name: Lamp, from: X1, back to: X2, cable: "1.5 mm², 2 m", load: 5 W, duty: 100 %}}
"""
)
RUNS = """
runs:
  f: [G1 +, X1]
  m: [G1 -, X2]
"""
SOLVED = {
    "a battery without resistance": RING.replace("resistance: 4 mΩ", "resistance: 0 mΩ"),
    "a load of nothing": RING.replace("load: 9 A, law: current", "load: 0 W"),
    "a hundred megawatts": RING.replace("load: 9 A, law: current", "load: 100000 kW"),
    "a joint of 900 ohms": RING.replace("resistance: 6 mΩ", "resistance: 900 Ω"),
    "a converter that gives nothing": CONVERTER.replace("LOAD", "5 A").replace("current: 20 A", "current: 0 A"),
    "an array in the dark": BASE
    + RUNS
    + """  s: [G6 +, T1 pv +]
  s2: [G6 -, T1 pv -]
  o: [T1 +, X1]
  o2: [T1 -, X2]
solar arrays: {G6: {open circuit: 45 V, short circuit: 9 A, power: 350 W}}
solar controllers: {T1: {current: 30 A, absorption: 14.2 V}}
conditions: {night: {solar: 0 %, sources: [G6, T1]}}
""",
    "two converters that feed each other": BASE
    + RUNS
    + """  a: [X1, T1 in +]
  b: [X2, T1 in -]
  c: [T1 out +, T2 in +]
  d: [T1 out -, T2 in -]
  e: [T2 out +, X1]
  g: [T2 out -, X2]
converters: {T1: {output: 24 V, current: 5 A}, T2: {output: 12 V, current: 5 A}}
""",
    "an inverter that feeds its battery's charger": BASE
    + RUNS
    + """  i: [X1, T5 +]
  i2: [T5 -, X2]
  ac: [T5, T2]
  c: [T2 +, X1]
  c2: [T2 -, X2]
inverters: {T5: {power: 2 kVA, output: 230 V, bond: switched}}
chargers: {T2: {current: 30 A, absorption: 14.2 V}}
""",
    "a motor that starts with a million amperes": BASE
    + RUNS
    + """  w: [X1, W1: "25 mm², 2 m", M1 +]
  w2: [M1 -, X2]
motors: {M1: {name: Winch, load: 50 A, start: 1000 kA for 1 s}}
""",
    "two batteries of unlike kind without any resistance": BASE.replace(
        "batteries: {G1: {chemistry: lfp, resistance: 4 mΩ,",
        "batteries: {G2: {chemistry: agm lead-acid, resistance: 0 mΩ, cells: {series: 6, capacity: 100 Ah}}, "
        "G1: {chemistry: lfp, resistance: 0 mΩ,",
    )
    + RUNS
    + """  f2: [G2 +, X1]
  m2: [G2 -, X2]
""",
}
REFUSED = {
    "only a converter, fed by nothing": (
        HEAD
        + """
converters: {T1: {output: 12 V, current: 5 A}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
runs: {e: [T1 out +, X1], g: [T1 out -, X2]}
circuits: {C1: {name: Lamp, from: X1, back to: X2, cable: "1.5 mm², 2 m", load: 5 W}}
""",
        "no source of energy",
    ),
    "a vessel with nothing": (HEAD, "no source of energy"),
    "a load whose length has no number": (BASE.replace("2 m", "some m") + RUNS, "is not known in a cable"),
}
_NOT_A_NUMBER = re.compile(r"(?<![\w-])(?:nan|NaN|-?inf)(?![\w-])")


@pytest.mark.parametrize("text", SOLVED.values(), ids=SOLVED)
def test_it_has_figures_and_no_page_shows_what_is_no_number(text: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        study, checked = worked(read_text(text))
        pages = manual(study, checked, AS_OF).pages

    assert _figures(study)
    assert [page.path for page in pages if _NOT_A_NUMBER.search(page.body)] == []


def _figures(study: Study) -> bool:
    """Whether every voltage at work is a number of volts that some source could give, and there is one condition."""
    volts = [w.volts for work in study.working.values() for w in work.conditions if w.volts is not None]
    return bool(study.flows) and all(map(math.isfinite, volts)) and all(0 <= v < 1e3 for v in volts)


def test_a_load_beyond_all_sources_is_named_where_it_hangs() -> None:
    study = strict(SOLVED["a hundred megawatts"])
    (work,) = study.working.values()

    assert [("C1", True)] == [(w.by, "cannot work" in w.problem) for w in work.failed]


def test_a_converter_that_gives_nothing_is_at_its_limit() -> None:
    (flow,) = strict(SOLVED["a converter that gives nothing"]).flows.values()

    assert ["T1"] == [item for item, what in flow.problems if "at its limit" in what]


@pytest.mark.parametrize(("text", "said"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_read_is_told_with_its_place_and_status_2(text: str, said: str, tmp_path: Path) -> None:
    (tmp_path / "vessel.yaml").write_text(text, encoding="utf-8")
    result = CliRunner().invoke(main, ["check", "--vessel", str(tmp_path), "--as-of", "2026-06-01"])

    assert 2 == result.exit_code
    assert said in result.output and "vessel.yaml:" in result.output
    with pytest.raises(InventoryError):
        of_text(text)


@pytest.mark.parametrize("name", ["a hundred megawatts", "two converters that feed each other"])
def test_the_command_has_no_traceback_for_them(name: str, tmp_path: Path) -> None:
    (tmp_path / "vessel.yaml").write_text(SOLVED[name], encoding="utf-8")
    result = CliRunner().invoke(main, ["check", "--vessel", str(tmp_path), "--as-of", "2026-06-01"])

    assert 0 == result.exit_code
    assert "findings:" in result.output
    assert "Warning" not in result.output
