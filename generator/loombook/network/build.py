"""From the inventory to the network: runs and circuits laid out edge by edge, then potentials, then what cannot be."""

from __future__ import annotations

from collections.abc import Iterable

from ..diagnostics import InventoryError
from ..inventory.fields import Cable
from ..inventory.loads import Circuit, Motor, Step
from ..inventory.records import Inventory
from ..inventory.terminals import AC_BY_NAME, IN_LINE, POLES, split
from ..inventory.vessel import Item
from .devices import INSIDE, in_line
from .model import Consumer, Edge, Network, Node
from .potentials import potentials

DC = ("",)


def build(inventory: Inventory) -> Network:
    """The network of an inventory.

    Raises:
        InventoryError: where the wiring as written cannot be: a battery shorted, two voltages joined, no source at all
    """
    builder = _Builder(inventory)
    builder.lay()
    network = Network(inventory, builder.nodes, builder.edges, builder.consumers, builder.normal)
    nodes, problems = potentials(network)
    if problems:
        raise InventoryError(problems, inventory.texts)
    return Network(inventory, nodes, builder.edges, builder.consumers, builder.normal)


class _Builder:
    def __init__(self, inventory: Inventory) -> None:
        self.inventory = inventory
        self.items: dict[str, Item] = {item.id: item for item in inventory.items()}
        self.nodes: dict[str, Node] = {}
        self.edges: dict[str, Edge] = {}
        self.consumers: dict[str, Consumer] = {}
        self.normal = {s.id: s.normal for s in inventory.switches.values()} | {
            b.id: "on" for b in inventory.breakers.values()
        }
        self.ac = self._ac_devices()

    def lay(self) -> None:
        for family, inside in INSIDE.items():
            for item in self.items.values():
                if item.family == family:
                    for edge in inside(item):
                        self._add(edge)
                    if isinstance(item, Motor):
                        self.consumers[item.id] = Consumer(
                            item.id, item.id, item, f"{item.id} +", f"{item.id} -", item.id
                        )
        for item in self.items.values():
            if item.family in IN_LINE:
                for edge in in_line(item, self._conductors(item)):
                    self._add(edge)
            elif item.family in ("bars", "junctions"):
                self._node(item.id, item.id)
        for panel in self.inventory.panels.values():
            self._panel(panel)
        for name, run in self.inventory.runs.items():
            self._run(name, run.path)
        for circuit in self.inventory.circuits.values():
            self._circuit(circuit)

    # nodes and edges

    def _node(self, id: str, item: str) -> str:
        if id not in self.nodes:
            self.nodes[id] = Node(id, item)
        return id

    def _add(self, edge: Edge) -> None:
        for node in (edge.a, edge.b):
            self._node(node, edge.item if edge.kind != "conductor" or node not in self.nodes else self.nodes[node].item)
        self.edges[edge.id] = edge

    def _join(self, a: str, b: str, item: str, path: tuple) -> None:
        """Two terminals bolted or plugged together, with no cable between."""
        if a != b:
            self._add(Edge(f"{a} = {b}", item, "joint", a, b, path=path))

    # AC

    def _ac_devices(self) -> set[str]:
        """Ids of the devices in the line that stand in an AC run; found from the AC items that runs begin and end at."""
        ac: set[str] = {p.id for p in self.inventory.panels.values() if p.ac}
        runs = [[split(s.reference) for s in run.path if s.reference] for run in self.inventory.runs.values()]
        while True:
            grown = set(ac)
            for references in runs:
                if any(id in ac or self._is_ac_name(id, port) for id, port in references):
                    grown |= {
                        id
                        for id, _ in references
                        if id in self.items and self.items[id].family in (*IN_LINE, "bars", "junctions")
                    }
            for circuit in self.inventory.circuits.values():
                if split(circuit.source)[0] in ac:
                    grown |= {split(s.item)[0] for s in circuit.cable if s.item}
            if grown == ac:
                return ac
            ac = grown

    def _is_ac_name(self, id: str, port: str) -> bool:
        item = self.items.get(id)
        return item is not None and item.family in AC_BY_NAME and port == ""

    def _conductors(self, item: Item) -> tuple[str, ...]:
        """The conductors that a device in the line opens or passes: one on DC, line and neutral on AC."""
        return ("L", "N", "PE") if item.id in self.ac else DC

    # panels, runs, circuits

    def _panel(self, panel) -> None:
        suffixes = POLES if panel.ac else DC
        for suffix in suffixes:
            self._node(f"{panel.id} {suffix}".strip(), panel.id)
        for number, way in panel.ways.items():
            if way.spare:
                continue
            path = ("panels", panel.id, "ways", number)
            kind = "breaker" if self.inventory.is_breaker(way.kind or panel.kind) else "fuse"
            for suffix in suffixes:
                name = f"{panel.id} way {number} {suffix}".strip()
                opens = suffix in ("", "L") or (suffix == "N" and panel.poles == 2)
                edge_kind = kind if opens else "joint"
                self._add(
                    Edge(
                        name,
                        panel.id,
                        edge_kind,
                        f"{panel.id} {suffix}".strip(),
                        name,
                        record=way if opens else None,
                        path=path,
                    )
                )
            if not panel.ac and panel.poles == 2 and panel.negative:
                low = f"{panel.id} way {number} -"
                self._add(
                    Edge(low, panel.id, kind, low, self._terminal(panel.negative, "", False), record=way, path=path)
                )

    def _terminal(self, reference: str, suffix: str, leaving: bool) -> str:
        """The node that a reference means; `leaving` says that a run sets out from a device in the line."""
        id, port = split(reference)
        item = self.items[id]
        if item.family in IN_LINE and port in ("", "pole 2"):
            port = f"{port} {2 if leaving else 1}".strip()
        if suffix and port in POLES:
            return self._node(f"{id} {port}", id)
        return self._node(" ".join(part for part in (id, port, suffix) if part), id)

    def _run(self, name: str, path: tuple) -> None:
        references = [split(step.reference) for step in path if step.reference]
        suffixes = POLES if any(id in self.ac or self._is_ac_name(id, port) for id, port in references) else DC
        if suffixes == POLES and all(port in POLES for _, port in (references[0], references[-1])):
            suffixes = DC  # a single AC conductor, written from terminal to terminal
        for suffix in suffixes:
            self._run_of(name, path, suffix)

    def _run_of(self, name: str, path: tuple, suffix: str) -> None:
        here: str | None = None
        cable: tuple[str, Cable, int] | None = None
        for i, step in enumerate(path):
            if step.id:
                cable = (step.id, step.cable, i)
                continue
            arrive = self._terminal(step.reference, suffix, leaving=i == 0)
            where = ("runs", name, "path", i)
            if here is not None and cable:
                id, spec, at = cable
                self._add(
                    Edge(
                        f"{id} {suffix}".strip(),
                        id,
                        "conductor",
                        here,
                        arrive,
                        cable=spec,
                        path=("runs", name, "path", at, id),
                    )
                )
            elif here is not None:
                self._join(here, arrive, self.nodes[arrive].item, where)
            cable = None
            leave = i != 0 and i != len(path) - 1
            here = self._terminal(step.reference, suffix, leaving=True) if leave else arrive

    def _circuit(self, circuit: Circuit) -> None:
        id, _ = split(circuit.source)
        ac = id in self.ac or self.items[id].family in AC_BY_NAME
        out = [(("circuits", circuit.id, "cable", i), step) for i, step in enumerate(circuit.cable)]
        if ac:
            for suffix in POLES:
                self._leg(circuit, self._terminal(circuit.source, suffix, True), out, suffix, suffix)
            self._consumers(circuit, POLES)
            return
        self._leg(circuit, self._terminal(circuit.source, "", True), out, "+", "")
        if circuit.back is not None:
            back = [(("circuits", circuit.id, "back", i), step) for i, step in enumerate(circuit.back)][::-1]
        else:  # beside the feed in the same cables; devices stand in the feed alone
            back = [(where, step) for where, step in out if step.cable]
        self._leg(circuit, self._back_of(circuit), back, "-", "")
        self._consumers(circuit, ("+", "-"))

    def _back_of(self, circuit: Circuit) -> str:
        if circuit.back_to:
            return self._terminal(circuit.back_to, "", False)
        id, port = split(circuit.source)
        panel = self.inventory.panels[id]
        if panel.poles == 2:
            return f"{id} {port} -"
        return self._terminal(panel.negative, "", False)

    def _leg(self, circuit: Circuit, start: str, steps: Iterable[tuple[tuple, Step]], pole: str, suffix: str) -> None:
        """One pole of a circuit, from its source out to its consumer; the return is laid from its bar outwards too.

        Each step comes with the place where it is written.
        """
        end = self._node(f"{circuit.id} {pole}", circuit.id)
        steps = list(steps) or [(("circuits", circuit.id, "cable"), Step())]
        here, count, pending, where = start, 0, None, ()
        for where, step in steps:
            if step.item:
                arrive = self._terminal(step.item, suffix, False)
                here = self._section(circuit, pole, here, arrive, pending, count, where)
                count += pending is not None
                pending, here = None, self._terminal(step.item, suffix, True)
                continue
            if pending is not None:
                joint = self._node(f"{circuit.id} joint {count + 1} {pole}", circuit.id)
                here = self._section(circuit, pole, here, joint, pending, count, where)
                count += 1
            pending = (step.cable or Cable(), where)
        self._section(circuit, pole, here, end, pending, count, where)

    def _section(self, circuit: Circuit, pole: str, here: str, there: str, pending, count: int, path: tuple) -> str:
        if pending is None:
            self._join(here, there, circuit.id, path)
        else:
            cable, where = pending
            number = f" {count + 1}" if count else ""
            self._add(
                Edge(
                    f"{circuit.id}{number} cable {pole}", circuit.id, "conductor", here, there, cable=cable, path=where
                )
            )
        return there

    def _consumers(self, circuit: Circuit, poles: tuple[str, ...]) -> None:
        plus, minus = poles[0], poles[1]
        if not circuit.loads:
            self._load(circuit.id, circuit, circuit, plus, minus)
            return
        before = circuit.id
        for id, tap in circuit.loads.items():
            hub = tap.behind or (circuit.id if circuit.layout == "star" else before)
            path = ("circuits", circuit.id, "loads", id)
            for pole in poles:
                a, b = f"{hub} {pole}", self._node(f"{id} {pole}", circuit.id)
                if tap.cable:
                    self._add(
                        Edge(
                            f"{id} cable {pole}", circuit.id, "conductor", a, b, cable=tap.cable, path=(*path, "cable")
                        )
                    )
                else:
                    self._join(a, b, circuit.id, path)
            self._load(id, circuit, tap, plus, minus)
            before = id

    def _load(self, id: str, circuit: Circuit, record, plus: str, minus: str) -> None:
        edge = f"{id} load"
        path = ("circuits", circuit.id) if id == circuit.id else ("circuits", circuit.id, "loads", id)
        self._add(Edge(edge, circuit.id, "load", f"{id} {plus}", f"{id} {minus}", record=record, path=path))
        self.consumers[id] = Consumer(id, circuit.id, record, f"{id} {plus}", f"{id} {minus}", edge)
