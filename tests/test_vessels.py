"""The demo vessel and the three small ones hold what they are there to show."""

import datetime
from pathlib import Path

import pytest

from loombook.inventory import read_inventory
from loombook.inventory.devices import BREAKER_KINDS, FUSE_KINDS, SWITCH_KINDS
from loombook.inventory.fields import JOINTS
from loombook.inventory.records import ITEM_FAMILIES, LIST_FAMILIES, NAMED_FAMILIES, attribute
from loombook.inventory.sources import CHEMISTRIES
from loombook.network import build
from loombook.network.isolate import Isolator
from loombook.network.live import alive, sources_on, state

ROOT = Path(__file__).parent.parent
VESSELS = {
    "demo": ROOT / "vessel",
    "minimal": ROOT / "tests" / "vessels" / "minimal",
    "launch": ROOT / "tests" / "vessels" / "launch",
    "everything": ROOT / "tests" / "vessels" / "everything",
}
AS_OF = datetime.date(2026, 6, 1)


@pytest.fixture(scope="module")
def demo():
    return read_inventory(VESSELS["demo"])


@pytest.fixture(scope="module")
def network(demo):
    return build(demo)


@pytest.fixture(scope="module")
def launch():
    return read_inventory(VESSELS["launch"])


@pytest.fixture(scope="module")
def everything():
    return read_inventory(VESSELS["everything"])


def consumers(inventory):
    """Every consumer's record: motors, circuits of one load, and the loads of the others."""
    for circuit in inventory.circuits.values():
        yield from circuit.loads.items() or [(circuit.id, circuit)]
    yield from inventory.motors.items()


@pytest.mark.parametrize("name", VESSELS)
def test_each_vessel_can_be_read_and_wired(name):
    network = build(read_inventory(VESSELS[name]))

    assert network.consumers


@pytest.mark.parametrize("name", VESSELS)
def test_each_vessel_says_that_it_is_invented(name):
    assert read_inventory(VESSELS[name]).vessel.invented


# the demo


def test_the_demo_has_about_eighty_final_circuits_on_four_panels(demo):
    assert 75 <= len(demo.circuits) <= 90
    assert ["X4", "X5", "X6", "X7"] == sorted(demo.panels)


def test_the_demo_has_24_12_and_230_volts(network):
    systems = {node.system for node in network.nodes.values()}

    assert {"24 V DC", "12 V DC", "230 V AC"} <= systems


def test_the_demo_is_a_yacht_of_11_to_13_m_with_a_history(demo):
    assert 11 <= demo.vessel.length.value <= 13
    assert len(demo.vessel.history) >= 3


def test_every_consumer_has_an_everyday_name(demo):
    nameless = [id for id, record in consumers(demo) if not record.also_called]

    assert [] == nameless


def test_the_depth_sounder_is_found_as_echo_sounder(demo):
    assert "echo sounder" in demo.circuits["C41"].also_called


def test_every_consumer_has_a_place_in_words(demo):
    lost = [id for id, record in consumers(demo) if not (record.at and record.at.space and record.at.place)]

    assert [] == lost


def test_every_isolator_says_what_one_sees_and_where_it_stands_on_the_plan(demo):
    blind = [s.id for s in demo.switches.values() if s.kind == "isolator" and not (s.see and s.at and s.at.place)]

    assert [] == blind
    assert demo.switches["Q1"].at.plan


def test_two_lithium_strings_share_a_bank_each_with_its_own_class_t_fuse_and_bms(demo):
    strings = [b for b in demo.batteries.values() if b.bank == "House bank"]
    fuses = [demo.runs[f"house battery {s.name[-1]} positive"].path[2].reference for s in strings]

    assert ["lfp", "lfp"] == [s.chemistry for s in strings]
    assert [8, 8] == [s.bms.series for s in strings]
    assert ["F1", "F2"] == fuses
    assert ["class T", "class T"] == [demo.fuses[fuse].kind for fuse in fuses]


