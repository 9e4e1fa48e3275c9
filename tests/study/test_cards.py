"""What the emergency cards say, as statements about the demo, the launch, and small boats made for the purpose."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from loombook.inventory import read_inventory, read_text
from loombook.inventory.planned import planned
from loombook.network import build
from loombook.network.isolate import MOST_HANDLES
from loombook.study.cards import Card, Cards, cards
from loombook.study.cards.words import VERBS, lasting

from ..network.boats import TWO_STRINGS

AS_OF = datetime.date(2026, 5, 10)
ROOT = Path(__file__).parent.parent.parent
SALTERN = read_inventory(ROOT / "vessel")


@pytest.fixture(scope="module")
def demo() -> Cards:
    return cards(build(read_inventory(ROOT / "vessel")), AS_OF)


@pytest.fixture(scope="module")
def launch() -> Cards:
    return cards(build(read_inventory(ROOT / "tests/vessels/launch")), AS_OF)


@pytest.fixture(scope="module")
def everything() -> Cards:
    return cards(build(read_inventory(ROOT / "tests/vessels/everything")), AS_OF)


@pytest.fixture(scope="module")
def minimal() -> Cards:
    return cards(build(read_inventory(ROOT / "tests/vessels/minimal")), AS_OF)


def of(text: str) -> Cards:
    return cards(build(read_text(text)), AS_OF)


def doing(card: Card) -> list[str]:
    return [step.do for step in card.steps]


# every card


def test_every_step_begins_with_a_verb(demo, launch, everything, minimal):
    steps = [
        step.do
        for made in (demo, launch, everything, minimal)
        for card in made
        for step in (*card.steps, *card.restore, *card.keep_off)
    ]

    assert [] == [do for do in steps if not do.startswith(tuple(f"{verb} " for verb in VERBS))]


def test_no_card_opens_a_handle_twice(demo, launch, everything, minimal):
    cards = [card for made in (demo, launch, everything, minimal) for card in made]

    assert [] == [(card.name, card.handles) for card in cards if len(card.handles) > len(set(card.handles))]


def test_every_step_is_one_action(demo, launch, everything, minimal):
    """One handle a step; only the many ways of one panel, told as every or so many of them, are moved together."""
    steps = [step for made in (demo, launch, everything, minimal) for card in made for step in card.steps]

    assert [] == [
        step.do
        for step in steps
        if len(step.handles) > 1 and not any(word in step.do for word in ("breakers", "breaker in", "fuses", "fuse in"))
    ]
    assert [] == [step.do for step in steps if "; " in step.do or " then " in step.do]


def test_every_handle_has_a_place_or_says_that_it_has_none(demo, launch, everything, minimal):
    steps = [
        step for made in (demo, launch, everything, minimal) for card in made for step in card.steps if step.handles
    ]

    assert [] == [step.do for step in steps if not step.where]


def test_a_number_on_the_plan_leads_to_the_handle_and_never_to_the_thing_behind_it(demo, everything):
    """The button that opens the house bank hangs far from the bank; the engine is stopped at the helm."""
    buttons = [
        s for made in (demo, everything) for card in made for s in card.steps if s.do.startswith("Press the control")
    ]
    stop = next(s for s in demo.fast.steps if s.do == "Stop the engine")

    assert buttons
    assert [] == [s for s in buttons if s.number]
    assert "18, 40" == next(n for n in planned(SALTERN).values() if n.number == stop.number).at.plan


def test_every_card_for_the_whole_boat_says_what_stays_live(demo, launch, everything, minimal):
    """The dark ship's is said in words, and a part of the boat may well be dead."""
    cards = [c for made in (demo, launch, everything, minimal) for c in made]

    assert [] == [c.name for c in cards if not c.live and c.kind not in ("system", "space", "dark ship")]


def test_what_still_works_has_hours_unless_nothing_draws(demo, launch, everything, minimal):
    pools = [pool for made in (demo, launch, everything, minimal) for card in made for pool in card.pools]

    assert [] == [pool for pool in pools if pool.hours is None and pool.power > 0]


def test_the_demos_fast_handles_say_what_one_then_sees_or_hears(demo):
    assert [] == [
        step.do for step in demo.fast.steps if step.handles and step.handles[0].startswith("Q") and not step.see
    ]


