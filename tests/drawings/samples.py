"""Drawings of an invented 24 V yacht, for the tests and the contact sheet."""

from __future__ import annotations

from loombook.drawings.model import (
    Branch,
    Cable,
    Dot,
    DrawingSet,
    Element,
    Form,
    Front,
    Node,
    OneLine,
    Plan,
    Reference,
    Space,
    State,
    Stop,
    Strip,
    TitleBlock,
    Way,
)

BLOCK = TitleBlock("Sailing yacht Tern", "C", "2031-04-02", "Invented vessel")


def device(kind: str, id: str, *lines: str, state: State = State.NORMAL) -> Element:
    """A device with a link."""
    return Element(kind, id, lines, href=f"item:{id}", state=state)


def cable(id: str, *lines: str, state: State = State.NORMAL) -> Cable:
    """A cable with a link."""
    return Cable(id, lines, href=f"item:{id}", state=state)


def bar(id: str, *lines: str, **more: object) -> Node:
    """A bar with a link."""
    return Node(id, lines, href=f"item:{id}", **more)


def to_panel(id: str, what: str) -> Reference:
    """A reference to a panel's sheet."""
    return Reference(id, (f"Panel {id}", what), href=f"item:{id}")


def ship() -> OneLine:
    """Two lithium strings, a start bank with its paralleling switch, four sources, two converters, four panels."""
    nodes = (
        bar("X10", "lithium bank positive", "max 9.8 kA"),
        bar("X1", "24 V positive bar", "max 8.9 kA"),
        bar("X2", "start bar 24 V", "max 2.6 kA"),
        bar("X30", "shore 230 V bar"),
        bar("X5", "12 V bar", "max 240 A"),
        bar("Q9", "inverter / shore", form=Form.CHANGEOVER),
        bar("X31", "230 V consumer bar"),
    )
    branches = (
        Branch(
            "string A",
            device("battery", "G1", "lithium string A", "8S, 280 Ah"),
            "X10",
            (cable("W1", "70 mm²", "0.35 m"), device("bms", "A1", "300 A"), device("fuse", "F1", "250 A class T")),
        ),
        Branch(
            "string B",
            device("battery", "G2", "lithium string B", "8S, 280 Ah"),
            "X10",
            (cable("W2", "70 mm²", "0.35 m"), device("bms", "A2", "300 A"), device("fuse", "F2", "250 A class T")),
        ),
        Branch(
            "house main",
            "X10",
            "X1",
            (
                device("isolator", "Q1", "house main"),
                device("shunt", "R1", "500 A 50 mV"),
                cable("W3", "95 mm²", "0.9 m"),
            ),
        ),
        Branch(
            "start bank",
            device("battery", "G3", "start bank", "2 × 12 V 100 Ah"),
            "X2",
            (cable("W4", "50 mm²", "0.6 m"), device("fuse", "F3", "200 A"), device("isolator", "Q2", "start main")),
        ),
        Branch(
            "alternator",
            device("alternator", "G4", "engine alternator", "28 V 110 A"),
            "X2",
            (cable("W5", "35 mm²", "2.4 m"),),
        ),
        Branch(
            "solar",
            device("solar", "G5", "solar array", "2 × 360 W"),
            "X1",
            (
                device("isolator", "Q5"),
                device("converter", "T5", "solar controller"),
                device("fuse", "F5", "40 A"),
                cable("W6", "16 mm²", "3.1 m"),
            ),
        ),
        Branch("paralleling", "X1", "X2", (device("paralleling", "Q3", "emergency paralleling"),), tie=True),
        Branch(
            "shore",
            device("shore", "X90", "shore inlet", "230 V 16 A"),
            "X30",
            (cable("W7", "3 × 2.5 mm²", "4 m"), device("rcd", "Q30", "16 A 30 mA")),
        ),
        Branch(
            "charger",
            "X30",
            "X1",
            (
                device("breaker", "Q31", "10 A"),
                device("charger", "T1", "charger 24 V 60 A"),
                device("fuse", "F6", "80 A"),
            ),
        ),
        Branch("shore to change-over", "X30", "Q9", (device("breaker", "Q32", "16 A"),)),
        Branch(
            "inverter",
            "X1",
            "Q9",
            (
                device("fuse", "F10", "150 A"),
                cable("W10", "50 mm²", "1.2 m"),
                device("inverter", "T2", "inverter 2 kVA"),
            ),
        ),
        Branch("consumers", "Q9", "X31", (cable("W11", "2.5 mm²", "2 m"),)),
        Branch("converter 1", "X1", "X5", (device("fuse", "F11", "40 A"), device("converter", "T3", "24/12 V 30 A"))),
        Branch("converter 2", "X1", "X5", (device("fuse", "F12", "40 A"), device("converter", "T4", "24/12 V 30 A"))),
        Branch(
            "windlass",
            "X1",
            device("motor", "M1", "windlass", "1500 W"),
            (device("breaker", "Q7", "100 A"), cable("W20", "70 mm²", "11.5 m"), device("contactor", "K1")),
        ),
        Branch(
            "thruster",
            "X1",
            device("motor", "M2", "bow thruster", "4 kW"),
            (device("fuse", "F14", "250 A"), cable("W21", "95 mm²", "10.8 m"), device("contactor", "K2")),
        ),
        Branch(
            "panel 1",
            "X1",
            to_panel("P1", "navigation"),
            (device("fuse", "F15", "60 A"), cable("W22", "16 mm²", "4.1 m")),
        ),
        Branch(
            "panel 2",
            "X1",
            to_panel("P2", "engine room"),
            (device("fuse", "F16", "60 A"), cable("W23", "16 mm²", "2.1 m")),
        ),
        Branch(
            "panel 3",
            "X5",
            to_panel("P3", "12 V electronics"),
            (device("fuse", "F17", "40 A"), cable("W24", "10 mm²", "3.1 m")),
        ),
        Branch("panel 4", "X31", to_panel("P4", "230 V sockets"), (cable("W25", "2.5 mm²", "3.1 m"),)),
        Branch(
            "water heater",
            "X31",
            device("heater", "E9", "water heater", "1200 W"),
            (device("breaker", "Q40", "10 A"), cable("W26", "1.5 mm²", "5 m")),
        ),
    )
    return OneLine(
        "ship",
        "Single-line diagram of the ship",
        nodes,
        branches,
        "Sources, banks, bars, converters and panels with their main devices and cables.",
    )


