"""Whatever is in a file, it is read or refused in words: nothing else ever comes out."""

from __future__ import annotations

import json
from pathlib import Path

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from loombook.diagnostics import InventoryError
from loombook.inventory import read_text
from loombook.inventory.load import FAMILY_KEYS
from loombook.inventory.records import ITEM_FAMILIES, LIST_FAMILIES, NAMED_FAMILIES, SINGLE

VALID = (Path(__file__).parent / "every_family.yaml").read_text(encoding="utf-8")
QUICK = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)

SIGNS = st.sampled_from(
    list(":,-[]{}#&*!|>'\"%@`?~ \n\t\r\0\\") + ["\u00a0", "\u2028", "\ufeff", "²", "主", "\ud800", ": ", "- ", "1", "A"]
)
PLACES = st.integers(0, len(VALID))


@st.composite
def slips(draw: st.DrawFn) -> str:
    """The valid vessel after up to five slips of the pen."""
    text = VALID
    for _ in range(draw(st.integers(1, 5))):
        at, length = draw(PLACES), draw(st.integers(0, 40))
        match draw(st.sampled_from(["delete", "insert", "swap", "repeat"])):
            case "delete":
                text = text[:at] + text[at + length :]
            case "insert":
                text = text[:at] + draw(SIGNS) + text[at:]
            case "swap":
                text = text[:at] + text[at + 1 : at + 2] + text[at : at + 1] + text[at + 2 :]
            case "repeat":
                text = text[: at + length] + text[at:]
    return text


MODELS = [*SINGLE.values(), *ITEM_FAMILIES.values(), *LIST_FAMILIES.values()]
KEYS = sorted({info.alias or name for model in MODELS for name, info in model.model_fields.items()})
WORDS = st.sampled_from(
    [
        "",
        "10 A",
        "G1 +",
        "X4 way 1",
        "X4",
        "F1",
        "1.5 mm², 2 m",
        "yes",
        "0",
        "4",
        "-3 V",
        "2026-02-30",
        "at anchor",
        "never",
        "~",
        "1e999 V",
    ]
)
SCALARS = st.one_of(WORDS, st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False), st.text(max_size=8))
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(st.one_of(st.sampled_from(KEYS), st.text(max_size=4)), inner, max_size=4),
    ),
    max_leaves=12,
)
RECORDS = st.dictionaries(st.sampled_from(KEYS), VALUES, max_size=6)
IDS = st.sampled_from(["G1", "F1", "X4", "W1", "C1", "engine", "positive", "at anchor", "", "9", "<b>"])


@st.composite
def structures(draw: st.DrawFn) -> str:
    """Families filled with whatever the keys allow and do not allow."""
    families = draw(st.lists(st.sampled_from(FAMILY_KEYS), max_size=4, unique=True))
    whole: dict[str, object] = {"vessel": {"name": "Tern"}}
    for family in families:
        if family in LIST_FAMILIES:
            whole[family] = draw(st.lists(RECORDS, max_size=2))
        elif family in ITEM_FAMILIES or family in NAMED_FAMILIES:
            whole[family] = draw(st.dictionaries(IDS, st.one_of(RECORDS, VALUES), max_size=3))
        else:
            whole[family] = draw(VALUES)
    return json.dumps(whole, ensure_ascii=draw(st.booleans()))


def read(data: str | bytes) -> None:
    try:
        read_text(data)
    except InventoryError as error:
        assert error.diagnostics
        assert "in the inventory" in error.text.splitlines()[-1]
        assert all(d.place is None or (d.place.line >= 1 and d.place.column >= 1) for d in error.diagnostics)


def test_the_vessel_before_any_slip_can_be_read() -> None:
    assert read_text(VALID).vessel.name == "Little Tern"


@QUICK
@given(slips())
def test_a_slip_of_the_pen_is_told_in_words(text: str) -> None:
    read(text)


@QUICK
@given(st.binary(max_size=200))
@example(b"")
@example(b"\xff\xfe\x00")
@example(b"a: \xc3")
def test_bytes_of_any_kind_are_told_in_words(data: bytes) -> None:
    read(data)


@QUICK
@given(PLACES, st.binary(min_size=1, max_size=6))
def test_bytes_in_the_middle_of_a_vessel_are_told_in_words(at: int, data: bytes) -> None:
    valid = VALID.encode()
    read(valid[:at] + data + valid[at:])


@QUICK
@given(structures())
def test_a_structure_of_any_shape_is_told_in_words(text: str) -> None:
    read(text)