def test_a_variant_has_seven_steps_at_most_where_the_boat_allows_it(demo, launch):
    long = [(card.name, len(card.steps)) for made in (demo, launch) for card in made.variants if len(card.steps) > 7]

    assert [] == long


def test_every_card_says_which_boat_and_revision_it_is_of(demo):
    assert [] == [card.name for card in demo if not any("Saltern at revision 14" in words for words in card.cautions)]
    assert {"14"} == {card.revision for card in demo}


def test_every_card_defers_to_local_rules_and_training(demo, minimal):
    assert [] == [
        card.name
        for made in (demo, minimal)
        for card in made
        if not any("Local rules" in words for words in card.cautions)
    ]


def test_cards_for_work_on_the_wiring_ask_for_a_qualified_person(demo):
    working = [demo.orderly, *demo.systems, *demo.spaces]

    assert [] == [card.name for card in working if not any("qualified" in words for words in card.cautions)]


def test_names_of_the_cards_are_told_apart(demo, everything):
    for made in (demo, everything):
        names = [card.name for card in made]

        assert sorted(names) == sorted(set(names))


# fast


def test_the_fast_card_of_the_demo_takes_four_actions(demo):
    assert ["Q1", "Q9", "Q3", "X8"] == list(demo.fast.handles)
    assert demo.fast.actions <= MOST_HANDLES


def test_people_come_before_things(demo, launch):
    for made in (demo, launch):
        assert made.fast.steps[0].do == "Shout FIRE"
        assert made.fast.steps[-1].do == "Call MAYDAY"


def test_what_turns_is_stopped_first_and_the_helm_decides(demo, launch):
    assert ["Stop the engine"] == [s.do for s in demo.fast.steps if s.helm]
    assert ["Stop Drive motor", "Turn OFF Drive master switch"] == [s.do for s in launch.fast.steps if s.helm]
    assert demo.fast.steps[1].helm and launch.fast.steps[1].helm


def test_the_shore_lead_is_pulled_at_the_shore_end_first(demo):
    step = next(s for s in demo.fast.steps if "X8" in s.handles)

    assert "shore end first" in step.do
    assert step.where.startswith("Pontoon, then ")


def test_the_call_for_help_says_who_calls(demo, launch):
    assert "Say: Saltern, MMSI 000000000 (invented), where you are" in demo.fast.steps[-1].where
    assert "Say: Quiet Heron, where you are" in launch.fast.steps[-1].where


def test_the_call_for_help_names_the_radio_that_still_works(demo, launch):
    assert "VHF radio still works" in demo.fast.steps[-1].where
    assert "the boat's own radio is dead" in launch.fast.steps[-1].where


def test_a_drive_that_runs_on_is_said_to_stay_live(launch):
    assert any("While the drive runs on, these stay live too: Drive motor." == words for words in launch.fast.checks)


def test_a_boat_with_ten_handles_is_not_short(everything):
    assert everything.fast.actions > MOST_HANDLES
    assert 8 == everything.fast.actions


def test_a_boat_without_a_handle_says_so():
    card = of(
        TWO_STRINGS.replace("Q1: {name", "Q1: {access: tool, name")
        .replace("Q3: {name", "Q3: {access: tool, name")
        .replace(', ways: {1: "10 A", 2: "5 A"}', ', access: tool, ways: {1: "10 A", 2: "5 A"}')
    ).fast

    assert () == card.handles
    assert card.checks[0].startswith("No handle on this boat")


def test_a_paralleling_switch_that_would_bring_it_back_must_be_found_off():
    assert ["Check that Emergency paralleling switch is OFF"] == [s.do for s in of(TWO_STRINGS).fast.keep_off]