CONSUMERS = (
    ("electronics", "Depth sounder"),
    ("electronics", "Wind instruments"),
    ("electronics", "VHF radio"),
    ("electronics", "Chart plotter"),
    ("motor", "Autopilot"),
    ("lamp", "Navigation lights"),
    ("lamp", "Anchor light"),
    ("lamp", "Masthead light"),
    ("electronics", "Radar"),
    ("electronics", "AIS"),
    ("lamp", "Compass light"),
    ("lamp", "Saloon lights port"),
    ("lamp", "Saloon lights starboard"),
    ("lamp", "Galley lights"),
    ("pump", "Fresh-water pump"),
    ("motor", "Fridge"),
    ("heater", "Heater"),
    ("pump", "Shower pump"),
    ("pump", "Toilet pump"),
    ("electronics", "Entertainment"),
    ("socket", "USB sockets"),
    ("pump", "Bilge pump automatic"),
    ("electronics", "Gas alarm"),
    ("horn", "Horn"),
)


def panel(id: str, what: str, feeders: int) -> OneLine:
    """A panel's single-line sheet."""
    bus = f"X{id[1:]}0"
    branches = [
        Branch(
            "feed",
            Reference(id, ("main bar", what), href="item:X1"),
            bus,
            (device("isolator", f"Q{id[1:]}8", "panel main"),),
        )
    ]
    for way in range(feeders):
        kind, name = CONSUMERS[way % len(CONSUMERS)]
        mark = f"{id[1:]}{way + 1:02}"
        branches.append(
            Branch(
                f"way {way + 1}",
                bus,
                device(kind, f"E{mark}", name, f"{way % 7 + 1} A"),
                (
                    device("breaker" if way % 3 else "fuse", f"F{mark}", f"{(5, 10, 15)[way % 3]} A"),
                    cable(f"W{mark}", "1.5 mm²", f"{way + 2}.{way % 10} m"),
                ),
            )
        )
    return OneLine(
        f"panel.{id}",
        f"Panel {id}, {what}: single-line diagram",
        (bar(bus, f"{what} panel bar", "max 1.9 kA", ordered=True),),
        tuple(branches),
        "The panel's feeders in their order.",
    )


