"""A finding accepted with a reason, a name and an end."""

from __future__ import annotations

import datetime

from .surveyed import check

JOINT = """
junctions:
  X9: {name: Mast foot joint, at: "cabin, mast post", joint: soldered}
circuits:
  C1:
    name: Navigation lights
    also called: [lights]
    from: X4 way 1
    cable: ["2.5 mm², 4 m", X9, "2.5 mm², 4 m"]
    load: 12 W
    use: navigation lights
    at: cockpit
waivers:
  - {rule: RULE, item: ITEM, reason: Mast comes down in spring, by: Ines, until: 2026-09-30}
"""


def joint(rule: str = "T-02", item: str = "X9") -> str:
    return JOINT.replace("RULE", rule).replace("ITEM", item)


def test_a_waiver_that_holds_lists_the_finding_as_accepted() -> None:
    checked = check(joint())

    assert [(row.outcome.rule, row.outcome.item, row.waiver.by) for row in checked.accepted] == [("T-02", "X9", "Ines")]
    assert checked.findings == ()
    assert checked.counts["accepted"] == 1


def test_an_accepted_finding_still_concerns_its_item() -> None:
    assert [o.rule for o in check(joint()).for_item("X9")] == ["T-02"]


def test_a_waiver_past_its_date_lets_the_finding_stand_and_says_so() -> None:
    checked = check(joint(), datetime.date(2026, 10, 1))

    assert checked.accepted == ()
    assert [(o.outcome, o.rule) for o in checked.findings if o.item == "X9"] == [("B", "T-02"), ("B", "M-08")]


def test_a_waiver_holds_on_its_last_day() -> None:
    assert len(check(joint(), datetime.date(2026, 9, 30)).accepted) == 1


def test_a_waiver_without_its_finding_is_told_so() -> None:
    checked = check(joint().replace("joint: soldered", "joint: crimped"))

    (only,) = checked.findings
    assert (only.outcome, only.rule, only.item) == ("C", "M-08", "X9")
    assert only.what.endswith("has nothing to accept: there is no such finding")


def test_a_waiver_of_a_misspelt_rule_is_told_the_nearest() -> None:
    (said,) = (o for o in check(joint(rule="T-2")).findings if o.rule == "M-08")

    assert said.what == "a waiver names the rule `T-2`, which does not exist; did you mean `T-02`?"


def test_a_waiver_for_one_of_several_is_told_what_to_name() -> None:
    example = 'circuits:\n  C3: {name: Cabin light, from: X4 way 3, cable: "1.5 mm², 3 m", load: 10 W, at: cabin}\n'
    example += "waivers:\n  - {rule: L-07, item: C3, reason: everybody knows it, by: Ines, until: 2026-09-30}\n"

    (said,) = (o for o in check(example).findings if o.rule == "M-08")
    assert said.what.endswith("that finding is about `Example`, and the waiver has to name it so")


def test_a_finding_about_the_whole_vessel_is_waived_by_her_name() -> None:
    example = 'circuits:\n  C3: {name: Cabin light, from: X4 way 3, cable: "1.5 mm², 3 m", load: 10 W, at: cabin}\n'
    example += "waivers:\n  - {rule: L-07, item: Example, reason: everybody knows it, by: Ines, until: 2026-09-30}\n"

    assert [row.outcome.rule for row in check(example).accepted] == ["L-07"]
