"""Rules I: whether the boat can be made dead, quickly, and what stays live when she is."""

from __future__ import annotations

from collections.abc import Iterator

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
          F9: {name: Solar fuse, kind: class T, rating: 20 A, voltage: 125 V, breaking: 20 kA at 125 V, at: "locker, on the bar"}
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
    for id, battery in survey.inventory.batteries.items():
        if battery.bms is None:
            yield from by_hand(survey, battery)
    stubborn = {network.edges[id].item for id in survey.study.ship.unstoppable}
    for edge in network.sources():
        if edge.kind in ("alternator", "solar array", "shore"):
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
          Q1: {name: Main switch, label: MAIN, rating: 300 A, voltage: 48 V, access: stowage, at: "cabin, under the berth"}

    Passing example
        switches:
          Q1: {name: Main switch, label: MAIN, rating: 300 A, voltage: 48 V, access: open, at: "cabin, at the steps"}

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
            yield unknown(id, f"nothing says what stands between a hand and {called}", "access", "whether it is reached in time")
        elif between:
            grade = "A" if id in needed else "B"
            yield finding(grade, id, f"{called} is reached only {between}", device.access, place=names.place_of(id, "access"))
        elif device.access:
            yield passed(id, f"{called} is within reach: {device.access}")


BETWEEN = {"tool": "with a tool", "key": "with a key", "stowage": "by moving stowage", "hidden": "by who knows where it hides"}
"""What `access` says, for a sentence."""


def residual_live(survey: Survey) -> Iterator[Outcome]:
    """What stays live after isolation is known, and hangs in print.

    What
        Counts the conductors that are still live when the whole ship is isolated, and asks for a printed card on record
        under `prints`, which lists them.

    Why
        Who believes a boat dead that is not gets hurt. The list is of use only where it hangs.

    Failing example
        vessel:
          revision: "1"
        prints:
          - {card: spares list, at: "cabin, inside the door", revision: "1"}

    Passing example
        vessel:
          revision: "1"
        prints:
          - {card: fast, at: "cabin, inside the door", revision: "1"}

    Source
        UK boat safety scheme (seen secondary); practice for solar installations (from memory; check your own copy).

    Clears
        The isolation card printed, hung up, and recorded under `prints`.
    """
    live, network = survey.study.ship.live, survey.network
    hot = [e for e in network.edges.values() if e.kind == "conductor" and e.a in live and survey.is_hot(e)]
    ids = list(dict.fromkeys(survey.names.cable_id(e) for e in hot))
    cards = [p for p in survey.inventory.prints if any(word in p.card.casefold() for word in ("fast", "isolat", "emergency"))]
    what = f"with the ship isolated {counted(len(ids), 'cable')} {'stays' if len(ids) == 1 else 'stay'} live: {listed(ids)}"
    if not ids:
        yield passed(survey.ship, "with the ship isolated nothing stays live")
    elif not cards:
        yield finding("B", survey.ship, f"{what}; no printed card that lists them is on record", f"{len(ids)} live, no card", items=(survey.ship, *ids))
    else:
        yield passed(survey.ship, f"{what}; the card `{cards[0].card}` lists them", f"{len(ids)} live", items=(survey.ship, *ids))