def both_poles() -> OneLine:
    """A system sheet with both poles: batteries and loads between the two bars, a shunt in the negative."""
    nodes = (bar("X1", "24 V positive bar"), bar("X3", "battery negatives"), bar("X2", "24 V negative bar"))
    branches = (
        Branch(
            "A",
            "X1",
            "X3",
            (
                device("isolator", "Q1", "house main"),
                device("fuse", "F1", "250 A"),
                device("battery up", "G1", "string A"),
                cable("W2", "70 mm²", "0.4 m"),
            ),
        ),
        Branch(
            "B",
            "X1",
            "X3",
            (
                device("isolator", "Q2", "house main"),
                device("fuse", "F2", "250 A"),
                device("battery up", "G2", "string B"),
                cable("W4", "70 mm²", "0.4 m"),
            ),
        ),
        Branch("shunt", "X3", "X2", (device("shunt", "R1", "500 A 50 mV"), cable("W5", "95 mm²", "0.5 m"))),
        Branch(
            "lamp",
            "X1",
            "X2",
            (device("breaker", "F7", "10 A"), cable("W7", "2.5 mm²", "4 m"), device("lamp", "E7", "light")),
        ),
        Branch(
            "motor",
            "X1",
            "X2",
            (device("breaker", "F8", "40 A"), cable("W8", "10 mm²", "6 m"), device("motor", "M8", "pump")),
        ),
        Branch("bond", "X2", device("anode", "E90", "earth plate"), (cable("W90", "16 mm²", "2 m"),)),
    )
    return OneLine("system.24", "24 V system, both poles", nodes, branches, "Positive above, negative below.")


def bank() -> OneLine:
    """A bank sheet: cells, links, battery management, balancer, isolator."""
    nodes = (
        Node("~a", form=Form.JUNCTION),
        bar("T9", "charger-inverter", "3 kVA", form=Form.BOX),
        bar("X9", "230 V bar"),
    )
    cells = tuple(device("cell up", f"B{n}", f"cell {n}", "3.2 V 280 Ah") for n in range(1, 5))
    branches = (
        Branch(
            "cells", device("terminal", "G1 +", "positive post"), "~a", (*cells, device("bms", "A1", "opens at 3.65 V"))
        ),
        Branch("sense", "~a", device("electronics", "A9", "balancer"), (cable("W91", "0.5 mm²", "sense leads"),)),
        Branch("main", "~a", "T9", (device("fuse", "F1", "250 A"), device("isolator", "Q1"))),
        Branch("shore", device("shore", "X90", "shore inlet"), "T9", (device("rcd", "Q30", "16 A"),)),
        Branch("ac", "T9", "X9", ()),
        Branch("out", "X9", device("socket", "E1", "sockets"), (device("breaker", "Q41", "10 A"),)),
    )
    return OneLine(
        "bank.G1",
        "Bank G1",
        nodes,
        branches,
        "Cells of the bank and what stands before them.",
        ("Torque of the cell links: see the terminal list.",),
    )


