"""What has a fuse, how near, how large: boats that are easily judged wrongly."""

from __future__ import annotations

import pytest
from loombook.checks import rule

from .surveyed import by_rule

STARTER = """
batteries:
  G2: {name: Start battery, chemistry: agm lead-acid, duty: start, cells: {series: 6, capacity: 90 Ah}, at: engine}
motors:
  M1: {name: Starter motor, use: engine, load: 150 A, start: 600 A for 0.3 s, at: "engine, aft"}
switches:
  Q2: {name: Start switch, rating: 300 A, voltage: 48 V, access: open, at: "cabin, at the steps"}
runs:
  start: [G2 +, W80: "50 mm², 1.5 m", Q2, W81: "50 mm², 1 m", M1 +]
  start negative: [M1 -, W82: "50 mm², 1 m", X9]
  start battery negative: [G2 -, W83: "50 mm², 1 m", X9]
junctions:
  X9: {name: Engine block stud, at: "engine, port"}
"""


def said(id: str, example: str) -> list[tuple[str, str]]:
    """(grade, item) of what a rule finds."""
    return [(o.outcome, o.item) for o in by_rule(rule(id), example) if o.is_finding]


def outcomes(id: str, example: str, item: str) -> set[str]:
    return {o.outcome for o in by_rule(rule(id), example) if o.item == item}


def fed(cable: str, fuse: str, rules: str = "iso") -> str:
    """A lamp on the positive bar, with its fuse in its cable."""
    return f"""
vessel:
  rules: {rules}
circuits:
  C9: {{name: Lamp, from: X1, back to: X2, cable: [F9, "{cable}"], load: 5 W, at: cabin}}
fuses:
  F9: {{name: Lamp fuse, kind: gG, rating: {fuse}, voltage: 110 V, at: "locker, on the bar"}}
"""


def test_a_starters_cable_needs_no_fuse() -> None:
    assert said("P-01", STARTER) == []
    assert said("P-02", STARTER) == []


def test_a_thin_wire_on_the_starter_is_not_a_starters_cable() -> None:
    tap = STARTER + 'circuits:\n  C9: {name: Hour meter, from: M1 +, back to: X9, cable: "1 mm², 2 m", load: 0.1 A}\n'

    assert said("P-01", tap) == [("A", "C9")]


def test_a_heavy_cable_from_a_house_battery_is_not_a_starters_cable() -> None:
    assert ("A", "M1") in said("P-01", STARTER.replace("duty: start, ", ""))


def test_a_bar_behind_a_small_enough_fuse_protects_what_is_tapped_from_it() -> None:
    tap = 'circuits:\n  C9: {name: Lamp, from: X4, back to: X5, cable: "16 mm², 2 m", load: 5 W}\n'

    assert said("P-01", tap) == []


def test_a_thin_wire_on_the_same_bar_is_not_protected_by_it() -> None:
    tap = 'circuits:\n  C9: {name: Lamp, from: X4, back to: X5, cable: "1.5 mm², 2 m", load: 5 W}\n'

    assert said("P-01", tap) == [("A", "C9")]


def test_a_main_fuse_too_large_for_its_feeder_is_one_finding_and_not_one_for_each_way() -> None:
    thin = 'runs:\n  panel feed: [X1, F4, W5: "4 mm², 4 m, 60 °C", X4]\n'

    assert said("P-05", thin) == [("A", "F4")]
    assert said("P-02", thin) == []


def test_a_feeder_tapped_from_a_bar_without_a_fuse_is_one_finding_for_the_panel() -> None:
    bare = 'runs:\n  panel feed: [X1, W5: "16 mm², 4 m", X4]\n'

    assert said("P-02", bare) == [("A", "X4")]


def test_a_short_tap_to_its_own_fuse_is_allowed() -> None:
    near = fed("1.5 mm², 5 m", "6 A").replace("[F9,", '["1.5 mm², 0.15 m", F9,')

    assert said("P-01", near) == said("P-02", near) == said("P-05", near) == []


