"""Messages point at the very words, in a terminal, to a program and to a build service."""

from __future__ import annotations

import json

from loombook.diagnostics import (
    Diagnostic,
    InventoryError,
    Note,
    Place,
    as_annotations,
    as_json,
    as_text,
    did_you_mean,
    near,
)

SOURCES = {"panels.yaml": "panels:\n  X4:\n    rating: 25 A\n"}
FINDING = Diagnostic(
    "B",
    "P-05",
    "fuse F14 (25 A) is above what cable W31 carries here (17 A)",
    Place("panels.yaml", 3, 13, 4),
    "rated here",
    (Note("cable", "W31, 1.5 mm²", Place("cables.yaml", 112, 1)), Note("clears", "17 A or less")),
)


def test_a_message_shows_the_owners_line_with_a_caret() -> None:
    expected = """\
B  P-05  fuse F14 (25 A) is above what cable W31 carries here (17 A)
  --> panels.yaml:3:13
3 |     rating: 25 A
  |             ^^^^ rated here
   = cable   cables.yaml:112:1  W31, 1.5 mm²
   = clears  17 A or less
"""

    assert expected == as_text([FINDING], SOURCES)


def test_a_message_without_its_text_still_says_where() -> None:
    assert (
        "B  P-05  fuse F14 (25 A) is above what cable W31 carries here (17 A)\n  --> panels.yaml:3:13\n   = cable"
        in as_text([FINDING], {})
    )


def test_a_caret_stands_below_wide_letters_where_a_terminal_shows_them() -> None:
    text = as_text([Diagnostic("error", "r", "m", Place("f", 1, 4, 2))], {"f": "主主 ab"})

    assert "  |      ^^\n" in text


def test_a_name_cannot_steer_the_terminal() -> None:
    hostile = Diagnostic("error", "r", "`\x1b[2J` \u202eis unknown", Place("\x07.yaml", 1, 1))

    assert "error  r  `�[2J` �is unknown\n  --> �.yaml:1:1\n1 | �[0m\n  | ^\n" == as_text(
        [hostile], {"\x07.yaml": "\x1b[0m"}
    )


def test_a_program_gets_the_same_facts() -> None:
    place = {"file": "panels.yaml", "line": 3, "column": 13, "length": 4}
    row = json.loads(as_json([FINDING]))[0]

    assert ("B", "P-05", place, "rated here") == (row["level"], row["rule"], row["place"], row["here"])
    assert {"tag": "clears", "text": "17 A or less", "place": None} == row["notes"][1]


def test_a_build_service_gets_one_line_each_that_no_name_can_break() -> None:
    hostile = Diagnostic("error", "r", "100 %\n::error::x", Place("a,b:c.yaml", 1, 2))

    assert "::error file=a%2Cb%3Ac.yaml,line=1,col=2::r 100 %25%0A::error::x\n" == as_annotations([hostile])
    assert as_annotations([FINDING]).startswith("::warning file=panels.yaml,line=3,col=13::P-05 fuse F14")


def test_errors_are_told_in_the_order_of_the_files() -> None:
    late = Diagnostic("error", "r", "late", Place("b.yaml", 1, 1))
    early = Diagnostic("error", "r", "early", Place("a.yaml", 9, 1))

    assert (early, late) == InventoryError([late, early], {}).diagnostics


def test_a_slip_names_what_was_meant() -> None:
    assert "did you mean `rating`?" == did_you_mean("ratting", ["rating", "breaking", "name"])
    assert "did you mean `X4 way 1` or `X4 way 2`?" == did_you_mean("X4 way 3", ["X4 way 1", "X4 way 2", "G1 +"])
    assert "" == did_you_mean("plumbing", ["rating", "name"])


def test_small_and_capital_letters_are_one_slip() -> None:
    assert ["Q1"] == near("q1", ["Q1", "Z9"])
