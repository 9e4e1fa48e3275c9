"""The fault finder's data, said as statements about boats: one answer everywhere, volts that can be measured, advice for every part."""

from __future__ import annotations

import json
from functools import cache

import pytest

from loombook.manual.find import find_data
from loombook.manual.find.advice import ADVICE, SIGNS, kind_of
from loombook.manual.find.parts import part_of
from loombook.manual.find.readings import TOLERANCE, is_hand_safe, readings, steps_on_paper
from loombook.manual.find.said import said
from loombook.manual.routes import route
from loombook.network.explain import explain
from loombook.network.live import all_primary, state
from loombook.network.loops import Loop, loop_of, loops_of
from loombook.network.model import CONDUCTS, SOURCES
from loombook.network.suspects import suspects_of

from .boats import AS_OF, DINGHY, VESSELS, Book, book_of, hostile, of_text, page, read_text, worked
from .reading import answer


@cache
def book(text: str = DINGHY) -> Book:
    return Book(*worked(read_text(text)), AS_OF)


@cache
def data(name: str) -> dict:
    """As it goes into the page."""
    found = find_data(book() if name == "dinghy" else book_of(name))
    return json.loads(json.dumps(found, ensure_ascii=False))


def thing(found: dict, id: str) -> dict:
    return next(thing for thing in found["things"] if thing["id"] == id)


def loop(found: Book, consumer: str) -> Loop:
    return loop_of(found.network, route(found, found.network.consumers[consumer]).path, found.hidden_nodes)


def test_a_devices_answer_in_the_look_up_is_the_one_on_its_page():
    for id in book().network.consumers:
        own = answer(page(of_text(DINGHY), f"circuits/{id}.md"))
        told = dict(thing(data("dinghy"), id)["answer"])

        assert own == {term: told[term] for term in own}


def test_a_fuse_says_what_else_is_dead_without_it():
    assert ["If this fuse is gone", "also dead: Anchor light"] in thing(data("dinghy"), "C22")["answer"]
    assert ["If this fuse is gone", "dead: Cabin light, Anchor light"] in thing(data("dinghy"), "X4 way 2")["answer"]


def test_a_wire_is_found_by_its_number_and_its_colour():
    wire = thing(data("dinghy"), "W2")

    assert "W2" in wire["find"] and "red wire" in wire["more"]
    assert ["To", "Main switch Q1, feed side"] in wire["answer"]


def test_a_battery_a_switch_and_a_bar_say_who_dies_with_them():
    everybody = "dead: Depth sounder, Cabin light, Anchor light, Bilge pump"

    assert [everybody] * 3 == [dict(thing(data("dinghy"), id)["answer"])["Without it"] for id in ("G1", "Q1", "X2")]


@pytest.mark.parametrize("name", ["dinghy", *VESSELS])
def test_every_part_says_what_dies_with_it_or_that_nothing_does(name):
    """Fuse, breaker, switch, bar, joint, battery, converter, cable."""
    network = (book() if name == "dinghy" else book_of(name)).network
    parts = {edge.item for edge in network.edges.values() if edge.kind != "load"} | {
        e.path[-1] for e in network.edges.values() if e.path[:1] == ("runs",)
    }
    silent = [
        found["id"] for found in data(name)["things"]
        if found["id"] in parts and "consumer" not in found and not {"Without it", "If this fuse is gone", "If this breaker is gone", "Feeds"} & {term for term, _ in found["answer"]}
    ]  # fmt: skip

    assert [] == silent


def test_a_converter_says_who_dies_with_it():
    assert "Depth sounder" in dict(thing(data("demo"), "T3")["answer"])["Without it"]


def test_a_spare_is_found_by_its_rating():
    spare = next(thing for thing in data("dinghy")["things"] if thing["name"] == "Spare 3 A blade fuse")

    assert [["How many", "4"], ["Where", "Cuddy: box under the thwart"]] == spare["answer"]


@pytest.mark.parametrize("name", ["dinghy", *VESSELS])
def test_everything_that_has_an_id_can_be_looked_up(name):
    inventory = (book() if name == "dinghy" else book_of(name)).inventory
    found = {thing["id"] for thing in data(name)["things"]}

    assert {item.id for item in inventory.items() if item.family != "circuits" or not item.loads} <= found