@pytest.mark.parametrize(
    ("rules", "sheath", "length", "grade"),
    [
        ("iso", "", "0.20 m", None),
        ("iso", "", "0.21 m", "B"),
        ("iso", "", "1.9 m", "A"),
        ("iso", ", sheathed", "1.9 m", None),  # ISO gives no length for a sheathed conductor
        ("us", "", "0.178 m", None),
        ("us", "", "0.20 m", "B"),
        ("us", ", sheathed", "1.0 m", None),
        ("us", ", sheathed", "1.1 m", "B"),
        ("both", "", "0.19 m", "B"),  # the stricter of two
        ("both", ", sheathed", "1.1 m", "B"),
    ],
)
def test_how_near_the_fuse_must_be_depends_on_the_rule_set(
    rules: str, sheath: str, length: str, grade: str | None
) -> None:
    tapped = fed("1.5 mm², 5 m", "6 A", rules).replace("[F9,", f'["1.5 mm², {length}{sheath}", F9,')

    assert said("P-02", tapped) == ([(grade, "F9")] if grade else [])


def test_from_a_battery_post_a_sheathed_conductor_may_be_longer() -> None:
    main = "vessel:\n  rules: us\n"
    main += 'runs:\n  main positive: [G1 +, W1: "50 mm², 1.8 m, sheathed", F1, W2: "50 mm², 0.5 m", X3]\n'

    assert said("P-02", main) == []


def test_an_unknown_length_to_the_fuse_is_not_passed() -> None:
    main = 'runs:\n  main positive: [G1 +, W1: "50 mm², ? m", F1, W2: "50 mm², 0.5 m", X3]\n'

    assert outcomes("P-02", main, "F1") == {"unknown"}


@pytest.mark.parametrize(
    ("rules", "fuse", "grade"),
    [
        ("iso", "16 A", None),  # 1.5 mm² of 105 °C carries 25 A
        ("iso", "32 A", "B"),  # 128 %
        ("iso", "40 A", "A"),  # 160 %
        ("us", "32 A", None),  # 16 AWG carries 25 A, and 150 % is allowed
        ("us", "40 A", "A"),
        ("both", "32 A", "B"),
    ],
)
def test_how_large_a_fuse_may_be_depends_on_the_rule_set(rules: str, fuse: str, grade: str | None) -> None:
    assert said("P-05", fed("1.5 mm², 5 m", fuse, rules)) == ([(grade, "F9")] if grade else [])


def test_parallel_conductors_count_together_against_their_fuse() -> None:
    pair = """
runs:
  panel feed: [X1, F4, W5: "4 mm², 4 m, 60 °C", X4]
  panel feed, second: [F4 2, W50: "4 mm², 4 m, 60 °C", X4]
"""

    assert said("P-05", pair) == []


def test_a_converters_own_limit_protects_its_output_cable() -> None:
    converter = """
converters:
  T2: {name: Converter, output: 13.2 V, current: 10 A, isolated: yes, at: "locker, top"}
fuses:
  F9: {name: Lamp fuse, kind: blade, rating: 3 A, voltage: 32 V, at: "locker, top"}
  F10: {name: Converter fuse, kind: class T, rating: 30 A, voltage: 125 V, breaking: 20 kA at 125 V}
runs:
  in: [X1, F10, W90: "6 mm², 1 m", T2 in +]
  in negative: [T2 in -, W91: "6 mm², 1 m", X2]
  out: [T2 out +, W92: "2.5 mm², 3 m", X9]
  out negative: [T2 out -, W93: "2.5 mm², 3 m", X10]
junctions:
  X9: {name: Instrument bar, at: "cabin, top"}
  X10: {name: Instrument negative, at: "cabin, top"}
circuits:
  C9: {name: Lamp, from: X9, back to: X10, cable: [F9, "1.5 mm², 2 m"], load: 5 W}
"""

    assert said("P-01", converter) == said("P-02", converter) == said("P-05", converter) == []


