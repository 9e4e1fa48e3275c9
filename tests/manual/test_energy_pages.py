"""Pages of energy: hours with what they rest on, a page for each condition, and for every figure the way to its why."""

from __future__ import annotations

import re

import pytest

from loombook.inventory import read_text
from loombook.manual import build
from loombook.manual.pages import balance

from .boats import AS_OF, DINGHY, VESSELS, book_of, of_text, of_vessel, page, worked
from .reading import anchors, links, read, text


def rows(body: str, caption: str) -> list[list[str]]:
    return next(found for found in read(body).tables if found.caption.startswith(caption)).rows


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_condition_has_its_page_and_is_reached_from_the_balance(vessel: str) -> None:
    book, manual = book_of(vessel), of_vessel(vessel)
    wanted = {balance.path_of(book, name) for name in book.study.balances}

    assert wanted <= {p.path for p in manual.pages}
    assert wanted <= {name for _, name, _ in links(page(manual, "figures/balance.md"))}


@pytest.mark.parametrize("vessel", VESSELS)
def test_every_why_leads_to_its_place(vessel: str) -> None:
    manual = of_vessel(vessel)
    bodies = {p.path: p.body for p in manual.pages}
    energy = [
        p
        for p in bodies
        if p.startswith(("figures/balance", "figures/drive", "banks/", "emergency/stays-on", "running/hours"))
    ]
    dead = [
        (path, name, anchor)
        for path in energy
        for scheme, name, anchor in links(bodies[path])
        if scheme == "page" and anchor.startswith("why") and anchor not in anchors(bodies[name])
    ]

    assert dead == []
    assert any(anchor.startswith("why") for path in energy for _, _, anchor in links(bodies[path]))


def test_a_guess_in_the_hours_is_said_where_they_stand() -> None:
    """Without `usable` and `duty` the same boat's hours rest on defaults, and say so."""
    bare = DINGHY.replace("       usable: 50 %, at:", "       at:").replace("    duty: 20 %\n", "")
    certain, guessed = (text(page(of_text(t), "running/hours.md")) for t in (DINGHY, bare))

    assert "by default" not in certain
    assert re.search(r"about .* from full.*\(usable part by default, \d+% of the use by default times\)", guessed)


def test_the_totals_of_a_condition_are_those_of_its_rows() -> None:
    found = rows(page(of_vessel("demo"), "figures/balance/1-at-sea-by-day.md"), "What each takes")
    kwh = [float(row[6]) for row in found[:-1] if row[6] != "–"]

    assert sum(kwh) == pytest.approx(float(found[-1][6]), rel=0.01)
    assert found[-1][0] == "Together"


def test_a_boat_with_many_consumers_has_short_tables_and_whole_sums() -> None:
    many = "".join(
        f'  C{n}: {{name: Lamp {n}, from: X4 way {1 + n % 3}, cable: "1.5 mm², 2 m", load: 1 W, duty: 50 %}}\n'
        for n in range(100, 260)
    )
    text_of = DINGHY.replace("spares:\n", many + "spares:\n")
    manual = build(*worked(read_text(text_of)), AS_OF)
    found = rows(page(manual, "figures/balance/1-normal.md"), "What each takes")

    assert len(found) == balance.MOST + 2
    assert found[-2][0].endswith("smaller ones together")
    assert sum(float(row[4]) for row in found[:-1]) == pytest.approx(float(found[-1][4]), rel=0.02)


def test_a_day_that_nobody_told_is_said_to_be_missing_with_its_field() -> None:
    body = text(page(of_vessel("minimal"), "figures/balance.md"))

    assert "no operating condition says how many hours it lasts (its field hours)" in body


def test_months_by_default_are_marked_and_given_ones_are_not() -> None:
    demo = rows(page(of_vessel("demo"), "figures/balance.md"), "A usual day of each month")
    given = rows(page(of_vessel("everything"), "figures/balance.md"), "A usual day of each month")

    assert all("(default)" in row[1] for row in demo)
    assert not any("(default)" in row[1] for row in given)


# the drive


