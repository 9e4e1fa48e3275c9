"""Every rule has its page, and its page's examples are its first tests."""

from __future__ import annotations

import re

import pytest
from loombook.checks import HEADINGS, RULES, Rule, UnknownRule, explain, rule
from loombook.checks.page import read_page

from .surveyed import by_rule, check

ASKED_FOR = """
P-01 P-02 P-03 P-04 P-05 P-06 P-07 P-08 P-10 P-13 C-01 C-02 C-03 C-04 C-05 C-08 F-01 F-03 F-05 F-06 V-01 V-02 V-03 V-04
V-05 D-01 D-02 D-03 B-01 B-02 B-03 B-04 B-05 B-06 B-08 B-09 B-10 B-14 G-01 G-02 G-03 G-04 G-05 I-01 I-03 I-04 I-06 I-07
I-09 I-12 S-01 S-02 S-04 S-05 N-01 N-06 A-01 A-02 A-03 A-04 A-05 E-01 E-02 E-03 E-04 E-07 T-02 T-04 T-05 T-09 L-01 L-04
L-05 L-06 L-07 L-08 L-10 M-01 M-04 M-05 M-08
""".split()

each_rule = pytest.mark.parametrize("one", RULES, ids=lambda one: one.id)


def test_every_rule_asked_for_is_in_the_table() -> None:
    known = {one.id for one in RULES}

    assert [id for id in ASKED_FOR if id not in known] == []


def test_no_two_rules_share_an_id() -> None:
    ids = [one.id for one in RULES]

    assert len(set(ids)) == len(ids)


@each_rule
def test_a_rule_has_its_whole_page(one: Rule) -> None:
    page = one.page

    assert all((page.title, page.what, page.why, page.failing, page.passing, page.source, page.clears))


@each_rule
def test_a_rule_names_a_standard_with_its_edition_or_says_that_there_is_none(one: Rule) -> None:
    known = re.search(
        r"\(.*(seen|from memory|\d{4})|\d{4}|[Cc]ommon practice, no source|Arithmetic|Target of ours|Makers' data",
        one.page.source,
    )

    assert known, one.page.source


@each_rule
def test_the_failing_example_is_found(one: Rule) -> None:
    outcomes = by_rule(one, one.page.failing)

    assert [o.what for o in outcomes if o.is_finding], [f"{o.outcome}: {o.what}" for o in outcomes]


@each_rule
def test_the_passing_example_passes(one: Rule) -> None:
    outcomes = by_rule(one, one.page.passing)

    assert [o.what for o in outcomes if o.is_finding] == []
    assert [o for o in outcomes if o.outcome == "pass"]


@each_rule
def test_the_passing_example_leaves_nothing_open(one: Rule) -> None:
    silent = {"C-04", "V-04", "F-06"}  # each lists every cable, consumer or device that says nothing about itself
    outcomes = by_rule(one, one.page.passing)

    assert [o.what for o in outcomes if o.outcome == "unknown" and one.id not in silent] == []


@each_rule
def test_an_example_stays_short(one: Rule) -> None:
    assert max(len(text.splitlines()) for text in (one.page.failing, one.page.passing)) <= 16


@each_rule
def test_explain_shows_every_heading(one: Rule) -> None:
    text = explain(one.id)

    assert text.startswith(f"{one.id}  {one.page.title}\n")
    assert [h for h in HEADINGS if f"\n{h}\n" not in text] == []


@pytest.mark.parametrize(("written", "near"), [("P-1", "`P-01`"), ("p01", "`P-01`"), ("D0-1", "`D-01`")])
def test_a_misspelt_rule_is_told_the_nearest(written: str, near: str) -> None:
    with pytest.raises(UnknownRule, match=f"there is no rule `{written}`; did you mean .*{near}"):
        rule(written)


def test_small_letters_will_do() -> None:
    assert rule("p-01").id == "P-01"


def test_a_docstring_without_a_heading_is_refused() -> None:
    with pytest.raises(ValueError, match="the headings are What, Why"):
        read_page("Title.\n\nWhat\n    This.\n\nWhy\n    That.\n")


def test_a_careful_owners_boat_has_no_finding() -> None:
    checked = check("")

    assert [f"{o.rule} {o.what}" for o in checked.findings] == []