@pytest.mark.parametrize("name", ["dinghy", *VESSELS])
def test_every_number_in_the_data_points_at_something(name):
    found = data(name)
    parts, points, loops, consumers = (len(found[key]) for key in ("parts", "points", "loops", "consumers"))
    for row in found["loops"]:
        assert max(row["points"]) < points and max([*row["parts"], row["sourcePart"]]) < parts
        assert len(row["parts"]) + 1 == len(row["points"]) == len(row.get("volts", row["points"]))
        assert 1 <= row["turn"] < len(row["points"])
    for row in found["states"]:
        assert consumers == len(row["loops"]) and max(row["loops"]) < loops
        assert all(int(part) < parts and number < loops for part, number in row["feeds"].items())
        for suspect in row["suspects"]:
            assert max([*suspect["parts"], *suspect.get("also", [])]) < parts and max(suspect["lost"]) < consumers


@pytest.mark.parametrize("name", ["dinghy", *VESSELS])
def test_there_is_advice_for_every_part_that_can_fail(name):
    found = data(name)

    assert {part["kind"] for part in found["parts"]} <= set(found["advice"])


def test_every_kind_of_edge_has_advice():
    network = book_of("everything").network
    kinds = {edge.kind: kind_of(edge, network.nodes[edge.a].pole) for edge in network.edges.values()}

    assert set(kinds.values()) <= set(ADVICE)
    assert (
        {"fuse", "breaker", "switch", "conductor", "joint", "load", "battery"}
        <= set(kinds)
        <= {*CONDUCTS, *SOURCES, "load", "input"}
    )


def test_no_advice_ever_offers_a_larger_fuse():
    words = [sentence for advice in ADVICE.values() for sentence in (advice.look, advice.attempt, advice.stop)]

    assert "Never fit a larger fuse" in ADVICE["fuse"].stop
    assert [] == [w for w in words if "larger" in w and "Never" not in w]


def test_a_dc_device_reads_falling_volts_on_the_way_out_and_next_to_nothing_on_the_way_back():
    found = book()
    circuit = loop(found, "C21")
    measured = readings(found, circuit, route(found, found.network.consumers["C21"]).flow)
    out, back = measured.volts[: circuit.turn], measured.volts[circuit.turn :]

    assert sorted(out, reverse=True) == list(out) and sorted(back, reverse=True) == list(back)
    assert 12 < out[0] < 13.5 and out[0] - out[-1] < TOLERANCE * 12
    assert 0 == back[-1] and back[0] < TOLERANCE * 12


@pytest.mark.parametrize("name", ["dinghy", "launch", "demo"])
def test_volts_on_a_loop_are_those_on_the_devices_page(name):
    """Both come from the same load flow, with the device itself at full work."""
    from loombook.manual.routes import Way

    found = book() if name == "dinghy" else book_of(name)
    compared = 0
    for consumer in found.network.consumers.values():
        way = route(found, consumer)
        if way.path is None or way.flow is None:
            continue
        circuit = loop(found, consumer.id)
        if not is_hand_safe(found, circuit):
            continue
        mine = dict(zip(circuit.points, readings(found, circuit, way.flow).volts))
        for point in Way(found, way.path, way.flow).back():
            if point.node in mine and point.volts is not None:
                compared += 1

                assert mine[point.node] == pytest.approx(point.volts, abs=0.011), (consumer.id, point.node)

    assert compared > 3


def test_without_a_load_flow_the_volts_are_nominal_less_the_drop():
    found = book()
    measured = readings(found, loop(found, "C21"), None)

    assert ("", 12.0, 12.0) == (measured.condition, measured.nominal, measured.volts[0])
    assert 11.8 < measured.volts[measured.loop.turn - 1] < 12.0


def test_mains_is_never_measured():
    found = book_of("demo")
    core = state(found.network, found.network.conditions["in harbour"])
    loops = loops_of(core, all_primary(found.network))

    assert not is_hand_safe(found, loops["C91"])
    assert [] == [row for row in data("demo")["loops"] if row.get("mains") and "volts" in row]
    assert "Find the fault with a meter" not in page_of_demo("C91")
    assert "Find the fault with a meter" in page_of_demo("C41")