def isolation() -> OneLine:
    """The picture after the isolating actions: one side dead, the solar side still live."""
    dead, live = State.DEAD, State.LIVE
    nodes = (bar("X1", "24 V positive bar", state=live), bar("X5", "12 V bar", state=dead))
    branches = (
        Branch(
            "bank",
            device("battery", "G1", "house bank", state=live),
            "X1",
            (
                cable("W1", "70 mm²", state=live),
                device("isolator", "Q1", "house main", state=State.OPEN),
                cable("W2", "70 mm²", state=live),
            ),
        ),
        Branch(
            "solar",
            device("solar", "G5", "solar array", state=live),
            "X1",
            (device("converter", "T5", "controller", state=live),),
            state=live,
        ),
        Branch(
            "12 V",
            "X1",
            "X5",
            (device("isolator", "Q6", state=State.OPEN), device("converter", "T3", state=dead)),
            state=dead,
        ),
        Branch(
            "lights",
            "X5",
            device("lamp", "E3", "lights", state=dead),
            (device("fuse", "F3", "10 A", state=dead),),
            state=dead,
        ),
        Branch(
            "old",
            "X1",
            device("heater", "E4", "heater", state=State.REMOVED),
            (device("fuse", "F4", "40 A", state=State.CHANGED),),
            state=State.REMOVED,
        ),
        Branch(
            "new",
            "X1",
            device("motor", "M5", "winch", state=State.ADDED),
            (device("fuse", "F5", "80 A", state=State.ADDED),),
            state=State.ADDED,
        ),
    )
    return OneLine(
        "isolation", "What stays live after isolating", nodes, branches, "Live parts heavy, dead parts dashed."
    )


def front() -> Front:
    """A panel of three rows."""
    rows, labels = [], ("DEPTH", "WIND", "VHF", "PLOTTER", "PILOT", "NAV LIGHTS")
    for row in range(3):
        ways = []
        for column in range(6):
            number = row * 6 + column + 1
            kind = (
                "spare"
                if number in (5, 12)
                else "blank"
                if number == 18
                else ("fuse", "breaker", "switch", "rcd")[number % 4]
            )
            ways.append(
                Way(
                    str(number),
                    "" if kind in ("spare", "blank") else labels[column],
                    "" if kind == "blank" else f"F{number + 30}",
                    kind,
                    "" if kind == "blank" else "10 A",
                    "" if kind in ("spare", "blank") else CONSUMERS[number][1],
                    f"item:F{number + 30}",
                )
            )
        rows.append(tuple(ways))
    return Front(
        "front.P1",
        "Panel P1, navigation: front",
        tuple(rows),
        ("Navigation panel, 24 V", "fed from X1 through F15, main switch Q18"),
        "The ways as they sit in the panel.",
        "F33",
    )


def plan() -> Plan:
    """Spaces with outlines, and dots without places."""
    spaces = (
        Space("lazarette", "Lazarette", ((0.1, -1.5), (1.6, -1.7), (1.6, 1.7), (0.1, 1.5))),
        Space("engine", "Engine space", ((1.7, -0.9), (4, -0.9), (4, 0.9), (1.7, 0.9))),
        Space("aft cabin", "Aft cabin", ((1.7, -1.75), (4.8, -1.85), (4.8, -1), (1.7, -1))),
        Space("galley", "Galley", ((4.9, -1.85), (7, -1.8), (7, -0.4), (4.9, -0.4))),
        Space("chart table", "Chart table", ((4.9, 0.2), (7, 0.2), (7, 1.8), (4.9, 1.85))),
        Space("saloon", "Saloon", ((7.1, -1.75), (9.2, -1.35), (9.2, 1.35), (7.1, 1.75))),
        Space("forepeak", "Forepeak", ((9.3, -1.25), (11.3, -0.4), (11.3, 0.4), (9.3, 1.25))),
    )
    return Plan("plan", "Where things are", spaces, DOTS, 12.0, 3.9, "Isolators, banks, panels and hidden fuses.")


