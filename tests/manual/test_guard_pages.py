"""What pages say of fuses and breakers is what the study found, and every cell leads to its why."""

from __future__ import annotations

import re

import pytest

from loombook.manual.words import span_unit
from loombook.quantities import in_unit
from loombook.study.course import Courses
from loombook.study.guard_whys import energy
from tests.manual.boats import of_vessel, study_of

VESSELS = ("demo", "launch", "everything")


@pytest.fixture(scope="module", params=VESSELS)
def vessel(request: pytest.FixtureRequest) -> str:
    return request.param


def body(vessel: str, path: str) -> str:
    return next(p.body for p in of_vessel(vessel).pages if p.path == path)


def test_the_let_through_page_says_what_each_wire_bears(vessel: str) -> None:
    text = body(vessel, "figures/adiabatic.md")

    for guard in study_of(vessel).guards.values():
        if guard.conductors and guard.bears is not None:
            assert energy(guard.bears).removesuffix(" A²s") in text


def test_the_selectivity_page_names_every_unit_that_may_black_out_the_ship(vessel: str) -> None:
    text = body(vessel, "figures/selectivity.md")
    units = {id for guard in study_of(vessel).guards.values() for id in guard.blackout}

    assert all(f">{id}<" in text for id in units)
    assert ('id="dark"' in text or "{#dark}" in text) or not units


def test_every_why_that_a_table_leads_to_is_there(vessel: str) -> None:
    pages = {p.path: p.body for p in of_vessel(vessel).pages}
    found = re.findall(r'href="item:([^"#]+)#(why-guard[^"]*)"', pages["figures/protection.md"])

    assert found
    for item, place in found:
        path = f"panels/{item}.md" if f"panels/{item}.md" in pages else f"items/{item}.md"
        assert f'id="{place}"' in pages[path]


def test_a_bank_page_says_what_its_battery_gives_over_time(vessel: str) -> None:
    study = study_of(vessel)
    courses = Courses(study.network, study.faults, study.resistances)
    pages = [p.body for p in of_vessel(vessel).pages if p.path.startswith("banks/")]

    for id in study.network.inventory.batteries:
        own = next(p for p in courses.at(f"{id} +") if p.source == id)
        text = next(body for body in pages if f"course-{id}" in body)
        assert in_unit(own.peak.high, "current", 2) in text


@pytest.mark.parametrize(
    "path", ["banks/G2.md", "items/X1.md", "panels/X4.md", "figures/fault.md", "figures/selectivity.md"]
)
def test_a_fault_current_behind_an_unknown_cable_is_called_a_bound_wherever_it_stands(path: str) -> None:
    assert "at most: W17 not known" in body("everything", path)


def test_a_consumers_page_tells_what_a_short_at_its_end_gives() -> None:
    found = study_of("launch").faults["M1 +"]
    told = re.sub(r"<[^>]+>", "", body("launch", "circuits/M1.md"))

    assert f"Highest fault current at it {span_unit(found.highest, 'current', 2)}" in told
    assert f"Lowest, at its end of the wire {span_unit(found.lowest, 'current', 2)}" in told
