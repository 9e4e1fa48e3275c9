"""Two revisions of a vessel: what was changed is told as written, and what follows from it is found."""

from __future__ import annotations

import re

import pytest

from loombook.compare import compare
from loombook.compare.figures import verdict
from loombook.compare.report import text
from tests.compare.boats import LAUNCH, TESTS, after, altered, before, side
from tests.random_vessels import random_vessel

LARGER_FUSE = ("kind: gG, rating: 16 A, voltage", "kind: gG, rating: 80 A, voltage")
THINNER = ('from: X4 way 1, cable: "4 mm², 3.2 m"', 'from: X4 way 1, cable: "1 mm², 3.2 m"')
NO_HORN = (
    '  C6: {name: Horn, also called: [hooter], from: X4 way 6, cable: "2.5 mm², 3.0 m", load: 3 A, use: alarm, '
    'duty: 0 %, at: "foredeck, under the deck"}\n',
    "",
)
NO_HORN_WAY = ("6: 5 A, HORN", "6: spare")
MOVED_SWITCH = ("right of the wheel, red handle", "left of the wheel, red handle")
SMALL_BREAKING = ("250 A, voltage: 125 V, breaking: 20 kA at 125 V", "250 A, voltage: 125 V, breaking: 2 kA at 125 V")
CONVERTER_FUSE = ("kind: gG, rating: 16 A, voltage", "kind: gG, rating: 20 A, voltage")
NEW_NOTE = ("name: Depth sounder,", "name: Depth sounder, note: beeps when cold,")

EVERY = {
    "a larger fuse": (LARGER_FUSE,),
    "a thinner cable": (THINNER,),
    "a horn taken out": (NO_HORN, NO_HORN_WAY),
    "a switch moved": (MOVED_SWITCH,),
    "a weaker main fuse": (SMALL_BREAKING,),
    "another converter fuse": (CONVERTER_FUSE,),
    "a note": (NEW_NOTE,),
}


def test_a_vessel_compared_with_herself_has_nothing_to_tell() -> None:
    same = after()

    assert (same.changes, same.moved, same.verdicts, same.reprints, same.notify) == ((), (), (), (), ())
    assert same.standing == len({(o.rule, o.item) for o in side(LAUNCH).checked.outcomes if o.is_finding}) > 0
    assert "Nothing of the boat is written down otherwise." in text(same)


def test_a_change_is_told_field_by_field_as_the_owner_wrote_it() -> None:
    (change,) = after(THINNER).changes

    assert (change.kind, change.family, change.id, change.title) == ("changed", "circuits", "C9", "Cool box")
    assert [(f.name, f.before, f.after) for f in change.fields] == [("cable", "4 mm², 3.2 m", "1 mm², 3.2 m")]


def test_a_cable_of_a_run_is_a_thing_of_its_own() -> None:
    (change,) = after(('W5: "95 mm², 2.4 m', 'W5: "50 mm², 2.4 m')).changes

    assert (change.family, change.id) == ("cables", "W5")
    assert [(f.name, f.before, f.after) for f in change.fields] == [("area", "95 mm²", "50 mm²")]


@pytest.mark.parametrize("change", EVERY)
def test_a_change_undone_tells_the_same_the_other_way_round(change: str) -> None:
    there, back = after(*EVERY[change]), before(*EVERY[change])
    opposite = {"added": "removed", "removed": "added", "changed": "changed"}

    assert {(c.id, c.kind) for c in there.changes} == {(c.id, opposite[c.kind]) for c in back.changes}
    assert {(m.figure, m.id, m.case, m.before, m.after) for m in there.moved} == {
        (m.figure, m.id, m.case, m.after, m.before) for m in back.moved
    }
    grades = {"A", "B", "C"}
    assert {(v.rule, v.item, v.before, v.after) for v in there.verdicts if grades & {v.before, v.after}} == {
        (v.rule, v.item, v.after, v.before) for v in back.verdicts if grades & {v.before, v.after}
    }


def test_a_fuse_above_its_cable_is_a_new_finding_and_asks_for_a_strict_exit() -> None:
    found = after(LARGER_FUSE)
    new = {(v.rule, v.kind) for v in found.verdicts if v.after == "A"}

    assert ("P-05", "new") in new
    assert found.is_graver and not before(LARGER_FUSE).is_graver
    assert ("P-05", "closed") in {(v.rule, v.kind) for v in before(LARGER_FUSE).verdicts}


def test_a_thinner_cable_moves_the_drop_and_the_fault_current_the_way_physics_says() -> None:
    drive = ('W5: "95 mm², 2.4 m', 'W5: "25 mm², 2.4 m')
    moved = {(m.figure.name, m.id): m for m in after(THINNER, drive).moved}
    drop, fault = moved["voltage drop", "C9"], moved["lowest fault current through it", "F1"]

    assert 1 < drop.after.low / drop.before.low < 4  # a quarter of the copper in a part of the way
    assert 0 < fault.after.low < fault.before.low