DOTS = tuple(
    Dot(str(number), label, space, place, None, kind, f"item:{label.split()[0]}")
    for number, (label, space, place, kind) in enumerate(
        (
            ("Q1 house main isolator", "chart table", "under the seat, red handle", "isolator"),
            ("Q2 start isolator", "engine", "port bulkhead", "isolator"),
            ("G1 lithium string A", "chart table", "lift the cushion", "bank"),
            ("G2 lithium string B", "chart table", "lift the cushion", "bank"),
            ("G3 start bank", "engine", "aft, under the tray", "bank"),
            ("P1 navigation panel", "chart table", "over the table", "panel"),
            ("P2 engine room panel", "engine", "starboard", "panel"),
            ("F60 in-line fuse of the VHF", "chart table", "behind the lining, left", "fuse"),
            ("F61 in-line fuse of the windlass", "forepeak", "chain locker", "fuse"),
            ("Q3 paralleling switch", "engine", "by the steps", "isolator"),
            ("X90 shore inlet", "lazarette", "aft coaming", "device"),
        ),
        1,
    )
)


def plain_plan() -> Plan:
    """Spaces of which nobody has given the outline."""
    spaces = tuple(
        Space(name, name.capitalize()) for name in ("lazarette", "engine", "galley", "chart table", "forepeak")
    )
    return Plan("plan.plain", "Where things are, not to scale", spaces, DOTS)


def strip() -> Strip:
    """The way to the depth sounder and back."""
    return Strip(
        "strip.E101",
        "Supply of the depth sounder",
        Stop(
            device("battery", "G1", "House bank, lithium strings A and B"),
            "1",
            "26.4 to 27.2 V",
            "battery locker, under the chart seat",
        ),
        (
            Stop(cable("W1", "70 mm²", "0.35 m")),
            Stop(device("fuse", "F1", "250 A, class T"), where="on the battery"),
            Stop(device("isolator", "Q1", "house main"), "2", "26.4 to 27.2 V", "under the chart seat, red handle"),
            Stop(cable("W3", "95 mm²", "0.9 m")),
            Stop(device("bar", "X1", "24 V positive bar"), "3", "26.3 V"),
            Stop(device("fuse", "F15", "60 A bolt-down"), where="on the bar"),
            Stop(cable("W22", "16 mm²", "4.1 m")),
            Stop(device("breaker", "F101", "5 A, panel P1 way 1"), "4", "26.2 V", "chart table, row 1"),
            Stop(cable("W101", "1.5 mm²", "6.2 m")),
            Stop(
                device("fuse", "F60", "hidden in-line fuse 3 A"),
                "5",
                "26.0 V",
                "behind the lining, left side, cut the tie",
            ),
        ),
        Stop(device("electronics", "E101", "Depth sounder, 0.35 A"), "6", "26.0 V", "helm console"),
        (
            Stop(cable("W101", "1.5 mm²", "6.2 m")),
            Stop(device("bar", "X12", "24 V negative bar"), "7", "less than 0.2 V to battery −"),
            Stop(device("shunt", "R1", "500 A, 50 mV")),
        ),
        "From the house bank to the depth sounder and back.",
        "E101",
    )


def book() -> DrawingSet:
    """All sheets of the yacht in one set."""
    return DrawingSet(
        BLOCK,
        (
            ship(),
            panel("P1", "navigation", 24),
            panel("P2", "engine room", 8),
            panel("P3", "12 V electronics", 14),
            panel("P4", "230 V sockets", 5),
            both_poles(),
            bank(),
            isolation(),
            front(),
            plan(),
            plain_plan(),
        ),
    )


def many_feeders(count: int = 60) -> OneLine:
    """A ship sheet with a very long main bar."""
    base = ship()
    more = tuple(
        Branch(
            f"feeder {n}",
            "X1",
            device("load", f"E{500 + n}", f"consumer {n}"),
            (device("fuse", f"F{500 + n}", "10 A"), cable(f"W{500 + n}", "2.5 mm²", "4 m")),
        )
        for n in range(count)
    )
    kept = tuple(b for b in base.branches if not isinstance(b.lower, Reference))
    return OneLine("ship.many", base.title, base.nodes, kept + more, base.about)