def test_many_ways_of_one_panel_are_one_step():
    ways = ", ".join(f'{n}: "5 A"' for n in range(1, 8))
    loads = "".join(
        f'\n  C{n}: {{name: Lamp {n}, from: X4 way {n}, cable: "1.5 mm², 5 m", load: 10 W}}' for n in range(3, 8)
    )
    text = TWO_STRINGS.replace(
        'X4: {name: Main panel, negative: X2, ways: {1: "10 A", 2: "5 A"}}',
        f"X4: {{name: Main panel, kind: thermal, negative: X2, ways: {{{ways}}}}}",
    )
    card = of(text.replace("Q1: {name", "Q1: {access: tool, name") + loads.lstrip("\n") + "\n").fast

    assert "Switch OFF every breaker in Main panel" in doing(card)


# still live


def test_the_demos_battery_side_stays_live_up_to_the_main_switch(demo):
    first = demo.fast.live[0]

    assert ("House battery A", "House battery B", "Battery bar, 24 V") == first.what[:3]
    assert ("House main switch",) == first.upto
    assert "always" == first.when


def test_solar_cables_stay_live_in_daylight(demo):
    assert [("up to 74 V DC", ("Solar panels",))] == [
        (g.system, g.why) for g in demo.fast.live if g.when == "in daylight"
    ]


def test_a_charged_inverter_holds_the_bar_for_its_time(demo):
    assert ["for up to 3 min"] == [g.when for g in demo.fast.live if "Positive bar, 24 V" in g.what]


def test_a_propeller_turned_by_the_water_keeps_its_drive_live(launch):
    assert ["while the water turns the propeller, and for up to 5 min after"] == [
        g.when for g in launch.fast.live if "Drive motor" in g.what
    ]


def test_a_neutral_is_told_with_its_line(everything):
    assert [] == [g.system for g in everything.fast.live if "neutral" in g.system]


def test_a_thing_without_a_place_says_so(minimal, demo):
    assert minimal.fast.live[0].placeless
    assert not demo.fast.live[1].placeless


# still working


def test_the_start_battery_carries_the_demos_radio_for_nineteen_hours(demo):
    """95 Ah at 24 V, half of it, over what radio, AIS, receiver, alarm, converter and engine pump take.

    (5.5·0.1 + 0.5·0.9 + 0.7 + 0.3 + 0.2) A · 12 V / 0.9 + 1.5 W + 3.5·0.33 A · 24 V = 58.6 W; 1140 Wh / 58.6 W = 19.5 h
    """
    pool = next(p for p in demo.fast.pools if p.batteries == ("G3",))

    assert 58.6 == round(pool.power, 1)
    assert 19.5 == round(pool.hours, 1)


def test_essentials_that_are_lost_are_told_plainly(demo):
    assert {"Tricolour light", "Compass light", "Bilge pump, lazarette"} <= {w.name for w in demo.fast.lost}


def test_one_of_several_loads_is_essential_with_its_circuit(demo):
    assert {"Bow lights", "Stern light"} <= {w.name for w in demo.fast.lost}


def test_hours_are_rounded_down():
    assert "9.9 h" == lasting(9.99)


def test_what_the_sun_alone_would_run_does_not_count_as_working():
    sun = """
solar arrays: {G6: {name: Panels, open circuit: 40 V, short circuit: 6 A, power: 180 W}}
solar controllers: {T1: {name: Controller, current: 10 A}}
"""
    text = (TWO_STRINGS + sun).replace(
        "runs:",
        'runs:\n  p: [G6 +, W30: "6 mm², 3 m", T1 pv +]\n  pm: [G6 -, W31: "6 mm², 3 m", T1 pv -]\n'
        '  out: [T1 +, W32: "6 mm², 1 m", X4]\n  outm: [T1 -, W33: "6 mm², 1 m", X2]',
        1,
    )
    fast = of(text).fast

    assert ("G6",) == fast.unstoppable
    assert () == fast.working
    assert ["in daylight"] == [g.when for g in fast.live if "Main panel" in g.what]


# orderly


def test_the_engine_stops_before_any_battery_switch(demo):
    order = demo.orderly.handles

    assert order.index("G4") < min(order.index("Q1"), order.index("Q3"))


def test_panels_without_a_switch_are_covered(demo):
    step = next(s for s in demo.orderly.steps if "G6" in s.stops)

    assert step.do.startswith("Cover Solar panels")


def test_the_drive_is_stopped_and_its_propeller_locked_before_its_switch(launch):
    steps = doing(launch.orderly)

    assert (
        steps.index("Stop Drive motor")
        < steps.index("Lock the propeller of Drive motor")
        < steps.index("Turn OFF Drive master switch")
    )