def test_a_fuse_above_its_cable_passes_only_for_what_its_source_gives_and_says_so() -> None:
    converter = """
converters:
  T2: {name: Converter, output: 13.2 V, current: 10 A, isolated: yes, at: "locker, top"}
runs:
  in: [X1, W90: "6 mm², 1 m", T2 in +]
  in negative: [T2 in -, W91: "6 mm², 1 m", X2]
fuses:
  F9: {name: Lamp fuse, kind: blade, rating: 40 A, voltage: 32 V, at: "locker, top"}
circuits:
  C9: {name: Lamp, from: T2 out +, back to: T2 out -, cable: [F9, "1.5 mm², 2 m"], load: 5 W}
"""
    (outcome,) = [o for o in by_rule(rule("P-05"), converter) if o.item == "F9"]

    assert outcome.outcome == "pass"
    assert "no more than 10 A" in outcome.what and "within what the cables" not in outcome.what


def test_a_charger_joined_to_a_bar_without_a_fuse_is_found() -> None:
    bare = 'runs:\n  charger positive: [X1, W9: "10 mm², 0.8 m", T1 +]\n'

    assert said("P-01", bare) == [("A", "T1")]


def test_an_emergency_link_does_not_make_the_whole_boat_unprotected() -> None:
    link = (
        STARTER
        + """
fuses:
  F9: {name: Link fuse, kind: class T, rating: 100 A, voltage: 125 V, breaking: 20 kA at 125 V}
"""
    )
    link = link.replace("switches:\n", "switches:\n  Q9: {name: Parallel switch, kind: paralleling, normal: off}\n")
    link = link.replace(
        "runs:\n", 'runs:\n  link: [X1, F9, W90: "50 mm², 1 m", Q9, W91: "50 mm², 2 m", X8b]\n'
    ).replace("X8b", "M1 +")
    link = link.replace("start negative: [M1 -", 'link negative: [X9, W94: "50 mm², 1 m", X2]\n  start negative: [M1 -')

    assert said("P-01", link) == []
    assert [item for _, item in said("P-03", link)] == ["G2"]


def test_the_fuse_of_one_string_need_break_only_what_the_other_gives() -> None:
    """Two strings give twice the current into the bar, but half of it flows through each fuse."""
    two = """
batteries:
  G1: {name: A, bank: House, chemistry: lfp, cells: {series: 4, capacity: 200 Ah, resistance: 0.5 mΩ}, at: locker}
  G2: {name: B, bank: House, chemistry: lfp, cells: {series: 4, capacity: 200 Ah, resistance: 0.5 mΩ}, at: locker}
fuses:
  F1: {name: Fuse A, kind: class T, rating: 150 A, voltage: 125 V, breaking: 7 kA at 125 V}
  F9: {name: Fuse B, kind: class T, rating: 150 A, voltage: 125 V, breaking: 7 kA at 125 V}
runs:
  second: [G2 +, W90: "50 mm², 0.15 m", F9, W91: "50 mm², 0.5 m", X3]
  second negative: [G2 -, W92: "50 mm², 0.6 m", X2]
"""
    bar = next(o for o in by_rule(rule("F-01"), two) if o.item == "F1")

    assert bar.outcome == "pass"
    assert said("F-01", two.replace("7 kA", "4 kA")) == [("A", "F1"), ("A", "F9")]


def test_a_way_too_large_for_a_tail_farther_on_is_found_once_by_p_06() -> None:
    tail = fed("6 mm², 3 m", "40 A").replace(
        "load: 5 W, at: cabin", 'loads: {E1: {name: L, load: 5 W, cable: "0.75 mm², 1 m"}}'
    )

    assert said("P-06", tail) == [("A", "F9")]
    assert said("P-05", tail) == []
