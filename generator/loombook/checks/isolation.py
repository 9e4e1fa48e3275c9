"""Rules I: whether the boat can be made dead, quickly, and what stays live when she is."""

from __future__ import annotations

from collections.abc import Iterator

from ..inventory.devices import Switch
from .bms import by_hand
from .model import Outcome, finding, not_applicable, passed, unknown
from .names import counted, listed
from .survey import Survey


def every_source(survey: Survey) -> Iterator[Outcome]:
    """Every source can be isolated.

    What
        For each battery without a BMS a switch or breaker parts it from all that is not meant to stay on (with a BMS:
        B-08). Every other source can be stopped, unplugged or switched off before it reaches a bar that others share.

    Why
        What cannot be opened goes on feeding the fire after everything else is off.

    Failing example
        solar arrays:
          G6: {name: Solar panels, open circuit: 22 V, short circuit: 6 A, power: 100 W, at: "cockpit, on the arch"}
        solar controllers:
          T5: {name: Solar controller, current: 10 A, absorption: 14.0 V, float: 13.5 V, at: "locker, left"}
        fuses:
          F9: {name: Solar fuse, kind: class T, rating: 20 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          array: [G6 +, W90: "6 mm², 8 m", T5 pv +]
          array negative: [G6 -, W91: "6 mm², 8 m", T5 pv -]
          controller: [X1, F9, W92: "6 mm², 1 m", T5 +]
          controller negative: [T5 -, W93: "6 mm², 1 m", X2]

    Passing example
        runs:
          main switch: [X3, W3: "50 mm², 1.2 m", Q1, W13: "50 mm², 1.1 m", X1]

    Source
        UK boat safety scheme, 3.5 (seen secondary); 46 CFR 120.380(i) (seen).

    Clears
        An isolator, or a stop that is recorded (`stop`), fitted by somebody qualified.
    """
    network, names = survey.network, survey.names
    for battery in survey.inventory.batteries.values():
        if battery.bms is None:
            yield from by_hand(survey, battery)
    stubborn = {network.edges[id].item for id in survey.study.ship.unstoppable}
    for edge in network.sources():
        if edge.kind in ("alternator", "generator", "solar array", "shore"):
            if edge.item in stubborn:
                what = f"no switch, plug or stop parts {names.the(edge.item)} from the bars that others share"
                yield finding("A", edge.item, what, "no isolator")
            else:
                yield passed(edge.item, f"{names.the(edge.item)} can be stopped or switched off")


def reachable(survey: Survey) -> Iterator[Outcome]:
    """Isolators are reached without tools, keys or moving stowage.

    What
        `access` of each isolating switch and of each breaker that stands alone.

    Why
        In smoke there is time for one movement of the hand.

    Failing example
        switches:
          Q1: {name: Main switch, rating: 300 A, voltage: 48 V, access: stowage, at: "cabin, under the berth"}

    Passing example
        switches:
          Q1: {name: Main switch, rating: 300 A, voltage: 48 V, access: open, at: "cabin, at the steps"}

    Source
        UK boat safety scheme, 3.5 (seen secondary; check your own copy).

    Clears
        The switch moved, or the stowage kept clear; a remote one operated from an open place.
    """
    names, inventory = survey.names, survey.inventory
    needed = {h.id for h in survey.study.ship.handles}
    switches = {id: s for id, s in inventory.switches.items() if s.kind in ("isolator", "remote") or id in needed}
    for id, device in {**switches, **inventory.breakers}.items():
        called, between = names.the(id), BETWEEN.get(device.access or "")
        if getattr(device, "control", None):
            yield passed(id, f"{called} is operated from {device.control}")
        elif device.access is None and id in switches:
            yield unknown(
                id, f"nothing says what stands between a hand and {called}", "access", "whether it is reached in time"
            )
        elif between:
            grade = "A" if id in needed else "B"
            yield finding(
                grade, id, f"{called} is reached only {between}", device.access, place=names.place_of(id, "access")
            )
        elif device.access:
            yield passed(id, f"{called} is within reach: {device.access}")


BETWEEN = {
    "tool": "with a tool",
    "key": "with a key",
    "stowage": "by moving stowage",
    "hidden": "by who knows where it hides",
}
"""What `access` says, for a sentence."""


def not_in_battery_space(survey: Survey) -> Iterator[Outcome]:
    """The main isolator is not inside the battery's space.

    What
        The space of each switch of the ship's isolation against the spaces of the batteries.

    Why
        When the battery is what burns, nobody opens its locker to reach the switch.

    Failing example
        switches:
          Q1: {name: Main switch, rating: 300 A, voltage: 48 V, access: open, at: "locker, on the bulkhead"}

    Passing example
        switches:
          Q1: {name: Main switch, rating: 300 A, voltage: 48 V, access: open, at: "cabin, at the steps"}

    Source
        ABYC E-13 on remote disconnection (seen secondary); fire research on cell venting (from memory).

    Clears
        The switch, or the control of a remote one, moved out of the space by somebody qualified.
    """
    inventory, names = survey.inventory, survey.names
    homes = {b.at.space: b.id for b in inventory.batteries.values() if b.at and b.at.space}
    for handle in survey.study.ship.handles:
        if handle.kind != "switch":
            continue
        called, space = names.the(handle.id), handle.at.space if handle.at else None
        if inventory.switches[handle.id].control:
            yield passed(handle.id, f"{called} is operated from {inventory.switches[handle.id].control}")
        elif space is None:
            yield unknown(
                handle.id, f"in which space {called} is, is not recorded", "at", "whether it is beside the battery"
            )
        elif space in homes:
            what = f"{called} is in {inventory.spaces[space].title}, the space of {names.the(homes[space])}"
            yield finding(
                "B",
                handle.id,
                what,
                "in the battery's space",
                place=names.place_of(handle.id, "at"),
                items=(handle.id, homes[space]),
            )
        else:
            yield passed(handle.id, f"{called} is outside the batteries' spaces")