def test_a_drive_tells_hours_as_a_range_and_marks_what_was_not_measured() -> None:
    """Common practice, no source: a bank of about 15 kWh gives 2 h at 6 kn, 4 h at 5 kn and 7 h at 4 kn."""
    found = {row[0]: row for row in rows(page(of_vessel("launch"), "figures/drive-M1.md"), "One charge")}

    assert ["2.0 to 2.3", "3.3 to 3.9", "6.3 to 7.3"] == [found[speed][2] for speed in ("6", "5", "4")]
    assert ["yes", "between", "a guess"] == [found[speed][4] for speed in ("6", "5.5", "6.5")]


def test_two_points_are_a_curve_of_which_nobody_knows_how_good_it_is() -> None:
    assert "a curve goes through two points whatever they are" in text(
        page(of_vessel("everything"), "figures/drive-M2.md")
    )


def test_a_drive_without_measured_points_names_what_would_unlock_it() -> None:
    source = (VESSELS["launch"] / "vessel.yaml").read_text(encoding="utf-8")
    bare = re.sub(r"    speed points:\n(      - .*\n)+", "", source)
    body = text(page(build(*worked(read_text(bare)), AS_OF), "figures/drive-M1.md"))

    assert "cannot check: M1 has no speed points" in body


# banks


def test_a_bank_tells_what_it_is_worked_at_and_what_its_rods_want() -> None:
    body = page(of_vessel("launch"), "banks/G1.md")
    said = text(body)

    assert "6000 cycles: about 16 years at one full cycle a day" in said
    assert "0.020 V apart: well balanced (common practice, no source)" in said
    assert "3.55 V to 3.6 V (common practice, no source); a bank of these cells at 56.8 V to 57.6 V" in said
    assert "on the end plate by 0.88 to 1.2 N·m on each of 4 rods M8" in said
    assert ["as it is", "15.4", "118", "118", "3.9 h"] == rows(body, "The same make of battery")[1]


def test_a_bank_that_says_little_names_the_fields_that_would_tell() -> None:
    source = (VESSELS["launch"] / "vessel.yaml").read_text(encoding="utf-8")
    bare = source.replace(", spread: 20 mV, clamp rods: 4, rod torque: 1.2 N·m, rod size: M8", "").replace(
        "    mass: 118 kg\n", ""
    )
    said = text(page(build(*worked(read_text(bare)), AS_OF), "banks/G1.md"))

    for field in ("cells: spread of G1", "cells: clamp rods and rod size", "mass of G1 would tell"):
        assert field in said


# what stays on


def test_a_bank_that_does_not_last_three_hours_is_told_so() -> None:
    """An anchor light of 3 W at half its time wants 0.125 A: 6 Ah of which half is used last a day, 0.6 Ah do not."""
    small = DINGHY.replace("capacity: 60 Ah", "capacity: 0.6 Ah")
    caption = "How long each bank alone"

    assert "yes" == rows(page(of_text(DINGHY), "emergency/stays-on.md"), caption)[0][6]
    assert "NO" == rows(page(of_text(small), "emergency/stays-on.md"), caption)[0][6]


def test_the_crew_reads_hours_in_words_for_every_condition() -> None:
    found = text(page(of_vessel("demo"), "running/hours.md"))

    assert all(name.lower() in found.lower() for name in book_of("demo").study.balances)
    assert re.search(r"House bank: about [\d.]+ (h|days) from full, about [\d.]+ (h|days) from half\.", found)
    assert not read(page(of_vessel("demo"), "running/hours.md")).tables


def test_a_motors_page_leads_to_its_start_and_to_its_speed_and_range() -> None:
    reached = {(name, anchor) for _, name, anchor in links(page(of_vessel("launch"), "circuits/M1.md"))}

    assert {("figures/starting.md", "why-start-M1"), ("figures/drive-M1.md", "")} <= reached


def test_a_pump_that_drives_nothing_has_no_way_to_speed_and_range() -> None:
    names = {name for _, name, _ in links(page(of_vessel("launch"), "circuits/C1.md"))}

    assert not any(name.startswith("figures/drive") for name in names)


def test_the_battery_management_says_its_resistance() -> None:
    settings = read(page(of_vessel("launch"), "sources/bms.md")).tables[0].rows

    assert ["Resistance while closed", "0.4 to 0.8 mΩ"] in settings