def page_of_demo(id: str) -> str:
    from .boats import of_vessel

    return page(of_vessel("demo"), f"circuits/{id}.md")


def test_solar_panels_in_series_are_never_measured_by_a_crew():
    found = book_of("demo")
    core = state(found.network)
    controller = loops_of(core, all_primary(found.network))["T1"]

    assert not is_hand_safe(found, controller)


def test_the_search_on_paper_begins_at_the_source_and_each_step_leads_on_or_ends():
    found = book()
    measured = readings(found, loop(found, "C21"), route(found, found.network.consumers["C21"]).flow)
    steps = [(said(step.do), said(step.see)) for step in steps_on_paper(found, measured)]

    assert "Black lead to Battery G1, negative, red lead to Battery G1, positive" == steps[0][0]
    numbers = sorted(
        int(word.strip("."))
        for _, see in steps
        for word in see.split("go to ")[1:]
        for word in [word.split(".")[0].split(" ")[0]]
    )
    assert list(range(2, len(steps) + 1)) == numbers
    assert any("it is here: 3 A blade fuse, way 1 of Panel" in see for _, see in steps)


def test_a_hidden_fuse_says_that_it_is_hidden():
    part = part_of(book(), "F9")

    assert part.hidden and "HIDDEN" in part.name and "behind the lining" in part.place


def test_what_no_source_feeds_in_a_way_of_using_the_boat_is_named():
    found = data("demo")
    sockets = thing(found, "C91")["consumer"]

    assert sockets in found["states"][0]["unfed"]
    assert any(sockets not in row["unfed"] for row in found["states"])


def test_ways_of_using_the_boat_that_are_alike_are_one():
    text = DINGHY + "conditions: {day: {hours: 10 h}, night: {hours: 10 h}}\n"

    assert ["day, night"] == [row["name"] for row in find_data(book(text))["states"]]


def test_a_device_without_fuse_load_or_place_is_in_it_all_the_same():
    text = DINGHY.replace("spares:", '  C25: {name: Clock, from: X4, back to: X2, cable: "1 mm², 3 m"}\nspares:')
    clock = next(t for t in find_data(book(text))["things"] if t["id"] == "C25")

    assert "none of its own: nothing near it protects this wire" == dict(clock["answer"])["Fuse"]
    assert "place not written down" == dict(clock["answer"])["The device itself"]


def test_a_device_that_nothing_feeds_is_in_it_all_the_same():
    text = DINGHY.replace("bars:\n", "bars:\n  X9: {name: Loose bar}\n").replace(
        "spares:", "  C25: {name: Clock, from: X9, back to: X2, load: 1 W}\nspares:"
    )
    found = find_data(book(text))
    clock = next(t for t in found["things"] if t["id"] == "C25")

    assert "no way from any source to this device is written down" == dict(clock["answer"])["Fuse"]
    assert -1 == found["states"][0]["loops"][clock["consumer"]]


def test_harmful_names_are_only_names():
    found = find_data(book(hostile()))

    assert any("<script>" in thing["name"] for thing in found["things"])
    json.dumps(found, ensure_ascii=False)


@pytest.mark.parametrize(
    "dead, working, first",
    [
        (
            ["P12", "B12", "B13"],
            ["B11", "P11"],
            {"B12 cable +", "B12 cable -"},
        ),  # the tap from which the rest of the chain hangs
        (
            ["B13"],
            ["B11", "P11", "B12", "P12"],
            {"B13 cable +", "B13 cable -", "B13 load"},
        ),  # the last device, or its own plug
        (
            ["B11", "P11", "B12", "P12", "B13"],
            ["C41"],
            {"X5 way 4", "C44 cable +", "C44 cable -", "B11 cable +", "B11 cable -"},
        ),  # the backbone
    ],
)
def test_the_power_taps_of_the_data_network_are_told_apart(dead, working, first):
    found = suspects_of(state(book_of("demo").network), all_primary(book_of("demo").network))
    best, *_ = explain(found, dead, working)

    assert (1, first) == (best.faults, set(found[best.suspects[0]].edges))


def test_each_sign_says_what_where_and_what_to_measure():
    assert [] == [row for row in SIGNS if not all(row)]