def test_one_waits_for_the_longest_charge(demo, launch):
    assert "Wait 3 min" in doing(demo.orderly)
    assert "Wait 5 min" in doing(launch.orderly)


def test_an_unknown_wait_is_the_makers(everything):
    text = TWO_STRINGS + "inverters: {T9: {name: Inverter, power: 800 VA}}\n"
    card = of(
        text.replace("runs:", 'runs:\n  i: [X4, W40: "25 mm², 1 m", T9 +]\n  im: [T9 -, W41: "25 mm², 1 m", X2]', 1)
    ).orderly

    assert "Wait as long as the makers say" in doing(card)
    assert [None] == [w.seconds for w in card.waits]


def test_the_meter_is_proved_before_and_after(demo):
    steps = doing(demo.orderly)

    assert (
        steps.index("Prove the meter on something live")
        < steps.index("Test every point of the list")
        < steps.index("Prove the meter again")
    )


def test_every_part_that_was_parted_has_a_test_point(demo):
    assert {"X7 L", "X4", "X16", "X5"} <= {p.a for p in demo.orderly.points}
    assert ("X4", "X9") in {(p.a, p.b) for p in demo.orderly.points}


def test_the_way_back_is_the_way_out_turned_round(demo):
    out, back = [h for s in demo.orderly.steps for h in s.handles], [h for s in demo.orderly.restore for h in s.handles]

    assert out == back[::-1]
    assert demo.orderly.restore[0].do == "Turn ON Start battery switch"


def test_a_controller_that_pre_charges_is_given_its_time(launch):
    step = next(s for s in launch.orderly.restore if "Q1" in s.handles)

    assert "pre-charged" in step.see


# partial


def test_one_space_is_taken_out_without_the_rest_of_the_boat(demo):
    card = demo.by_name["forepeak"]

    assert ("X4 way 30", "X4 way 34") == card.handles
    assert () == card.lost


def test_where_an_alternator_turns_the_engine_is_stopped_first(demo):
    assert demo.by_name["engine"].steps[0].do.startswith("Stop the engine")


def test_each_system_has_a_card(demo, launch):
    assert ["12 V DC", "230 V AC", "24 V DC"] == [card.name for card in demo.systems]
    assert ["12 V DC", "230 V AC", "48 V DC"] == [card.name for card in launch.systems]


# variants


def test_a_boat_has_the_variants_that_make_sense_aboard(demo, launch, minimal):
    assert ["fire", "shock", "battery", "flooding", "abandoning", "dark ship", "swimmer", "lightning"] == [
        c.kind for c in demo.variants
    ]
    assert "swimmer" in {c.kind for c in launch.variants}
    assert ["fire", "battery", "flooding", "abandoning", "lightning"] == [c.kind for c in minimal.variants]


def test_what_still_burns_is_opened_with_what_it_costs(demo):
    steps = {s.handles[0]: s for s in demo.by_name["fire"].steps if s.handles}

    assert "VHF radio" in steps["Q11"].see
    assert "Bilge pump, main" in steps["G1"].see


def test_for_a_shock_the_mains_go_first_and_the_inverter_too(demo):
    assert ("X8", "Q5") == demo.by_name["shock"].handles


def test_nobody_is_sent_into_a_battery_space(demo):
    """No handle of the battery card stands in a space with a battery in it."""
    card = demo.by_name["battery"]

    assert [] == [s.where for s in card.steps if s.handles and s.where.startswith(("Battery locker", "Engine space"))]


def test_water_reaches_the_lowest_first(demo):
    wet = demo.by_name["flooding"].wet

    assert ["Bilge pump, main", "Bilge pump, engine space"] == [w.name for w in wet[:2]]
    assert [w.height for w in wet] == sorted(w.height for w in wet)