def not_in_battery_space(survey: Survey) -> Iterator[Outcome]:
    """The main isolator is not inside the battery's space.

    What
        The space of each switch of the ship's isolation against the spaces of the batteries.

    Why
        When the battery is what burns, nobody opens its locker to reach the switch.

    Failing example
        switches:
          Q1: {name: Main switch, label: MAIN, rating: 300 A, voltage: 48 V, access: open, at: "locker, on the bulkhead"}

    Passing example
        switches:
          Q1: {name: Main switch, label: MAIN, rating: 300 A, voltage: 48 V, access: open, at: "cabin, at the steps"}

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
            yield unknown(handle.id, f"in which space {called} is, is not recorded", "at", "whether it is beside the battery")
        elif space in homes:
            what = f"{called} is in {inventory.spaces[space].title}, the space of {names.the(homes[space])}"
            yield finding("B", handle.id, what, "in the battery's space", place=names.place_of(handle.id, "at"), items=(handle.id, homes[space]))
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
          Q1: {name: Main switch, label: MAIN, rating: 300 A, voltage: 48 V, access: tool, at: "cabin, at the steps"}

    Passing example
        switches:
          Q1: {name: Main switch, label: MAIN, rating: 300 A, voltage: 48 V, access: open, at: "cabin, at the steps"}

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
    what += f"; {listed(fuses)} is a fuse to pull" if len(fuses) == 1 else f"; {listed(fuses)} are fuses to pull" if fuses else ""
    here = f"{len(handles)} against {fast:g}"
    items = (survey.ship, *(h.id for h in handles))
    if len(handles) > most:
        yield finding("B", survey.ship, what, here, items=items)
    elif len(handles) > fast or fuses:
        yield finding("C", survey.ship, what, here, items=items)
    else:
        yield passed(survey.ship, what, here, items=items)


def keeps_essential(survey: Survey) -> Iterator[Outcome]:
    """The fast isolation leaves the essential consumers working.

    What
        Consumers marked `essential` that stop when the whole ship is isolated.

    Why
        The fire is the moment for the radio. A crew that knows it will lose the radio calls first.

    Failing example
        circuits:
          C2: {name: VHF radio, from: X4 way 2, cable: "4 mm², 2 m", load: 5 A, use: radio, essential: yes}

    Passing example
        circuits:
          C4: {name: Bilge pump, from: X3, back to: X2, cable: [F5, "4 mm², 3 m"], load: 4 A, essential: yes, stays on: yes}

    Source
        UK boat safety scheme (seen secondary); 46 CFR 183.310 on emergency loads (seen).

    Clears
        A supply for them that stays on, with its own fuse (P-13); or the loss accepted, and a hand-held radio carried.
    """
    rows = [c for c in survey.essential() if survey.is_dc(c)]
    working = set(survey.study.ship.working)
    stopped = [c.id for c in rows if c.id not in working]
    if not rows:
        yield not_applicable(survey.ship, "no consumer is marked as essential")
    elif stopped:
        grade = "A" if any(survey.use(c) in ("radio", "bilge pump") for c in rows if c.id in stopped) else "B"
        what = f"isolating the whole ship stops {len(stopped)} of {len(rows)} essential consumers: {survey.names.names(stopped)}"
        yield finding(grade, survey.ship, what, f"{len(stopped)} of {len(rows)}", items=(survey.ship, *stopped))
    else:
        yield passed(survey.ship, f"isolating the whole ship leaves all {len(rows)} essential consumers working")


def one_box(survey: Survey) -> Iterator[Outcome]:
    """Where several voltages stand in one box, a sign says so.

    What
        Panels of different systems in the same space. The `label` of the space, or of one of the panels, must name the
        highest voltage there.

    Why
        Whoever opens the door for a 12 V fuse does not expect mains behind it.

    Failing example
        panels:
          X9: {name: Mains panel, ac: yes, kind: C, at: "cabin, port side", ways: {1: "16 A, SOCKETS"}}
        runs:
          shore: [X8, W11: "2.5 mm², 1 m, 3-core", F51, W12: "2.5 mm², 3 m, 3-core", X9]

    Passing example
        panels:
          X9: {name: Mains panel, label: DANGER 230 V, ac: yes, kind: C, at: "cabin, port side", ways: {1: "16 A, SOCKETS"}}
        runs:
          shore: [X8, W11: "2.5 mm², 1 m, 3-core", F51, W12: "2.5 mm², 3 m, 3-core", X9]

    Source
        Flag-state code on small commercial vessels, 16.10 (seen secondary; check your own copy).

    Clears
        A sign on the door that names every voltage behind it, and covers over the higher ones.
    """
    nodes, spaces = survey.network.nodes, {}
    for id, panel in survey.inventory.panels.items():
        bus = nodes[f"{id} L" if panel.ac else id]
        if panel.at and panel.at.space and bus.volts:
            spaces.setdefault(panel.at.space, {}).setdefault(bus.system, []).append((bus.volts, panel))
    for space, systems in spaces.items():
        if len(systems) < 2:
            continue
        record = survey.inventory.spaces[space]
        panels = [panel for rows in systems.values() for _, panel in rows]
        top = max(v for rows in systems.values() for v, _ in rows)
        signs = " ".join(item.label or "" for item in (record, *panels))
        ids = (space, *(p.id for p in panels))
        names = [s for s, _ in sorted(((s, rows[0][0]) for s, rows in systems.items()), key=lambda row: row[1])]
        what = f"{record.title} holds {listed(names)} ({listed([p.id for p in panels])})"
        if f"{top:g} V" in signs or f"{top:g}V" in signs:
            yield passed(space, f"{what}, and a sign says so", items=ids)
        else:
            yield finding("B", space, f"{what}; no sign that names {top:g} V is on record", f"{len(systems)} systems", items=ids)


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
            yield unknown(id, f"where {names.name(switches[0].id)} is, is not recorded", "at", "whether the helm can stop the propeller")
        else:
            what = f"no propulsion switch at the steering position stops {names.the(id)}"
            yield finding("A", id, what + (f"; {names.name(switches[0].id)} is at {names.where(switches[0].id)}" if switches else ""), "not at the helm")


def _is_at_helm(survey: Survey, switch) -> bool:
    words = f"{survey.names.where(switch.id)} {switch.at.space if switch.at else ''} {switch.control or ''}".casefold()
    return any(word in words for word in ("helm", "steering", "wheel", "tiller", "cockpit"))
