"""Fuses beside charged capacitors: the rule says of the pulse what the page of the fuse says."""

from __future__ import annotations

import pytest
from loombook.checks import Outcome, rule
from loombook.checks.survey import Survey
from loombook.study.guard_whys import of_guard, pulse_words

from .surveyed import AS_OF, by_rule, study_of

DRIVE = """
fuses:
  F9: {name: Drive fuse, kind: gG, rating: 10 A, voltage: 110 V, breaking: 2.8 kA at 110 V, at: "locker, on the bar"}
motors:
  M1: {name: Drive, kind: drive, load: 5 A, capacitance: 20 mF, at: engine}
runs:
  drive: [X1, F9, W90: "16 mm², 1 m", M1 +]
  drive negative: [M1 -, W91: "16 mm², 1 m", X2]
"""
"""1.8 kA from the battery and 1.5 kA, 362 A²s from the capacitor, through a fuse that breaks 2.8 kA."""
ON_A_WAY = """
motors:
  M1: {name: Drive, kind: drive, load: 5 A, capacitance: 20 mF, at: cabin}
runs:
  drive: [X4 way 2, W90: "16 mm², 1 m", M1 +]
  drive negative: [M1 -, W91: "16 mm², 1 m", X5]
"""


def told(example: str, item: str = "F9", id: str = "F-03") -> Outcome:
    return next(o for o in by_rule(rule(id), example) if o.item == item)


def test_a_small_fuse_that_may_melt_in_a_drive_s_pulse_cannot_be_passed() -> None:
    found = told(DRIVE)

    assert ("unknown", "breaking") == (found.outcome, found.missing)
    assert "it may melt in it, and have to break both (from M1 Drive)" in found.what


@pytest.mark.parametrize(
    ("written", "instead"),
    [
        ("capacitance: 20 mF, ", ""),
        ("capacitance: 20 mF", "capacitance: 10 µF"),  # 0.3 A²s
        ("rating: 10 A", "rating: 32 A"),  # needs 1,800 A²s
        ("2.8 kA at", "6 kA at"),  # both together
    ],
)
def test_a_fuse_that_need_not_break_the_pulse_or_can_passes(written: str, instead: str) -> None:
    assert "pass" == told(DRIVE.replace(written, instead)).outcome


def test_a_fuse_too_weak_for_the_battery_alone_is_found_whatever_the_pulse() -> None:
    assert "A" == told(DRIVE.replace("2.8 kA at", "1 kA at")).outcome


def test_a_length_that_is_missing_on_the_way_to_a_drive_is_asked_for() -> None:
    found = told(DRIVE.replace('W91: "16 mm², 1 m"', 'W91: "16 mm², ? m"'))

    assert ("unknown", "length") == (found.outcome, found.missing)


def test_a_drive_on_one_way_is_told_of_the_panel_with_the_way_named() -> None:
    found = told(ON_A_WAY, "X4")

    assert "unknown" == found.outcome
    assert "X4 way 2" in found.what
    assert "pass" == told(ON_A_WAY.replace("capacitance: 20 mF, ", ""), "X4").outcome


def test_the_first_fuse_from_a_battery_is_judged_with_the_pulse_too() -> None:
    """2.2 kA from the other side of it and 840 A from the drive."""
    weak = "fuses:\n  F1: {name: Main fuse, kind: gG, rating: 10 A, voltage: 110 V, breaking: 2.8 kA at 110 V}"
    main = DRIVE.replace("fuses:", weak)

    assert "unknown" == told(main, "F1", "F-01").outcome
    assert "pass" == told(main.replace("2.8 kA", "3.2 kA"), "F1", "F-01").outcome


def test_the_why_of_a_fuse_tells_the_pulse_and_what_gives_it() -> None:
    survey = Survey(study_of(DRIVE), AS_OF)
    pulse = survey.pulse(survey.device_of["F9"])
    why = of_guard(survey.network, survey.study.guards["F9"], pulse)

    assert ("with charged capacitors", pulse_words(pulse)) in why.steps
    assert "M1" in [words for name, words, _ in why.inputs if name == "charged capacitors behind it"]
    assert "A²s" in pulse_words(pulse)
