"""What a person finds on a consumer's page at night: the fuse, its place, its spare, and what to measure."""

from __future__ import annotations

import pytest

from loombook.manual.routes import Way, levels, route

from .boats import DINGHY, book_of, of_text, of_vessel, page
from .reading import answer, table, text


@pytest.fixture(scope="module")
def sounder() -> str:
    return page(of_text(DINGHY), "circuits/C21.md")


def test_the_answer_names_fuse_place_and_spare_before_anything_else(sounder: str) -> None:
    found = answer(sounder)

    assert found["Fuse"] == "3 A blade fuse, way 1 of Panel, labelled SOUNDER"
    assert found["Where"] == "Cuddy: on the bulkhead, behind the flap; way 1, 1st column, 1st from the top"
    assert found["Spare"] == "4 in Cuddy: box under the thwart"
    assert sounder.index('class="lb-answer"') < sounder.index("\n## ")


def test_a_hidden_fuse_in_the_line_is_named_with_its_place(sounder: str) -> None:
    found = answer(sounder)

    assert (
        found["Fuse in the line too"]
        == "1 A glass fuse, Sounder tail fuse F9, HIDDEN; Cuddy: behind the lining, cut the tie"
    )
    assert found["Its spare"] == "none written down"


def test_everyday_names_are_on_the_page_and_among_its_tags(sounder: str) -> None:
    tags = next(page.tags for page in of_text(DINGHY).pages if page.path == "circuits/C21.md")

    assert "Also called: echo sounder, fish finder." in text(sounder)
    assert {"C21", "Depth sounder", "echo sounder", "fish finder"} <= set(tags)


def test_the_way_out_runs_from_the_battery_to_the_device_with_falling_volts(sounder: str) -> None:
    rows = table(sounder, "The way out").rows
    points = [row[0].split(" ◀")[0] for row in rows]
    volts = [float(row[1]) for row in rows]

    assert points == [
        "Battery G1, positive", "Main fuse F1, load side", "Main switch Q1, load side", "Panel X4", "way 1 of Panel",
        "Sounder tail fuse F9, load side", "Depth sounder C21, positive",
    ]  # fmt: skip
    assert volts == sorted(volts, reverse=True)


def test_measuring_starts_in_the_middle_where_a_hand_can_reach(sounder: str) -> None:
    rows = table(sounder, "The way out").rows
    starts = {row[0].split(" ◀ ")[1]: row[0].split(" ◀ ")[0] for row in rows if "◀" in row[0]}

    assert starts == {
        "start here if its neighbours are dead too": "Main switch Q1, load side",
        "start here if nothing else is dead": "way 1 of Panel",
    }


def test_what_else_is_dead_tells_the_stretch(sounder: str) -> None:
    rows = table(sounder, "From the device").rows

    assert rows[0][0] == "nothing else"
    assert rows[0][1] == "the cable of Depth sounder C21, Sounder tail fuse F9, way 1 of Panel"
    assert rows[1][0] == "Cabin light, Anchor light, Bilge pump"
    assert "Main switch Q1" in rows[1][1]


def test_two_lamps_on_one_way_die_together() -> None:
    rows = table(page(of_text(DINGHY), "circuits/C22.md"), "From the device").rows

    assert [row[0] for row in rows] == ["nothing else", "Anchor light", "also Depth sounder, Bilge pump"]


def test_a_cable_of_unknown_length_gives_no_drop_and_says_why() -> None:
    body = text(page(of_text(DINGHY), "circuits/C23.md"))

    assert "cannot check: length or area of C23 not known" in body
    assert "within the limit" not in body


def test_every_consumer_of_the_demo_answers_with_a_fuse_its_rating_and_a_place() -> None:
    manual, book = of_vessel("demo"), book_of("demo")
    silent = []
    for consumer in book.network.consumers.values():
        found = answer(page(manual, f"circuits/{consumer.id}.md"))
        own = route(book, consumer).own
        if own:
            named = found[own[-1].word]
            good = str(own[-1].rating) in named and own[-1].kind_words in named and found["Where"] and found["Spare"]
        else:
            good = "none of its own" in found["Fuse"]
        if not good or found["The device itself"] == "":
            silent.append(consumer.id)

    assert silent == []


def test_the_tapped_instrument_is_said_to_have_no_fuse_of_its_own() -> None:
    body = page(of_vessel("demo"), "circuits/C68.md")

    assert answer(body)["Fuse"] == "none of its own: nothing near it protects this wire"
    assert "Danger" in text(body)


def test_the_hidden_fuse_of_the_demo_is_on_its_sounders_page() -> None:
    assert "HIDDEN" in answer(page(of_vessel("demo"), "circuits/C41.md"))["Fuse in the line too"]


def test_levels_take_down_more_and_more() -> None:
    book = book_of("demo")
    for consumer in book.network.consumers.values():
        path = route(book, consumer).path
        found = levels(book, path) if path else []

        assert all(set(level.nearer) < set(level.lost) or not i for i, level in enumerate(found))
        assert all(consumer.id in level.lost for level in found)


def test_volts_with_the_device_at_work_are_never_above_the_average_ones() -> None:
    book = book_of("demo")
    for consumer in book.network.consumers.values():
        found = route(book, consumer)
        if found.flow and found.path:
            last = Way(book, found.path, found.flow).out()[-1]
            average = found.flow.across(last.node, last.black)

            assert last.volts is None or average is None or last.volts <= average + 1e-9


def test_a_page_of_each_consumer_stays_light() -> None:
    heavy = [
        p.path for p in of_vessel("demo").pages if p.path.startswith("circuits/") and len(p.body.encode()) > 50_000
    ]

    assert heavy == []
