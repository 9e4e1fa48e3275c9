"""How to read labels, colours, marks and ranks in this manual and aboard."""

from __future__ import annotations

from collections.abc import Iterator

from ...network import Edge
from ..book import Book
from ..sheet import ORIENTATION, Sheet
from ..text import Badge, Column, Inline, Marked, joined

LETTERS = {
    "B": "measures or senses: shunts, sensors", "C": "a final circuit, named after what it feeds",
    "E": "gives light, heat or cold",
    "F": "protects: fuses, breakers", "G": "gives energy: batteries, alternators, solar panels",
    "K": "processes signals",
    "M": "moves: motors", "P": "shows: displays, lamps, instruments", "Q": "switches power", "R": "limits or restricts",
    "S": "turns a hand's movement into a signal: push buttons", "T": "converts: chargers, converters, inverters",
    "U": "holds in place; some boats use it for converters", "W": "guides: cables",
    "X": "connects: bars, panels, inlets, joints",
}  # fmt: skip
"""Letter codes of IEC 81346-2 in our words, from memory; `C` is this language's own."""

MARKS = [
    (Marked("~6 m", "estimate"), "an estimate: somebody wrote it with ~, nobody measured it"),
    (Marked("105 °C (default)", "default"), "the inventory is silent, and a declared default was taken"),
    (Marked("12 kA (rests on an assumption)", "default"), "computed, but from an assumption of ours"),
    (Marked("not known", "missing"), "nobody has written it down"),
    (
        Marked("cannot check: W12 has no length", "missing"),
        "a figure that missing data do not allow; it is never taken as good",
    ),
    ("1.2 to 3.4 kA", "a range: the inputs allow everything between"),
]
RANKS = [
    (Badge("A", "A"), "fix before use: danger to life or fire"),
    (Badge("B", "B"), "timely attention"),
    (Badge("C", "C"), "good practice"),
    (Badge("pass", "pass"), "checked and found good"),
    (Badge("cannot", "cannot check"), "data are missing; the field is named"),
    (Badge("na", "not applicable"), "the rule does not apply here"),
]
COLOURS = [Column("Colour"), Column("Used for"), Column("Cables", "", True), Column("Remark")]


def pages(book: Book) -> Iterator[Sheet]:
    used = sorted({item.id[0] for item in book.inventory.items() if item.family != "spaces"} | {"W"})
    yield Sheet("orientation/legend.md", "How to read labels, colours and marks", "legend", {
        "letters": [(letter, LETTERS.get(letter, "this boat's own")) for letter in used],
        "colours": (COLOURS, _colours(book)),
        "marks": ([Column("Mark"), Column("Means")], MARKS),
        "ranks": ([Column("Rank or outcome"), Column("Means")], RANKS),
    }, ORIENTATION, ("colour code", "label", "legend", "symbols"))  # fmt: skip


def _colours(book: Book) -> list[list[Inline]]:
    """Each colour as it is really used aboard; one that stands for two poles is said so."""
    found: dict[str, dict[str, list[Edge]]] = {}
    for edge in book.network.edges.values():
        if edge.kind == "conductor" and edge.cable and edge.cable.colour and edge.path[:1] == ("runs",):
            found.setdefault(edge.cable.colour, {}).setdefault(_purpose(book, edge), []).append(edge)
    rows = []
    for colour in sorted(found):
        uses = found[colour]
        poles = {use.split(" ")[-1] for use in uses}
        remark = "used for more than one pole: never trust the colour" if len(poles) > 1 else "–"
        cables = len({edge.item for edges in uses.values() for edge in edges})
        rows.append([colour, joined(sorted(uses)), str(cables), remark])
    return rows


def _purpose(book: Book, edge: Edge) -> str:
    node = book.network.nodes[edge.a]
    if node.pole == "+":
        return f"{node.system} positive"
    return {"-": "DC negative", "L": "AC line", "N": "AC neutral", "PE": "AC earth"}.get(
        node.pole, "a pole that no source reaches"
    )
