"""Random single-line sheets, panel fronts, plans and strips: any boat one can think of, and some that nobody should."""

from __future__ import annotations

from hypothesis import strategies as st
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
    Service,
    Space,
    State,
    Stop,
    Strip,
    TitleBlock,
    Way,
)
from loombook.drawings.symbols import SYMBOLS

SOURCES = ("battery", "alternator", "solar", "shore", "turbine", "cell", "generator", "terminal")
IN_LINE = (
    "fuse",
    "breaker",
    "rcd",
    "isolator",
    "switch",
    "paralleling",
    "contactor",
    "bms",
    "shunt",
    "diode",
    "transformer",
    "charger",
    "inverter",
    "converter",
    "ammeter",
    "apparatus",
    "connector",
    "battery up",
    "resistor",
    "capacitor",
)
LOADS = ("motor", "pump", "lamp", "heater", "electronics", "socket", "horn", "load", "spare", "earth", "hull", "anode")

HARD = (
    "<script>alert(1)</script>",
    "a|b|c",
    "{{ name }}",
    "`rm`",
    "# heading",
    "אורות ניווט",
    "\u202eevil",
    "航海燈",
    "x" * 200,
    "Bilge pump, automatic, with a very long name that goes on",
    "&amp;",
    "\"quoted\" 'text'",
    "2.5 mm²",
    "",
    " ",
    "Donaudampfschifffahrtsgesellschaftskapitän",
    "🔥 fire",
    "e\u0301le\u0301ctrique",
    "line\nbreak",
)

words = st.one_of(
    st.sampled_from(HARD),
    st.text(min_size=0, max_size=24),
    st.sampled_from(("windlass", "bow thruster", "70 mm²", "0.35 m", "250 A class T", "24/12 V 30 A", "max 9.8 kA")),
)
facts = st.lists(words, max_size=3).map(tuple)
states = st.sampled_from(State)


def element(kinds: tuple[str, ...], mark: str) -> st.SearchStrategy[Element]:
    """A device of one of these kinds whose id is unique by its mark."""
    return st.builds(
        lambda kind, head, lines, state: Element(kind, f"{head}{mark}", lines, "", f"item:{mark}", state),
        st.sampled_from(kinds),
        st.sampled_from(("F", "Q", "X", "very-long-id-", "<b>")),
        facts,
        states,
    )


@st.composite
def chains(draw: st.DrawFn, mark: str, most: int = 5) -> tuple[Element | Cable, ...]:
    """Devices and cables in any order."""
    chain = []
    for n in range(draw(st.integers(0, most))):
        if draw(st.booleans()):
            chain.append(draw(element(IN_LINE, f"{mark}.{n}")))
        else:
            chain.append(Cable(f"W{mark}.{n}" if draw(st.booleans()) else "", draw(facts), state=draw(states)))
    return tuple(chain)


@st.composite
def one_lines(draw: st.DrawFn, name: str = "sheet", nodes: int = 7, branches: int = 22) -> OneLine:
    """Any nodes, any branches between them, loops and ties included."""
    count = draw(st.integers(1, nodes))
    forms = st.sampled_from((Form.BAR, Form.BAR, Form.BAR, Form.JUNCTION, Form.CHANGEOVER, Form.BOX))
    made = tuple(
        Node(
            f"N{n}" if draw(st.integers(0, 4)) else f"~{n}",
            draw(facts),
            draw(forms),
            state=draw(states),
            level=draw(st.one_of(st.none(), st.none(), st.integers(0, 3))),
            ordered=draw(st.booleans()),
        )
        for n in range(count)
    )
    ids = [node.id for node in made]
    lines = []
    for n in range(draw(st.integers(1, branches))):
        mark, what = f"{n}", draw(st.integers(0, 9))
        node, other = draw(st.sampled_from(ids)), draw(st.sampled_from(ids))
        service = draw(st.sampled_from((Service.POWER, Service.POWER, Service.CONTROL, Service.BOND)))
        chain = draw(chains(mark))
        upper, lower = node, other
        if what <= 2 or (what > 5 and node == other):
            lower = draw(element(LOADS, f"{mark}e"))
        elif what == 3:
            upper, lower = draw(element(SOURCES, f"{mark}s")), node
        elif what == 4:
            upper = draw(element(SOURCES, f"{mark}s"))
            lower = draw(element(LOADS, f"{mark}e"))
        elif what == 5 and n % 2:
            lines.append(Branch(f"{mark}r", node, Reference(f"R{n}", draw(facts)), chain))
            upper, lower, chain = Reference(f"R{n}", draw(facts)), other, ()
        elif node == other:
            lower = draw(element(LOADS, f"{mark}e"))
        lines.append(Branch(mark, upper, lower, chain, service, draw(states), draw(st.booleans())))
    return OneLine(name, draw(words), made, tuple(lines), draw(words), draw(st.lists(words, max_size=2).map(tuple)))


