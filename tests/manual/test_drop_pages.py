"""Drop and load flow on the pages: every operating condition for each circuit, dips, warmth, and what cannot be supplied."""

from __future__ import annotations

import re

import pytest
from pytest import approx

from loombook.manual.words import condition_words
from tests.study.boats import CONVERTER, HEAD, TWO_STRINGS
from tests.study.test_dips import BEHIND_AN_INVERTER, TWO_CONDITIONS

from .boats import VESSELS, of_text, of_vessel, page, study_of
from .reading import Table, links, read, table, text

EACH = "Volts at each consumer while it works"
FAILED = "Over a limit"
SMALL_BANK = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 20 mΩ, cells: {series: 4, capacity: 100 Ah, lowest: 3 V}}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
runs: {plus: [G1 +, X1], minus: [G1 -, X2]}
circuits: {C1: {name: Heater, from: X1, back to: X2, cable: "50 mm², 1 m", load: 80 A, law: current, duty: 100 %}}
"""
)
"""13.2 V less 80 A through 20 mΩ are 11.6 V, and the cells are not to fall below 12 V."""
MAINS = (
    HEAD
    + """
SOURCE
panels: {X7: {name: Mains panel, ac: yes, kind: C, poles: 2, ways: {1: "32 A, HEATER"}}}
runs: {mains: [X8 L, X7 L], neutral: [X8 N, X7 N]}
circuits: {C1: {name: Heater, from: X7 way 1, cable: "6 mm², 5 m", load: 24 A, law: current, duty: 100 %}}
"""
)
CANNOT = {
    "converter over its limit": (CONVERTER.replace("LOAD", "30 A, law: current"), "T1", r"at its limit of 20\.?0? A"),
    "bank under its cut-off": (SMALL_BANK, "G1", r"below its cut-off of 12\.?0? V"),
    "inverter over its limit": (
        BEHIND_AN_INVERTER.replace("START", "20 A").replace("PEAK", "").replace("load: 5 A", "load: 60 A"),
        "T1",
        r"at its limit of 10\.?0? A",
    ),
    "shore over its lead": (
        MAINS.replace("SOURCE", "shore inlets: {X8: {voltage: 230 V, current: 16 A, fault current: 1 kA}}"),
        "X8",
        r"its supply is for 16\.0 A",
    ),
    "generator over its limit": (
        MAINS.replace("SOURCE", "generators: {X8: {power: 2.3 kVA, voltage: 230 V}}"),
        "X8",
        r"at its limit of 10\.?0? A",
    ),
}  # fmt: skip


def each(manual) -> Table:
    return table(page(manual, "figures/drop.md"), EACH)


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_circuit_has_its_volts_in_every_operating_condition(vessel: str) -> None:
    """What the page says is what the study has, condition by condition."""
    study, found = study_of(vessel), each(of_vessel(vessel))
    rows = [row for row in found.rows if row[0] != "Cannot be supplied at"]
    said = [[float(cell.removeprefix("≤ ")) if re.match(r"[\d≤]", cell) else None for cell in row[2:]] for row in rows]
    wanted = [[None if w.volts is None else w.volts for w in work.conditions] for work in study.working.values()]

    assert [condition_words(name) for name in study.flows] == found.head[2:]
    assert [[None if v is None else approx(v, abs=0.06, rel=1e-3) for v in row] for row in wanted] == said


def test_the_condition_that_leaves_a_circuit_least_is_marked_and_only_it() -> None:
    """With the engine off the bar is lower: 20 A and more through 4 mΩ."""
    body = page(of_text(TWO_CONDITIONS), "figures/drop.md")
    row = next(line for line in body[body.index(EACH) :].splitlines() if "item:C1" in line)

    assert ["sailing", "motoring"] == each(of_text(TWO_CONDITIONS)).head[2:]
    assert 1 == row.count("<strong>")
    assert row.index("<strong>") < row.rindex("</td> <td")


def test_what_the_rule_leaves_stands_beside_the_flow() -> None:
    """12 V nominal less 0.0164 · 20 A · 10 m / 10 mm²."""
    found = each(of_text(TWO_CONDITIONS.replace("invented: yes", "invented: yes, rules: iso")))
    row = next(row for row in found.rows if row[0].startswith("Heater"))

    assert approx(12 - 0.0164 * 20 * 10 / 10, abs=0.05) == float(row[1])


@pytest.mark.parametrize("case", CANNOT)
def test_what_cannot_be_supplied_has_a_name_and_a_place_on_the_pages(case: str) -> None:
    boat, item, said = CANNOT[case]
    manual = of_text(boat)
    (failed,) = [row for row in table(page(manual, "figures/flow-normal.md"), FAILED).rows if row[0].endswith(item)]
    drop = page(manual, "figures/drop.md")

    assert re.search(said, failed[1])
    assert ["Cannot be supplied at", "–", item] == [cell.split(",")[0] for cell in each(manual).rows[-1]]
    assert ("page", "figures/flow-normal.md", "why-failed") in links(drop)


@pytest.mark.parametrize("case", [case for case in CANNOT if case.endswith("its limit")])
def test_a_circuit_that_gets_too_little_names_the_source_that_is_at_its_limit(case: str) -> None:
    """On the drop page and on its own, where it is in no condition supplied."""
    boat, item, said = CANNOT[case]
    facts = dict(read(page(of_text(boat), "circuits/C1.md")).terms)

    assert f"fails {item}" == each(of_text(boat)).rows[0][2]
    assert re.search(rf"^in normal use: it gets .* cannot work; {item} is {said}", facts["Cannot be supplied"])


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_problem_of_a_flow_is_named_on_the_page_of_its_condition_and_on_the_drop_page(vessel: str) -> None:
    study, manual = study_of(vessel), of_vessel(vessel)
    pages = {p.path: p.body for p in manual.pages}
    said = {name: text(body) for name, body in pages.items() if name.startswith("figures/flow-")}
    lost = [
        (condition, item, what)
        for condition, flow in study.flows.items()
        for item, what in flow.problems
        if not any(what in words for words in said.values())
        or item not in each(manual).rows[-1][2 + list(study.flows).index(condition)]
    ]

    assert [] == lost


def test_a_start_that_takes_an_inverter_over_its_limit_is_on_the_page_with_the_panels_volts() -> None:
    body = page(
        of_text(BEHIND_AN_INVERTER.replace("START", "60 A for 0.5 s").replace("PEAK", "")), "figures/starting.md"
    )
    (motor,) = table(body, "Each motor by itself").rows
    bars = {row[0]: row for row in table(body, "Bars and panels while Compressor").rows}

    assert re.match(r"over T1: is at its limit of 10.* A", motor[-1])
    assert approx(38.3, rel=0.03) == float(bars["Mains panel X7"][2])


def test_strings_and_conductors_side_by_side_share_by_their_resistance_on_the_page() -> None:
    """24 A: 4 + 1 mΩ beside 9 + 1 mΩ give 16 A and 8 A; beyond, 10 mm² of 1 m and of 3 m carry 18 A and 6 A."""
    boat = TWO_STRINGS.replace(
        "G2: {chemistry: lfp, bank: house, resistance: 4", "G2: {chemistry: lfp, bank: house, resistance: 9"
    )
    boat = boat.replace(
        "circuits:", '  short: [X1, W1: "10 mm², 1 m", X3]\n  long: [X1, W2: "10 mm², 3 m", X3]\ncircuits:'
    )
    boat = boat.replace("from: X1", "from: X3").replace("bars: {", "bars: {X3: {name: Post}, ")
    body = page(of_text(boat), "figures/sharing.md")
    flows = table(body, "What each string gives").rows
    wires = {row[1].split(",")[0]: row[2:5] for row in table(body, "At design current").rows if "mm²" in row[1]}

    assert [("G1", approx(16, rel=0.01)), ("G2", approx(8, rel=0.01))] == [(row[2], float(row[3])) for row in flows]
    assert {"Cable W1": ["18.0", "75.0", "50.0"], "Cable W2": ["6.00", "25.0", "50.0"]} == wires


def test_the_finding_and_the_page_of_sharing_say_the_same_split() -> None:
    """60 % and 40 %: of the lengths alone it would be 63 to 37, but the lugs are in the way of both."""
    parts = [
        row[3]
        for row in table(page(of_vessel("demo"), "figures/sharing.md"), "At design current").rows
        if row[1].startswith("Cable")
    ]

    assert ["60.4", "39.6"] == parts
    assert "they share 60 % to 40 %" in text(page(of_vessel("demo"), "items/W5.md"))


def test_what_the_demo_says_of_her_emergency_is_what_the_flow_finds() -> None:
    """The house bank is off at its main switch: nothing but its always-live bar takes from it."""
    study = study_of("demo")
    (taken,) = {round(s.amps, 6) for s in study.supplying["emergency"] if s.edge == "G1"}
    through = {edge.id for edge in study.network.of_item["Q1"]} & set(study.flows["emergency"].amps)

    assert taken > 0.01
    assert set() == through


def test_a_cable_of_several_conductors_says_what_each_of_them_takes() -> None:
    rows = table(page(of_vessel("demo"), "figures/sharing.md"), "Written as one cable").rows

    assert {"W7", "W13", "W14"} == {row[0].split(",")[0].removeprefix("Cable ") for row in rows}
    assert [approx(float(row[2]) / 2, rel=0.01) for row in rows] == [float(row[3]) for row in rows]


def test_a_cable_says_how_warm_its_own_current_makes_it_and_why() -> None:
    """16 mm² of 105 °C carries 130 A by ISO 10133 at 30 °C: 65 A all the time make 30 + 75 / 4 degrees."""
    boat = HEAD.replace("invented: yes", "invented: yes, rules: iso") + (
        """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 280 Ah}}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
runs: {plus: [G1 +, W1: "16 mm², 2 m", X1], minus: [G1 -, X2]}
circuits: {C1: {name: Heater, from: X1, back to: X2, cable: "50 mm², 1 m", load: 65 A, law: current, duty: 100 %}}
"""
    )
    manual = of_text(boat)
    listed = table(page(manual, "lookup/cables.md"), "Cables of the runs")
    (row,) = listed.rows
    facts = dict(read(page(manual, "items/W1.md")).terms)
    why = text(page(manual, "items/W1.md"))

    assert "49" == row[listed.head.index("Gets to (°C)")]
    assert facts["Gets to"].startswith("49 °C in the load flow (in normal use)")
    assert "may carry 130 A here, 30 °C around it, 105 °C at most" in why
    assert ("item", "W1", "why-warm") in links(page(manual, "lookup/cables.md"))
