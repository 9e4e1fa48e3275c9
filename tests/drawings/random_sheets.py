"""Sheets, panel fronts, plans and strips drawn by lot: any boat one can think of, and some that nobody should.

The same number always gives the same drawing, whatever else is loaded beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import Any

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
    Sheet,
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

assert set(SOURCES + IN_LINE + LOADS) <= set(SYMBOLS)

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
    "",
    " ",
    "Donaudampfschifffahrtsgesellschaftskapitän",
    "🔥 fire",
    "e\u0301le\u0301ctrique",
    "line\nbreak",
)
PLAIN = ("windlass", "bow thruster", "70 mm²", "0.35 m", "250 A class T", "24/12 V 30 A", "max 9.8 kA")
SIGNS = "abcdefghijklmnopqrstuvwxyzWMI0123456789 .,-/–()<>&|²³µΩ°éßŁЖ中\u00a0\u0301\u200b\t"
"""Letters wide and narrow, signs that mean something to XML, and some that print no ink."""


class Lot:
    """Draws everything that belongs to a number."""

    def __init__(self, seed: int) -> None:
        self._lot = Random(seed)

    def number(self, least: int, most: int) -> int:
        return self._lot.randint(least, most)

    def one(self, among: Sequence[Any]) -> Any:
        return self._lot.choice(among)

    def perhaps(self, chance: float = 0.5) -> bool:
        return self._lot.random() < chance

    def metres(self) -> float:
        return round(self._lot.uniform(0, 15), 2)

    def word(self) -> str:
        kind = self.number(0, 2)
        if kind == 0:
            return self.one(HARD)
        return self.one(PLAIN) if kind == 1 else "".join(self.one(SIGNS) for _ in range(self.number(0, 24)))

    def facts(self, most: int = 3) -> tuple[str, ...]:
        return tuple(self.word() for _ in range(self.number(0, most)))

    def state(self) -> State:
        return self.one(tuple(State))

    def block(self) -> TitleBlock:
        return TitleBlock(self.word(), self.word(), self.word(), self.word())

    def set(self, sheet: Sheet) -> DrawingSet:
        """The sheet with a title block."""
        return DrawingSet(self.block(), (sheet,))

    # single-line sheets

    def element(self, kinds: tuple[str, ...], mark: str) -> Element:
        """A device of one of these kinds whose id is unique by its mark."""
        head = self.one(("F", "Q", "X", "very-long-id-", "<b>"))
        return Element(self.one(kinds), f"{head}{mark}", self.facts(), "", f"item:{mark}", self.state())

    def chain(self, mark: str, most: int = 5) -> tuple[Element | Cable, ...]:
        """Devices and cables in any order."""
        return tuple(
            self.element(IN_LINE, f"{mark}.{n}")
            if self.perhaps()
            else Cable(f"W{mark}.{n}" if self.perhaps() else "", self.facts(), state=self.state())
            for n in range(self.number(0, most))
        )

    def node(self, n: int) -> Node:
        form = self.one((Form.BAR, Form.BAR, Form.BAR, Form.JUNCTION, Form.CHANGEOVER, Form.BOX))
        level = self.number(0, 3) if self.perhaps(0.3) else None
        id = f"N{n}" if self.perhaps(0.8) else f"~{n}"
        return Node(id, self.facts(), form, state=self.state(), level=level, ordered=self.perhaps())

    def one_line(self, nodes: int = 7, branches: int = 22) -> OneLine:
        """Any nodes, any branches between them, loops and ties included."""
        made = tuple(self.node(n) for n in range(self.number(1, nodes)))
        ids = [node.id for node in made]
        lines = [branch for n in range(self.number(1, branches)) for branch in self.branches(n, ids)]
        return OneLine("sheet", self.word(), made, tuple(lines), self.word(), self.facts(2))

    def branches(self, n: int, ids: list[str]) -> list[Branch]:
        """One branch; two where a line goes on at another place."""
        mark, what = f"{n}", self.number(0, 9)
        node, other = self.one(ids), self.one(ids)
        service = self.one((Service.POWER, Service.POWER, Service.CONTROL, Service.BOND))
        chain, state, tie = self.chain(mark), self.state(), self.perhaps()
        if what == 3:
            return [Branch(mark, self.element(SOURCES, f"{mark}s"), node, chain, service, state, tie)]
        if what == 4:
            source, load = self.element(SOURCES, f"{mark}s"), self.element(LOADS, f"{mark}e")
            return [Branch(mark, source, load, chain, service, state, tie)]
        if what == 5:
            off = Branch(f"{mark}r", node, Reference(f"R{n}", self.facts()), chain)
            return [off, Branch(mark, Reference(f"R{n}", self.facts()), other, (), service, state)]
        if what <= 2 or node == other:
            return [Branch(mark, node, self.element(LOADS, f"{mark}e"), chain, service, state, tie)]
        return [Branch(mark, node, other, chain, service, state, tie)]

    # fronts, plans and strips

    def front(self) -> Front:
        """A panel of any size."""
        rows = tuple(tuple(self.way(r, n) for n in range(self.number(1, 16))) for r in range(self.number(1, 9)))
        return Front("front", self.word(), rows, self.facts())

    def way(self, row: int, place: int) -> Way:
        kind = self.one(("fuse", "breaker", "rcd", "switch", "spare", "blank"))
        id = f"F{row}.{place}" if self.perhaps(0.7) else ""
        return Way(f"{row}.{place}", self.word(), id, kind, self.word(), self.word(), "", self.state())

    def plan(self) -> Plan:
        """Spaces with and without outlines, dots anywhere."""
        spaces = [self.space(n) for n in range(self.number(1, 8))]
        places = [space.id for space in spaces] + ["nowhere", ""]
        dots = tuple(self.dot(n, places) for n in range(1, self.number(0, 30) + 1))
        long = self.one((0.0, 12.0))
        return Plan("plan", self.word(), tuple(spaces), dots, long, 4.0, depth=self.one((0.0, 1.8)) if long else 0.0)

    def space(self, n: int) -> Space:
        x, y, w, h = self.metres(), self.metres(), self.metres() + 0.3, self.metres() / 4 + 0.3
        corners = ((x, y), (x + w, y), (x + w, y + h), (x, y + h)) if self.perhaps() else ()
        z, floor = self.metres() / 8, self.one((None, self.metres() / 8))
        side = ((x, z), (x + w, z), (x + w, z + 0.5), (x, z + 0.5)) if self.number(1, 4) == 1 else ()
        return Space(f"s{n}", self.word(), corners, side=side, floor=floor, outside=self.number(1, 6) == 1)

    def dot(self, n: int, places: list[str]) -> Dot:
        kind = self.one(("isolator", "bank", "panel", "fuse", "device"))
        at = (self.metres(), self.metres()) if self.perhaps() else None
        return Dot(
            str(n),
            self.word(),
            self.one(places),
            self.word(),
            at,
            kind,
            "",
            self.state(),
            self.one((None, self.metres() / 8)),
        )

    def strip(self) -> Strip:
        """A way out and back of any length."""
        out = tuple(self.station(f"{n}") for n in range(self.number(0, 12)))
        back = tuple(self.station(f"b{n}") for n in range(self.number(0, 6)))
        source, load = self.stop(self.element(SOURCES, "s"), "s"), self.stop(self.element(LOADS, "l"), "l")
        return Strip("strip", self.word(), source, out, load, back, self.word())

    def station(self, mark: str) -> Stop:
        what = self.element(IN_LINE, mark) if self.perhaps() else Cable(f"W{mark}", self.facts())
        return self.stop(what, mark)

    def stop(self, what: Element | Cable, mark: str) -> Stop:
        return Stop(what, self.one(("", mark)), self.word(), self.word())
