"""How a fault current goes on, on the pages of every kind of source."""

from __future__ import annotations

import re

import pytest

from .boats import VESSELS, of_vessel, page, study_of
from .reading import Table, anchors, links, read, table

GIVERS = (
    "batteries",
    "alternators",
    "chargers",
    "converters",
    "solar arrays",
    "solar controllers",
    "shore inlets",
    "generators",
)


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_source_of_a_fault_tells_how_its_current_goes_on(vessel: str) -> None:
    """On its own page, at the place to which the table of fault currents leads."""
    manual, study = of_vessel(vessel), study_of(vessel)
    places = {p.path: anchors(p.body) for p in manual.pages}
    reached = {
        n: f"course-{n}" for s, n, a in links(page(manual, "figures/fault.md")) if s == "item" and a == f"course-{n}"
    }
    sources = [item.id for item in study.network.inventory.items() if item.family in GIVERS]
    given = [
        id
        for id in sources
        if any(n.item == id and (f := study.faults.get(n.id)) and f.highest for n in study.network.nodes.values())
    ]

    assert [] == [id for id in given if id not in reached]
    assert [] == [id for id in reached if reached[id] not in places[manual.links[id][1].partition("#")[0]]]


def _course(vessel: str, path: str) -> Table:
    return table(page(of_vessel(vessel), path), "Each source’s part")


def test_a_motor_whose_run_down_nobody_timed_names_the_field_and_its_line() -> None:
    row = next(row for row in _course("demo", "items/X1.md").rows if row[0].startswith("Anchor windlass"))
    inventory = study_of("demo").network.inventory
    line = re.search(r"“runs on” of M2 would tell, vessel/distribution.yaml, line (\d+)", row[5])

    assert row[5].startswith("cannot check: ")
    assert "  M2:" == inventory.texts["vessel/distribution.yaml"].splitlines()[int(line[1]) - 1]


def test_an_arrays_lowest_fault_current_is_none_at_night_and_not_unknown() -> None:
    row = next(
        row for row in table(page(of_vessel("demo"), "figures/fault.md"), "At sources").rows if row[0].endswith("G6")
    )

    assert ("0.0076", "none while its source rests") == (row[2], row[3])
    assert "none while its source rests" == dict(read(page(of_vessel("demo"), "items/G6.md")).terms)["Lowest"]


def test_the_shore_goes_on_as_it_began() -> None:
    facts = dict(read(page(of_vessel("demo"), "items/X8.md")).terms)

    assert "constant" in facts["Until a device opens"]
    assert facts["Crest of the first half-wave"].startswith("470 A to 17 kA")  # √2 · 330 A; 2 √2 · 6 kA


def test_a_generator_falls_from_its_first_moment_to_what_lasts() -> None:
    facts = dict(read(page(of_vessel("everything"), "items/G9.md")).terms)
    falls = [
        float(facts[head].split(" ")[0])
        for head in ("In the first moment", "After a tenth of a second", "What lasts, after some seconds")
    ]

    assert sorted(falls, reverse=True) == falls
    assert "T″d of about 40 ms" in facts["It falls"]