def test_a_lead_acid_start_battery_can_be_paralleled_in_an_emergency(demo):
    assert "start" == demo.batteries["G3"].duty
    assert "agm lead-acid" == demo.batteries["G3"].chemistry
    assert ("paralleling", "off") == (demo.switches["Q4"].kind, demo.switches["Q4"].normal)


def test_alternator_and_sun_meet_on_one_bar(demo):
    assert ("X3", "G4 +") == ends(demo.runs["house alternator positive"])
    assert ("X3", "T1 +") == ends(demo.runs["solar to charge bar"])


def ends(run):
    return run.path[0].reference, run.path[-1].reference


def test_the_heavy_motors_hang_on_long_runs(demo):
    def length(*runs):
        return sum(s.cable.length.value for name in runs for s in demo.runs[name].path if s.cable)

    assert length("windlass positive", "windlass negative") > 15
    assert length("thruster positive", "thruster negative") > 10


def test_the_bilge_pumps_work_with_the_main_switch_off(network):
    for state_of in ({"Q1": "off"}, {"Q1": "off", "Q3": "off"}):
        working = alive(state(network, state_of), sources_on(network, "at sea by night")).consumers

        assert {"C65", "C66", "C69"} <= working


def test_the_radio_lives_when_the_house_bank_is_gone(network):
    core = state(network, opened=["G1 bms", "G2 bms"])
    working = alive(core, sources_on(network, "at sea by night")).consumers

    assert {"C60", "C61", "C62", "C63"} <= working
    assert "C42" not in working


def test_in_the_emergency_condition_everything_essential_works(demo, network):
    core = state(network, demo.conditions["emergency"].switches)
    working = alive(core, sources_on(network, "emergency")).consumers
    essential = {id for circuit in demo.circuits.values() if circuit.essential for id in circuit.loads or [circuit.id]}

    assert essential <= working


def test_four_handles_make_the_demo_dead_but_for_the_sun(network):
    isolation = Isolator(network).ship()

    assert ["Q1", "Q3", "Q9", "X8"] == [handle.id for handle in isolation.handles]
    assert ("G6",) == isolation.unstoppable


def test_the_mains_panel_is_fed_from_shore_or_from_the_inverter(demo, network):
    for condition, source in (("in harbour", "X8"), ("at anchor", "T5")):
        core = state(network, demo.conditions[condition].switches)

        assert (source,) == alive(core, sources_on(network, condition)).supplied_by["C92"]


def test_the_six_operating_conditions_name_what_runs(demo):
    assert ["at sea by day", "at sea by night", "motoring", "at anchor", "in harbour", "emergency"] == list(
        demo.conditions
    )
    assert 24 == sum(c.hours.value for c in demo.conditions.values() if c.hours) / 3600
    assert [] == [id for id, c in demo.circuits.items() if c.duty is None]


def test_the_in_line_fuse_of_the_depth_sounder_is_hidden_behind_the_lining(demo):
    assert demo.fuses["F30"].hidden
    assert "F30" in [step.item for step in demo.circuits["C41"].cable]


def test_the_negative_goes_through_a_metering_shunt(network):
    assert {"B1"} == {edge.item for edge in network.edges.values() if edge.kind == "shunt"}
    assert {"-"} == {network.nodes[node].pole for node in ("B1 1", "B1 2")}


def test_the_data_network_feeds_its_instruments_in_a_chain(demo):
    backbone = demo.circuits["C44"]

    assert backbone.network and "chain" == backbone.layout
    assert ["B11", "P11", "B12", "P12", "B13"] == list(backbone.loads)


def test_one_waiver_holds_and_one_has_run_out(demo):
    assert [True, False] == [waiver.until >= AS_OF for waiver in demo.waivers]