@st.composite
def fronts(draw: st.DrawFn) -> Front:
    """A panel of any size."""
    kinds = st.sampled_from(("fuse", "breaker", "rcd", "switch", "spare", "blank"))
    way = st.builds(Way, words, words, words, kinds, words, words, st.just(""), states)
    rows = draw(st.lists(st.lists(way, min_size=1, max_size=16).map(tuple), min_size=1, max_size=9).map(tuple))
    rows = tuple(
        tuple(
            Way(f"{r}.{n}", w.label, w.id and f"{w.id}{r}.{n}", w.kind, w.rating, w.feeds, "", w.state)
            for n, w in enumerate(row)
        )
        for r, row in enumerate(rows)
    )
    return Front("front", draw(words), rows, draw(facts))


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """Spaces with and without outlines, dots anywhere."""
    metres = st.floats(0, 15, allow_nan=False).map(lambda x: round(x, 2))
    spaces = []
    for n in range(draw(st.integers(1, 8))):
        x, y, w, h = (draw(metres) for _ in range(4))
        w, h = w + 0.3, h / 4 + 0.3
        corners = ((x, y), (x + w, y), (x + w, y + h), (x, y + h)) if draw(st.booleans()) else ()
        spaces.append(Space(f"s{n}", draw(words), corners))
    dots = tuple(
        Dot(
            str(n + 1),
            draw(words),
            draw(st.sampled_from([s.id for s in spaces] + ["nowhere"])),
            draw(words),
            draw(st.one_of(st.none(), st.tuples(metres, metres))),
            draw(st.sampled_from(("isolator", "bank", "panel", "fuse", "device"))),
            "",
            draw(states),
        )
        for n in range(draw(st.integers(0, 30)))
    )
    return Plan("plan", draw(words), tuple(spaces), dots, draw(st.sampled_from((0.0, 12.0))), 4.0)


def stops(kinds: tuple[str, ...], mark: str) -> st.SearchStrategy[Stop]:
    """One station."""
    cable = st.builds(lambda lines: Cable(f"W{mark}", lines), facts)
    return st.builds(
        Stop,
        st.one_of(element(kinds, mark), cable) if kinds == IN_LINE else element(kinds, mark),
        st.sampled_from(("", mark)),
        words,
        words,
    )


@st.composite
def strips(draw: st.DrawFn) -> Strip:
    """A way out and back of any length."""
    out = tuple(draw(stops(IN_LINE, f"{n}")) for n in range(draw(st.integers(0, 12))))
    back = tuple(draw(stops(IN_LINE, f"b{n}")) for n in range(draw(st.integers(0, 6))))
    return Strip("strip", draw(words), draw(stops(SOURCES, "s")), out, draw(stops(LOADS, "l")), back, draw(words))


BLOCKS = st.builds(TitleBlock, words, words, words, words)


def sets(sheet: st.SearchStrategy) -> st.SearchStrategy[DrawingSet]:
    """One sheet with a title block."""
    return st.builds(lambda block, one: DrawingSet(block, (one,)), BLOCKS, sheet)


assert set(SOURCES + IN_LINE + LOADS) <= set(SYMBOLS)