def test_what_keeps_her_afloat_is_not_told_to_stay_on_and_then_switched_off(demo):
    """The lowest bank goes last, after the call for help, and says what it takes down."""
    steps = demo.by_name["flooding"].steps
    pumps, last = steps[0], steps[-1]

    assert "Call MAYDAY" == steps[-2].do
    assert last.do.startswith("Turn OFF House main switch before water is 0.45 m deep")
    assert "Then these stop too: Tricolour light" in last.see
    assert pumps.do == "Check that the pumps run, and leave them ON"
    assert "Bilge pump, lazarette" in pumps.where


def test_in_the_water_the_danger_is_told_before_the_first_step(demo, launch):
    for made in (demo, launch):
        assert "Nobody stands in water" in made.by_name["flooding"].first


def test_a_thunderstorm_is_sat_out_with_what_the_orderly_card_leaves(demo):
    storm = demo.by_name["lightning"]

    assert [w.id for w in demo.orderly.works] == [w.id for w in storm.works]
    assert [g.what for g in demo.orderly.live] == [g.what for g in storm.live]


def test_a_height_taken_from_the_floor_of_its_space_says_so(demo):
    rows = {w.name: w for w in demo.by_name["flooding"].wet}

    assert rows["House main switch"].exact
    assert not rows["Mains change-over switch"].exact


def test_what_has_no_height_is_told(demo):
    assert "Aft panel switch" in demo.by_name["flooding"].dry_unknown


def test_the_dark_ship_card_brings_the_navigation_lights_back(demo):
    opened = demo.by_name["dark ship"].opened[0]

    assert ("G1", "G2") == opened.batteries
    assert {"Tricolour light", "Compass light"} <= {w.name for w in opened.back}
    assert (("Q1", "off"), ("Q5", "off"), ("Q4", "on"), ("Q9", "2")) == opened.positions


def test_on_a_dark_ship_light_comes_before_the_battery_is_cured(demo):
    """Six moves for a frightened reader; the reset, and the switches put back, stand under the way back."""
    card = demo.by_name["dark ship"]
    back = [step.handles[0] for step in card.restore if step.handles]

    assert 6 == len(card.steps)
    assert "Read the alarm of the battery" == card.restore[0].do
    assert "Do one reset of the battery, once the cause is gone" == card.restore[1].do
    assert ["Q9", "Q4", "Q5", "Q1"] == back == [id for id, _ in reversed(card.opened[0].positions)]
    assert "Turn OFF Emergency parallel switch" == card.restore[3].do


def test_where_no_switch_brings_light_the_reset_is_what_is_left_to_do(launch):
    card = launch.by_name["dark ship"]

    assert () == card.opened[0].positions == card.restore
    assert card.steps[-1].do.startswith("Do one reset")


def test_without_an_emergency_condition_the_switches_are_searched_for():
    """The paralleling switch brings the cabin light back from the start battery."""
    text = TWO_STRINGS.replace("bank: house", "bms: {series: 8}, bank: house").replace(
        "load: 10 W,", "load: 10 W, essential: yes,"
    )
    opened = of(text).by_name["dark ship"].opened[0]

    assert (("Q5", "on"),) == opened.positions
    assert ["C1"] == [w.id for w in opened.back]


def test_near_a_propeller_everything_that_turns_one_is_stopped(demo, launch):
    assert ("G4", "Q7") == demo.by_name["swimmer"].handles
    assert ["Q1"] == list(launch.by_name["swimmer"].handles)
    assert "Lock the propeller of Drive motor" in doing(launch.by_name["swimmer"])


# prints and drills


def test_a_print_of_an_older_revision_is_to_be_printed_again(demo):
    assert [("fast", "13")] == [(p.card, p.revision) for p in demo.stale]


def test_the_last_drill_is_counted_from_the_day_of_the_build(demo):
    last = demo.fast.tried[0]

    assert (15, 52, "Mirre Tarn") == (last.days, last.seconds, last.by)


def test_a_drill_in_the_future_does_not_count():
    text = (
        TWO_STRINGS
        + "drills: [{card: fast, date: 2026-05-11, seconds: 40}, {card: fast, date: 2026-05-09, seconds: 50}]\n"
    )

    assert [50] == [t.seconds for t in of(text).fast.tried]


def test_cards_of_the_same_boat_are_the_same(demo):
    again = cards(build(read_inventory(ROOT / "vessel")), AS_OF)

    assert demo == again
