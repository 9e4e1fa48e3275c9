"""What the fault finder knows, as plain values for one data block: devices, parts, suspects, loops with volts, advice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from ...network.live import alive, sources_on, state
from ...network.loops import Loop, loop_of, loops_of
from ...network.suspects import Suspect, likely, suspects_of
from ...study.model import Flow
from ..book import Book
from ..routes import route
from .advice import ADVICE, MAINS, NEVER_LARGER
from .parts import part_of, point_place, point_words
from .readings import TOLERANCE, is_hand_safe, readings
from .said import capital, said
from .things import things

Data = Mapping[str, Any]


def find_data(book: Book) -> Data:
    """The data block of the fault finder.

    Returns:
        `consumers`: names; everywhere else a consumer is its index
        `things`: what can be looked up: name, id, `find` and `more` words, `answer` rows, url, consumer
        `parts`: what can fail: name, kind of advice, place, url, weight
        `points`: where a meter can be held: name, place, hidden
        `loops`: points with volts, the part between each two, index of the first point on the way back, nominal voltage
        `states`: for each way of using the boat: suspects, who is not fed in it, and which loop serves whom
        `advice`: kind of part → look, attempt, stop
        `mains`, `larger`, `isolate`: what to say of mains, and of larger fuses; the isolation card
        `tolerance`: how far below the expected voltage a reading is still right, as a part of the nominal voltage
    """
    return _Data(book).block()


class _Data:
    def __init__(self, book: Book) -> None:
        self.book, self.network = book, book.network
        self.consumer = {id: i for i, id in enumerate(self.network.consumers)}
        self.part: dict[str, int] = {}
        self.parts: list[dict] = []
        self.point: dict[str, int] = {}
        self.points: list[dict] = []
        self.loop: dict[tuple, int] = {}
        self.loops: list[dict] = []

    def block(self) -> Data:
        states = self._states()
        found = [self._thing(thing) for thing in things(self.book)]
        used = {part["kind"] for part in self.parts}
        return {
            "consumers": [said(c.name) for c in self.network.consumers.values()],
            "things": found,
            "parts": self.parts,
            "points": self.points,
            "loops": self.loops,
            "states": states,
            "advice": {kind: [a.look, a.attempt, a.stop] for kind, a in ADVICE.items() if kind in used | {"other"}},
            "mains": MAINS,
            "larger": NEVER_LARGER,
            "isolate": {"url": "page:emergency/isolate.md"},
            "tolerance": TOLERANCE,
        }

    def _thing(self, thing) -> dict:
        row = {
            "name": thing.name,
            "id": thing.id,
            "find": list(thing.names),
            "more": list(thing.words),
            "answer": [list(r) for r in thing.answer],
        }
        if thing.target:
            row["url"] = thing.target
        if thing.consumer:
            row["consumer"] = self.consumer[thing.consumer]
        return row

    # parts and points, each once

    def _part(self, id: str) -> int:
        if id not in self.part:
            self.part[id] = len(self.parts)
            found = part_of(self.book, id)
            row = {"name": capital(found.name), "kind": found.kind, "weight": likely(self.network.edges[id])}
            row |= {"hidden": True} if found.hidden else {}
            row |= {"place": found.place} if found.place else {}
            row |= {"url": found.target} if found.target else {}
            self.parts.append(row)
        return self.part[id]

    def _point(self, node: str, hidden: bool) -> int:
        if node not in self.point:
            self.point[node] = len(self.points)
            row: dict[str, Any] = {
                "name": capital(said(point_words(self.book, node))),
                "place": said(point_place(self.book, node)),
            }
            self.points.append(row | ({"hidden": True} if hidden else {}))
        return self.point[node]

    # loops

    def _loop(self, loop: Loop, flow: Flow | None) -> int:
        """The loop in the data block: one for each way round, with the volts of the first condition that asks for it."""
        key = (loop.consumer, loop.edges, loop.points)
        if key not in self.loop:
            self.loop[key] = len(self.loops)
            source = self.network.edges[loop.source]
            row: dict[str, Any] = {
                "points": [self._point(node, hidden) for node, hidden in zip(loop.points, loop.hidden)],
                "parts": [self._part(id) for id in loop.edges],
                "turn": loop.turn,
                "source": said(self.book.named(source.item)),
                "sourcePart": self._part(loop.source),
            }
            self.loops.append(row)
            if is_hand_safe(self.book, loop):
                found = readings(self.book, loop, flow)
                row |= {"volts": list(found.volts), "nominal": found.nominal}
            else:
                row |= {"mains": True}
        return self.loop[key]

    # states

    def _states(self) -> list[dict]:
        for consumer in self.network.consumers.values():
            found = route(self.book, consumer)
            if found.path:
                self._loop(
                    loop_of(self.network, found.path, self.book.hidden_nodes), found.flow
                )  # the same volts as on its own page
        named = [self._state(name) for name in self.network.conditions]
        merged: list[dict] = []
        for row in named:
            twin = next((other for other in merged if {**other, "name": ""} == {**row, "name": ""}), None)
            if twin:
                twin["name"] += f", {row['name']}"
            else:
                merged.append(row)
        return merged

    def _state(self, name: str) -> dict:
        core, on = state(self.network, self.network.conditions[name]), sources_on(self.network, name)
        flow = self.book.study.flows.get(name)
        loops = loops_of(core, on)
        sources = {id: self._loop(loop, flow) for id, loop in loops.items() if id not in self.consumer}
        return {
            "name": said(name),
            "suspects": [self._suspect(suspect) for suspect in suspects_of(core, on)],
            "loops": [self._loop(loops[c], flow) if c in loops else -1 for c in self.consumer],
            "feeds": {
                str(self._part(self.network.of_item[id][-1].id if id not in self.network.edges else id)): loop
                for id, loop in sources.items()
            },
            "unfed": sorted(set(self.consumer.values()) - {self.consumer[c] for c in alive(core, on).consumers}),
        }

    def _suspect(self, suspect: Suspect) -> dict:
        row: dict[str, Any] = {
            "parts": self._indices(suspect.edges), "lost": [self.consumer[c] for c in suspect.lost], "weight": suspect.weight,
        }  # fmt: skip
        return row | ({"also": self._indices(suspect.also)} if suspect.also else {})

    def _indices(self, ids: Iterable[str]) -> list[int]:
        return [self._part(id) for id in ids]
