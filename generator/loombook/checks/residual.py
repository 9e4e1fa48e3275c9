"""Rules I, what isolation leaves: what stays live, what still works, what stands behind one door."""

from __future__ import annotations

from collections.abc import Iterator

from .model import Outcome, finding, not_applicable, passed
from .names import counted, listed
from .survey import Survey


def residual_live(survey: Survey) -> Iterator[Outcome]:
    """What stays live after isolation is known, and hangs in print.

    What
        Counts the conductors that are still live when the whole ship is isolated, and asks for a printed card on
        record under `prints`, which lists them.

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
    cards = [
        p for p in survey.inventory.prints if any(word in p.card.casefold() for word in ("fast", "isolat", "emergency"))
    ]
    what = (
        f"with the ship isolated {counted(len(ids), 'cable')} {'stays' if len(ids) == 1 else 'stay'} live: "
        f"{listed(ids)}"
    )
    if not ids:
        yield passed(survey.ship, "with the ship isolated nothing stays live")
    elif not cards:
        yield finding(
            "B",
            survey.ship,
            f"{what}; no printed card that lists them is on record",
            f"{len(ids)} live, no card",
            items=(survey.ship, *ids),
        )
    else:
        yield passed(
            survey.ship, f"{what}; the card `{cards[0].card}` lists them", f"{len(ids)} live", items=(survey.ship, *ids)
        )


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
          C4: {name: Pump, from: X3, back to: X2, cable: [F5, "4 mm², 3 m"], load: 4 A, essential: yes, stays on: yes}

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
        what = (
            f"isolating the whole ship stops {len(stopped)} of {len(rows)} essential consumers: "
            f"{survey.names.names(stopped)}"
        )
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
          X9: {name: Mains panel, ac: yes, kind: C, at: "cabin, port side", ways: {1: 16 A}}
        runs:
          shore: [X8, W11: "2.5 mm², 1 m, 3-core", F51, W12: "2.5 mm², 3 m, 3-core", X9]

    Passing example
        panels:
          X9: {name: Mains panel, label: DANGER 230 V, ac: yes, kind: C, at: "cabin, port side", ways: {1: 16 A}}
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
        what = f"the space {record.title} holds {listed(names)} ({listed([p.id for p in panels])})"
        if f"{top:g} V" in signs or f"{top:g}V" in signs:
            yield passed(space, f"{what}, and a sign says so", items=ids)
        else:
            yield finding(
                "B", space, f"{what}; no sign that names {top:g} V is on record", f"{len(systems)} systems", items=ids
            )