def test_the_verdict_beside_a_figure_is_that_of_the_rule() -> None:
    stiffer = ("resistance: 0.17 to 0.30", "resistance: 0.15 to 0.30")
    of_f1 = {m.figure.name: m for m in after(SMALL_BREAKING, stiffer).moved if m.id == "F1"}
    moved = of_f1["highest fault current"]

    assert (moved.verdict_before, moved.verdict_after) == ("pass", "A") and moved.turned
    assert verdict(side(LAUNCH), ("F-01",), "F1") == "pass"


def test_what_a_rule_judges_otherwise_stands_first_and_then_what_moved_furthest() -> None:
    moved = after(SMALL_BREAKING, THINNER, ("resistance: 0.17 to 0.30", "resistance: 0.15 to 0.30")).moved
    turned = [m.turned for m in moved]

    assert turned == sorted(turned, reverse=True) and True in turned and False in turned


def test_only_tests_that_rest_on_what_was_changed_are_to_be_made_again() -> None:
    cable = {stale.test.item: stale.because for stale in after(THINNER, more=TESTS).stale}
    panel_feed = {stale.test.item for stale in after(('W11: "16 mm²', 'W11: "10 mm²'), more=TESTS).stale}
    bank = {stale.test.item for stale in after(("capacity: 300 Ah", "capacity: 280 Ah"), more=TESTS).stale}

    assert cable == {"C9": ("C9",)}
    assert panel_feed == {"C9", "F3"}  # the drop is measured at the end of the way, the torque at the cable's lug
    assert "G1" in bank and "F3" not in bank


def test_words_about_a_thing_make_no_test_stale() -> None:
    found = after(("name: Cool box,", "name: Cold box, note: new seal,"), more=TESTS)

    assert [c.id for c in found.changes] == ["C9"] and found.stale == ()


def test_a_test_made_since_is_told_and_is_not_stale() -> None:
    found = after((TESTS, TESTS.replace("2026-04-18", "2026-05-20")), THINNER, more=TESTS)

    assert [t.item for t in found.repeated] == ["C9", "F3", "G1"] and found.stale == ()


def test_a_moved_handle_asks_for_new_cards_and_names_the_copies_that_hang() -> None:
    found = after(MOVED_SWITCH, ('revision: "3"\n', 'revision: "4"\n'))
    cards = {card.name: card for card in found.reprints}

    assert cards["fast"].kind == "changed" and "the steps" in cards["fast"].why
    assert [(copy.at.place, copy.revision) for copy in cards["fast"].copies] == [("inside the flap", "3")]
    assert "crew" in {who for who, _ in found.notify}


def test_a_change_that_no_card_speaks_of_asks_for_no_card() -> None:
    assert after(NEW_NOTE).reprints == () and after(NEW_NOTE).notify == ()


def test_what_was_taken_out_may_still_lie_in_the_boat() -> None:
    found = after(NO_HORN, NO_HORN_WAY)

    assert found.left == ("C6",)
    assert "C6" in {change.id for change in found.changes if change.kind == "removed"}


def test_a_fuse_size_that_is_new_or_gone_is_told_with_its_spares() -> None:
    stock = {(s.kind, s.rating): (s.used_before, s.used_after, s.spares) for s in after(CONVERTER_FUSE).stock}

    assert stock == {("gG", "16 A"): (1, 0, 2), ("gG", "20 A"): (0, 1, 0)}


def test_a_new_label_is_to_be_made() -> None:
    assert after(("4: 5 A, PLOTTER", "4: 5 A, CHART")).labels == ("X4 way 4",)
    assert after(("label: DRIVE,", "label: MOTOR,")).labels == ("Q1",)


def test_fitting_lithium_is_a_matter_for_the_insurer() -> None:
    lead = altered(
        ("chemistry: lfp\n    duty", "chemistry: agm lead-acid\n    duty"),
        ("cells: {series: 16, capacity: 300 Ah,", "cells: {series: 24, capacity: 300 Ah,"),
    )
    lead = lead[: lead.index("    bms:")] + lead[lead.index("    max charge:") :]
    found = compare(side(lead), side(LAUNCH))

    assert any(who == "insurer" and "lithium batteries were fitted: G1" in why for who, why in found.notify)
    assert any(m.figure.name == "usable energy" for m in found.moved)


def test_a_converter_that_can_no_more_carry_its_load_is_named_with_its_condition() -> None:
    found = after(("output: 13.6 V, current: 25 A", "output: 13.6 V, current: 1 A"))

    assert {("under way", "T3")} <= {(condition, item) for condition, item, _ in found.failing}
    assert found.failing[0][2] in text(found)


def test_an_accepted_finding_is_told_once() -> None:
    waiver = "\nwaivers:\n  - {rule: P-05, item: F2, reason: short cable, by: Ines Falke, until: 2027-01-01}\n"
    found = after((LARGER_FUSE[0], LARGER_FUSE[1]), ("tests: []\n", waiver.lstrip("\n")), more="\ntests: []\n")

    assert len(found.accepted) == 1 and "Ines Falke" in found.accepted[0]


@pytest.mark.parametrize("seed", range(0, 12, 2))
def test_any_two_vessels_can_be_compared_and_the_report_holds_no_value_of_the_program(seed: int) -> None:
    told = text(compare(side(random_vessel(seed)), side(random_vessel(seed + 1))))

    assert not re.search(r"\b(None|nan|inf|True|False)\b|Range\(|Quantity\(|∞", told)