def test_the_demo_has_the_flaws_that_boats_have(demo):
    """Each flaw is one fact of the records; the checks find them from there."""
    c = demo.circuits

    assert "X2" == c["C68"].source and not any(step.item for step in c["C68"].cable), (
        "an instrument off a stud, no fuse"
    )
    assert "G2 +" == demo.runs["always-live feed"].path[0].reference
    assert 2000 == demo.fuses["F6"].breaking.current.value, "a fuse that cannot break the bank"
    assert {"C60"} == {test.item for test in demo.tests if test.passed is False}, "a 3 % circuit at about 6 %"
    assert c["C35"].cable[0].cable.length is None and c["C34"].cable[0].cable.area is None, (
        "unknown length, unknown area"
    )
    assert "estimated" == c["C80"].cable[0].cable.length.how
    assert "soldered" == demo.junctions["X30"].joint, "an old soldered joint"
    assert demo.solar_arrays["G6"].stop is None, "a source that no hand can stop"
    assert area(demo, "W53") < area(demo, "W51"), "a negative smaller than its positive"
    assert 16 == demo.switches["Q31"].voltage.value < 8 * 3.65, "a 16 V part at 29.2 V"
    assert 25 == demo.panels["X4"].ways["24"].rating.value and 1 == c["C24"].cable[0].cable.area.value, (
        "an over-fused thin wire"
    )
    assert 8 == c["C19"].cable[0].cable.bundle and "engine" in c["C19"].cable[0].cable.spaces, (
        "a bundle in the hot engine space"
    )
    assert demo.bars["X17"].cover is False, "an always-live stud without a cover"
    assert demo.spaces["cockpit-locker"].temperature is None, "a space with missing data"
    assert {"switchboard"} == {demo.panels[p].at.space for p in ("X4", "X5", "X7")}, "three voltages behind one door"


def area(inventory, cable):
    return next(s.cable.area.value for run in inventory.runs.values() for s in run.path if s.id == cable)


def test_one_device_has_a_curve_of_the_owners(demo):
    assert [demo.breakers["F4"].kind] == list(demo.curves)


# the small ones


def test_the_minimal_vessel_takes_fifteen_lines_at_most():
    text = (VESSELS["minimal"] / "vessel.yaml").read_text("utf-8")

    assert len([line for line in text.splitlines() if line.strip()]) <= 15


def test_the_launch_stands_above_50_volts_while_it_charges(launch):
    bank = launch.batteries["G1"]

    assert 16 == bank.cells.series == bank.bms.series
    assert launch.chargers["T2"].absorption.value > 50


def test_the_launch_can_be_stopped_at_the_helm(launch):
    drive = launch.switches["Q1"]

    assert drive.propulsion and "helm" == drive.at.space


def test_the_launch_has_measured_speeds_and_regenerates(launch):
    motor = launch.motors["M1"]

    assert motor.regenerates
    assert [3, 4, 5, 6] == [point.speed.value for point in motor.speed_points]


def test_the_launchs_pump_works_after_the_fast_actions(launch):
    isolation = Isolator(build(launch)).ship()

    assert ("C1",) == isolation.working


def test_everything_holds_every_family(everything):
    families = [*ITEM_FAMILIES, *NAMED_FAMILIES, *LIST_FAMILIES]

    assert [] == [family for family in families if not getattr(everything, attribute(family))]


def test_everything_holds_every_kind_of_device(everything):
    panels = [*everything.panels.values()]
    ways = [way.kind for panel in panels for way in panel.ways.values() if way.kind]
    fuses = {fuse.kind for fuse in everything.fuses.values()} | {panel.kind for panel in panels} | set(ways)

    assert set(FUSE_KINDS) <= fuses
    assert set(BREAKER_KINDS) == {breaker.kind for breaker in everything.breakers.values()}
    assert set(SWITCH_KINDS) == {switch.kind for switch in everything.switches.values()}
    assert set(CHEMISTRIES) == {battery.chemistry for battery in everything.batteries.values()}
    assert {"soldered", "screwed", "plug"} <= {j.joint for j in everything.junctions.values()} <= set(JOINTS)


def test_everything_holds_names_that_a_careless_page_trips_over(everything):
    written = everything.texts["everything/vessel.yaml"]
    awkward = ("<script>", "<b>&", "|", "`", "{{", "#", "مضخة", "航海灯", "太阳能板")

    assert [] == [text for text in awkward if text not in written]


def test_everything_stays_small():
    assert len((VESSELS["everything"] / "vessel.yaml").read_text("utf-8").splitlines()) <= 160
