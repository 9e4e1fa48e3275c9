"""The demo vessel: the flaws that she has on purpose are found, and little else is."""

from __future__ import annotations

import pytest
from loombook.checks.survey import Survey
from loombook.inventory import read_inventory
from loombook.network import build
from loombook.study.run import study

from .surveyed import AS_OF, ROOT, saltern

ON_PURPOSE = [
    ("A", "P-01", "C68"),  # tapped off a stud without a fuse
    ("A", "P-05", "X4 way 24"),  # 25 A on 1 mm²
    ("B", "P-05", "X4 way 19"),  # hot, and one of eight in a bundle
    ("A", "F-01", "F6"),  # cannot break the bank
    ("A", "F-03", "F5"),  # cannot break what stands at the bar
    ("A", "F-03", "X6"),  # 1 kA fuses with more available
    ("A", "V-02", "Q31"),  # 16 V on 29.2 V
    ("B", "V-04", "C19"),  # bears 28.8 V
    ("B", "D-01", "C60"),  # the radio at 6 %
    ("A", "I-01", "G6"),  # the sun cannot be switched off
    ("A", "N-01", "X6"),  # the cable of 1998
    ("A", "T-05", "X17"),  # the cover broke
    ("B", "C-05", "W6"),  # round the locker post
    ("B", "I-02", "Q7"),
    ("B", "I-02", "Q10"),
    ("B", "I-02", "F51"),
    ("B", "I-09", "switchboard"),
    ("B", "L-05", "F35"),
    ("B", "M-01", "F51"),
    ("B", "M-01", "C60"),
    ("B", "M-08", "W6"),
    ("B", "L-10", "Saltern"),
    ("C", "M-05", "Saltern"),
]

CANNOT_CHECK = [("P-05", "X4 way 34"), ("C-01", "C34"), ("D-02", "C35"), ("D-02", "C54"), ("D-02", "C34")]


@pytest.mark.parametrize(("grade", "rule", "item"), ON_PURPOSE)
def test_a_flaw_put_in_on_purpose_is_found(grade: str, rule: str, item: str) -> None:
    found = [(o.outcome, o.item) for o in saltern().findings if o.rule == rule]

    assert (grade, item) in found


@pytest.mark.parametrize(("rule", "item"), CANNOT_CHECK)
def test_what_nobody_measured_is_not_passed(rule: str, item: str) -> None:
    outcomes = {o.outcome for o in saltern().of_rule(rule) if o.item == item}

    assert outcomes == {"unknown"}


def test_the_old_soldered_joint_is_accepted_until_the_mast_comes_down() -> None:
    assert [(a.outcome.rule, a.outcome.item) for a in saltern().accepted] == [("T-02", "X30")]


def test_no_rule_says_the_same_of_an_item_twice() -> None:
    said = [(o.rule, o.item, o.what) for o in (*saltern().findings, *saltern().unknown)]

    assert len(set(said)) == len(said)


def test_every_finding_can_stand_alone() -> None:
    lacking = [
        o.rule for o in saltern().findings if not (o.what and o.here and o.why and o.source and o.clears and o.place)
    ]

    assert lacking == []


def test_every_cannot_check_says_which_field_would_allow_it_and_what_that_unlocks() -> None:
    assert [o.what for o in saltern().unknown if not (o.missing and o.unlocks and o.place)] == []


def test_a_sentence_begins_small_and_has_no_full_stop() -> None:
    telling = (*saltern().findings, *saltern().unknown)
    wrong = [o.what for o in telling if o.what.endswith(".") or (o.what[0].isupper() and not o.what[1].isdigit())]

    assert wrong == []  # an id may lead: `C68 Rudder angle indicator …`


def test_a_panel_gets_the_findings_of_its_ways() -> None:
    assert ("P-05", "X4 way 24") in [(o.rule, o.item) for o in saltern().for_item("X4")]


def test_the_cable_of_an_oversized_fuse_gets_the_finding_too() -> None:
    assert "P-05" in [o.rule for o in saltern().for_item("C24")]


def test_no_rule_for_direct_current_speaks_of_the_mains() -> None:
    mains = {"X7", "F51", "F52", "F53", "F54", "Q21", *(f"C{n}" for n in range(91, 99))}
    spoken = [
        (o.rule, o.item) for o in saltern().findings if o.item.split(" ")[0] in mains and not o.rule.startswith("A-")
    ]

    assert [row for row in spoken if row[0] not in ("I-02", "M-01")] == []


def test_the_counts_add_up_to_all_outcomes() -> None:
    checked = saltern()

    assert sum(checked.counts.values()) == len(checked.outcomes)


def test_no_fuse_of_the_demo_vessel_passes_while_its_page_cannot_tell_whether_it_breaks_the_inverter_s_pulse() -> None:
    survey = Survey(study(build(read_inventory(ROOT / "vessel"))), AS_OF)
    melting = {d.id for d in survey.devices if (pulse := survey.pulse(d)) and not pulse.spared}
    passing = {o.item for o in saltern().outcomes if o.rule in ("F-01", "F-03") and o.outcome == "pass"}

    assert {"F36", "F37", "F38"} <= melting
    assert set() == melting & passing
