"""The JSON Schema says of an inventory what the reader says, so that an editor can complete and check it."""

from __future__ import annotations

import inspect
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from loombook.inventory import reader
from loombook.inventory.fields import Record
from loombook.inventory.load import FAMILY_KEYS
from loombook.inventory.schema import SHORT_FORMS, json_schema
from loombook.inventory.tree import plain

from tests.inventory.fits import WORDS, misfits

HERE = Path(__file__).parent
VESSELS = [HERE / "every_family.yaml", *sorted((HERE.parents[1] / "vessel").glob("*.yaml"))]
SCHEMA = json_schema()


def records(parent: type[Record] = Record) -> Iterator[type[Record]]:
    """Every record that stands somewhere in an inventory."""
    for model in parent.__subclasses__():
        if model.__name__ in SCHEMA["definitions"]:
            yield model
        yield from records(model)


def written(path: Path) -> Any:
    return plain(reader.read(reader.decode(path.read_bytes(), path.name), path.name).root)


def form(name: str) -> dict[str, Any]:
    """The long form of a record in the schema."""
    schema = SCHEMA["definitions"][name]
    return next((part for part in [schema, *schema.get("anyOf", ())] if "properties" in part), {})


@pytest.mark.parametrize("path", VESSELS, ids=lambda path: path.name)
def test_a_vessel_that_can_be_read_fits_the_schema(path: Path) -> None:
    assert [] == misfits(written(path), SCHEMA, SCHEMA)


SLIPS = {
    "fuzes: {}": "/fuzes",
    "fuses: {F1: {ratting: 10 A, rating: 10 A, kind: blade}}": "/fuses/F1/ratting",
    "fuses: {F1: {rating: 10 V, kind: blade}}": "/fuses/F1/rating",
    "fuses: {F1: {rating: 10 A}}": "/fuses/F1/kind",
    "fuses: {F-1: {rating: 10 A, kind: blade}}": "/fuses/F-1",
    "fuses: {F1: {rating: {value: 10 A, how: guessed}, kind: blade}}": "/fuses/F1/rating/how",
    "batteries: {G1: {chemistry: lithium, cells: {series: 4, capacity: 280 Ah}}}": "/batteries/G1/chemistry",
    "runs: {positive: [G1 +, {W1: 1 m, W2: 1 m}]}": "/runs/positive/1",
    "waivers: {}": "/waivers",
}


@pytest.mark.parametrize("text", SLIPS)
def test_a_slip_does_not_fit(text: str) -> None:
    data = plain(reader.read(text, "slip").root)

    assert SLIPS[text] in misfits(data, SCHEMA, SCHEMA)


def test_every_family_is_in_it() -> None:
    assert sorted(FAMILY_KEYS) == sorted(SCHEMA["properties"])


def test_every_key_of_every_record_is_in_it() -> None:
    missing = [
        f"{model.__name__}: {info.alias}"
        for model in records()
        if model.__name__ not in ("Step", "RunStep")  # written in their short forms alone
        for info in model.model_fields.values()
        if info.alias not in form(model.__name__)["properties"]
    ]

    assert [] == missing


def test_the_sentence_under_a_field_describes_its_key() -> None:
    """An attribute's docstring is what an editor shows."""
    plan = form("Location")["properties"]["plan"]

    assert "A point of the location plan, `x, y` in per cent of the plan's length and breadth." == plan["description"]


def test_what_is_said_of_every_item_is_said_of_each_kind() -> None:
    assert "What people aboard call it." == form("Fuse")["properties"]["name"]["description"]
    assert (
        "Terminal that feeds it: `X4 way 7`, or a bar or stud." == form("Circuit")["properties"]["from"]["description"]
    )


def test_every_record_is_described() -> None:
    bare = [model.__name__ for model in records() if not SCHEMA["definitions"][model.__name__].get("description")]

    assert [] == bare


def test_every_short_form_is_offered_with_an_example() -> None:
    for name, example in SHORT_FORMS.items():
        assert [example] == SCHEMA["definitions"][name]["anyOf"][0]["examples"]


def test_a_record_whose_docstring_promises_a_short_form_has_one() -> None:
    promised = {model.__name__ for model in records() if re.search(r"[Ss]hort form:", inspect.getdoc(model) or "")}

    assert promised == set(SHORT_FORMS)


def test_it_uses_only_words_that_the_tests_understand() -> None:
    def words(schema: Any) -> Iterator[str]:
        for key, value in schema.items():
            yield key
            inner = (
                value.values()
                if key in ("properties", "patternProperties", "definitions")
                else value
                if isinstance(value, list)
                else [value]
            )
            for part in inner:
                if isinstance(part, dict) and key not in ("examples", "enum"):
                    yield from words(part)

    assert set() == set(words(SCHEMA)) - WORDS


def test_it_is_the_same_each_time() -> None:
    assert json.dumps(SCHEMA) == json.dumps(json_schema())