def few_actions(survey: Survey) -> Iterator[Outcome]:
    """The boat is dead after a few actions.

    What
        Counts the actions of the computed isolation of the whole ship: four fast ones are the target, ten the most.

    Why
        One person in the dark does four things right, and not eleven.

    Failing example
        switches:
          Q1: {name: Main switch, rating: 300 A, voltage: 48 V, access: tool, at: "cabin, at the steps"}

    Passing example
        switches:
          Q1: {name: Main switch, rating: 300 A, voltage: 48 V, access: open, at: "cabin, at the steps"}

    Source
        Target of ours after guidance on writing emergency procedures (from memory).

    Clears
        One switch before the bar, in place of many behind it; planned by somebody qualified.
    """
    handles = survey.study.ship.handles
    if not handles:
        yield not_applicable(survey.ship, "nothing that a hand can open")
        return
    fast, most = survey.limit("fast_actions").value, survey.limit("most_actions").value
    fuses = [h.id for h in handles if h.kind == "fuse"]
    what = f"making the whole ship dead takes {counted(len(handles), 'action')}: {listed([h.name for h in handles], 4)}"
    what += (
        f"; {listed(fuses)} is a fuse to pull"
        if len(fuses) == 1
        else f"; {listed(fuses)} are fuses to pull"
        if fuses
        else ""
    )
    here = f"{len(handles)} against {fast:g}"
    items = (survey.ship, *(h.id for h in handles))
    if len(handles) > most:
        yield finding("B", survey.ship, what, here, items=items)
    elif len(handles) > fast or fuses:
        yield finding("C", survey.ship, what, here, items=items)
    else:
        yield passed(survey.ship, what, here, items=items)


def at_the_helm(survey: Survey) -> Iterator[Outcome]:
    """Electric propulsion is switched off from the steering position.

    What
        A vessel with a drive motor has a switch marked `propulsion`, placed or controlled at the helm.

    Why
        A person in the water, a line round the shaft: the propeller must stop now, from where one steers.

    Failing example
        motors:
          M1: {name: Drive, kind: drive, load: 60 A, at: "engine, aft"}
        fuses:
          F9: {name: Drive fuse, kind: class T, rating: 100 A, voltage: 125 V, breaking: 20 kA at 125 V}
        runs:
          drive: [X1, F9, W90: "50 mm², 2 m", M1 +]
          drive negative: [M1 -, W91: "50 mm², 2 m", X2]

    Passing example
        motors:
          M1: {name: Drive, kind: drive, load: 60 A, at: "engine, aft"}
        fuses:
          F9: {name: Drive fuse, kind: class T, rating: 100 A, voltage: 125 V, breaking: 20 kA at 125 V}
        switches:
          Q9: {name: Propulsion switch, propulsion: yes, rating: 150 A, voltage: 48 V, at: "cockpit, beside the helm"}
        runs:
          drive: [X1, F9, W90: "50 mm², 2 m", Q9, W92: "50 mm², 0.5 m", M1 +]
          drive negative: [M1 -, W91: "50 mm², 2 m", X2]

    Source
        UK boat safety scheme, 4.5 (seen secondary; check your own copy).

    Clears
        An isolator, or the control of a remote one, at the steering position, fitted by somebody qualified.
    """
    names, inventory = survey.names, survey.inventory
    for id, motor in inventory.motors.items():
        if motor.kind != "drive":
            continue
        switches = [s for s in inventory.switches.values() if s.propulsion]
        here = [s for s in switches if _is_at_helm(survey, s)]
        if here:
            yield passed(id, f"{names.the(id)} is switched off at the helm by {names.name(here[0].id)}")
        elif switches and all(s.at is None and not s.control for s in switches):
            yield unknown(
                id,
                f"where {names.name(switches[0].id)} is, is not recorded",
                "at",
                "whether the helm can stop the propeller",
            )
        else:
            what = f"no propulsion switch at the steering position stops {names.the(id)}"
            yield finding(
                "A",
                id,
                what + (f"; {names.name(switches[0].id)} is at {names.where(switches[0].id)}" if switches else ""),
                "not at the helm",
            )


def _is_at_helm(survey: Survey, switch: Switch) -> bool:
    words = f"{survey.names.where(switch.id)} {switch.at.space if switch.at else ''} {switch.control or ''}".casefold()
    return any(word in words for word in ("helm", "steering", "wheel", "tiller", "cockpit"))
