"""Whether everything that the inventory names exists: ids, terminals, spaces, conditions, kinds, files."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from ..diagnostics import Diagnostic, Note, did_you_mean
from .devices import BREAKER_KINDS, FUSE_KINDS, Panel
from .loads import Circuit
from .records import Inventory, attribute
from .terminals import IN_LINE, is_terminal, ports, split
from .vessel import Item

_MOST_FILE_BYTES = 25_000_000


def check_references(inventory: Inventory, unreadable: frozenset[str] = frozenset()) -> list[Diagnostic]:
    """Every reference that leads nowhere, as located messages; ids in `unreadable` have a message of their own already."""
    checks = _References(inventory, unreadable)
    found = [
        *checks.spaces(), *checks.runs(), *checks.circuits(), *checks.panels(), *checks.kinds(), *checks.conditions(),
        *checks.notes(), *checks.files(),
    ]  # fmt: skip
    return list(dict.fromkeys(found))


class _References:
    def __init__(self, inventory: Inventory, unreadable: frozenset[str]) -> None:
        self.inventory = inventory
        self.unreadable = unreadable
        self.all = {item.id: item for item in inventory.items()}
        self.cables = [step.id for run in inventory.runs.values() for step in run.path if step.id]
        self.taps = [id for circuit in inventory.circuits.values() for id in circuit.loads]

    def _error(self, rule: str, message: str, path: tuple, *help: str, key: bool = False) -> Diagnostic:
        return self.inventory.error(rule, message, path, "", *(Note("help", text) for text in help if text), key=key)

    def _unknown(self, id: str, path: tuple, wanted: str, known: Iterable[str]) -> Diagnostic:
        return self._error("unknown-id", f"there is no {wanted} `{id}`", path, self._near(id, known))

    def _near(self, id: str, known: Iterable[str]) -> str:
        known = sorted(known)
        guess = did_you_mean(id, known)
        if not guess:
            return f"known are {', '.join(known[:12])}{' …' if len(known) > 12 else ''}" if known else ""
        for name in known:
            if f"`{name}`" in guess and (item := self.all.get(name)) and item.name:
                guess = guess.replace(f"`{name}`", f"`{name}` ({item.name})")
        return guess

    def terminal(self, reference: str, path: tuple, bare_device: bool = False) -> Iterator[Diagnostic]:
        """A reference to a terminal; `bare_device` allows `F1` for a device in the line."""
        id, port = split(reference)
        item = self.all.get(id)
        if id in self.unreadable:
            return
        if item is None or item.family in ("spaces", "circuits"):
            wired = [i.id for i in self.all.values() if i.family not in ("spaces", "circuits")]
            yield self._unknown(id, path, "item", wired)
        elif not is_terminal(item, port) or (not bare_device and item.family in IN_LINE and port in ("", "pole 2")):
            names = [f"{id} {name}".strip() for name in ports(item)]
            what = f"`{id}` has no terminal `{port}`" if port else f"`{id}` needs its terminal"
            if isinstance(item, Panel) and port.startswith("way ") and port[4:] in item.ways:
                what = f"way {port[4:]} of `{id}` is a spare"
            yield self._error("terminal", what, path, self._near(f"{id} {port}", names) if port else f"write one of {', '.join(names)}")

    def spaces(self) -> Iterator[Diagnostic]:
        known = self.inventory.spaces
        for item in self.inventory.items():
            if item.at and item.at.space and item.at.space not in known:
                yield self._unknown(item.at.space, (item.family, item.id, "at", "space"), "space", known)
        for family in ("spares", "prints"):
            for i, row in enumerate(getattr(self.inventory, family)):
                if row.at and row.at.space and row.at.space not in known:
                    yield self._unknown(row.at.space, (family, i, "at", "space"), "space", known)
        for name, run in self.inventory.runs.items():
            for i, step in enumerate(run.path):
                for space in step.cable.spaces if step.cable else ():
                    if space not in known:
                        yield self._unknown(space, ("runs", name, "path", i, step.id, "spaces"), "space", known)
        for id, circuit in self.inventory.circuits.items():
            for cable in [s.cable for s in circuit.cable if s.cable] + [t.cable for t in circuit.loads.values() if t.cable]:
                for space in cable.spaces:
                    if space not in known:
                        yield self._unknown(space, ("circuits", id, "cable"), "space", known)

    def runs(self) -> Iterator[Diagnostic]:
        first: dict[str, tuple] = {}
        passed: dict[str, tuple] = {}
        for name, run in self.inventory.runs.items():
            where = ("runs", name)
            if len(run.path) < 2:
                yield self._error("run", f"run `{name}` goes from nowhere to nowhere", where, "a run is a list of two terminals at least", key=True)
                continue
            for i, step in enumerate(run.path):
                path = (*where, "path", i)
                ends = i in (0, len(run.path) - 1)
                if step.id:
                    yield from self._cable_step(run, i, step.id, path, first)
                    continue
                yield from self.terminal(step.reference, path, bare_device=True)
                id, port = split(step.reference)
                item = self.all.get(id)
                if not ends and item and item.family in IN_LINE and port in ("", "pole 2"):
                    if (id, port) in passed:
                        note = Note("first", "here", self.inventory.place(*passed[id, port]))
                        yield self.inventory.error("run", f"a second run goes through `{step.reference}`", path, "", note)
                    passed[id, port] = path
                elif not ends and item and not (item.family in ("bars", "junctions", "panels") and port == ""):
                    yield self._error("run", f"run `{name}` goes on after the terminal `{step.reference}`", path, "end the run here and begin another at the next terminal")

    def _cable_step(self, run, i: int, id: str, path: tuple, first: dict[str, tuple]) -> Iterator[Diagnostic]:
        if i in (0, len(run.path) - 1):
            side = "begins" if i == 0 else "ends"
            yield self._error("run", f"the run {side} with cable `{id}`, at no terminal", path, "say what the cable is joined to: a bar, a post, a device")
        elif run.path[i - 1].id:
            yield self._error("run", f"cable `{id}` follows cable `{run.path[i - 1].id}` with nothing that joins them", path, "put the junction between them, also one that nobody sees")
        if id in self.all:
            yield self._error("duplicate", f"`{id}` is an item among {self.all[id].family}, not a cable", path, "a device stands in a run by its id alone, without a colon")
        elif id in first:
            note = Note("first", "given here", self.inventory.place(*first[id]))
            yield self.inventory.error("duplicate", f"cable `{id}` is given twice", path, "given again", note)
        first.setdefault(id, path)

    def circuits(self) -> Iterator[Diagnostic]:
        taps: dict[str, tuple] = {}
        for id, circuit in self.inventory.circuits.items():
            path = ("circuits", id)
            yield from self.terminal(circuit.source, (*path, "from"))
            back, place = self._return_of(circuit)
            if back:
                yield from self.terminal(back, place)
            elif not self._is_ac(circuit.source):
                yield self._error("missing", f"circuit `{id}` returns nowhere", path, "give `back to:` a terminal, or the panel its `negative`", key=True)
            for key in ("cable", "back"):
                for i, step in enumerate(getattr(circuit, key) or ()):
                    if step.item:
                        yield from self._in_line(step.item, (*path, key, i))
            yield from self._loads(id, circuit, taps)

    def _return_of(self, circuit: Circuit) -> tuple[str | None, tuple]:
        if circuit.back_to:
            return circuit.back_to, ("circuits", circuit.id, "back to")
        panel = self.all.get(split(circuit.source)[0])
        return (panel.negative, ("panels", panel.id, "negative")) if isinstance(panel, Panel) else (None, ())

    def _is_ac(self, reference: str) -> bool:
        item = self.all.get(split(reference)[0])
        return item is None or (isinstance(item, Panel) and item.ac) or item.family in ("shore inlets", "inverters")

    def _in_line(self, reference: str, path: tuple) -> Iterator[Diagnostic]:
        id, port = split(reference)
        item = self.all.get(id)
        if id in self.unreadable:
            return
        if item is None:
            yield self._unknown(id, path, "device or junction", [i.id for i in self.all.values() if i.family in (*IN_LINE, "junctions")])
        elif item.family not in (*IN_LINE, "junctions"):
            yield self._error("terminal", f"a circuit's cable cannot go through `{id}`, one of the {item.family}", path, "fuses, breakers, switches, shunts and junctions can stand in it")

    def _loads(self, id: str, circuit: Circuit, taps: dict[str, tuple]) -> Iterator[Diagnostic]:
        path = ("circuits", id)
        if circuit.load and circuit.loads:
            yield self._error("circuit", f"circuit `{id}` has both `load` and `loads`", (*path, "load"), "keep the one that holds", key=True)
        for tap, record in circuit.loads.items():
            here = (*path, "loads", tap)
            if tap in self.all or tap in taps:
                yield self._error("duplicate", f"`{tap}` is given twice", here, key=True)
            taps.setdefault(tap, here)
            if record.behind and record.behind not in circuit.loads:
                yield self._unknown(record.behind, (*here, "behind"), "load", circuit.loads)
            if record.at and record.at.space and record.at.space not in self.inventory.spaces:
                yield self._unknown(record.at.space, (*here, "at", "space"), "space", self.inventory.spaces)

    def panels(self) -> Iterator[Diagnostic]:
        for id, panel in self.inventory.panels.items():
            if panel.negative:
                yield from self.terminal(panel.negative, ("panels", id, "negative"))

    def kinds(self) -> Iterator[Diagnostic]:
        known = {*FUSE_KINDS, *BREAKER_KINDS, *self.inventory.curves}
        for family in ("fuses", "breakers", "panels"):
            for item in getattr(self.inventory, family).values():
                rows = [((family, item.id, "kind"), item.kind)]
                if isinstance(item, Panel):
                    rows += [((family, item.id, "ways", n, "kind"), way.kind) for n, way in item.ways.items() if way.kind]
                for path, kind in rows:
                    if kind not in known:
                        yield self._error("kind", f"`{kind}` is no kind of fuse or breaker", path, self._near(kind, known), "or give its points under `curves`")

    def conditions(self) -> Iterator[Diagnostic]:
        inventory = self.inventory
        runs_on = {*inventory.circuits, *inventory.motors, *self.taps}
        sources = {i.id for f in ("alternators", "solar arrays", "shore inlets", "chargers", "inverters", "converters", "solar controllers", "batteries", "motors") for i in getattr(inventory, attribute(f)).values()}
        for name, condition in inventory.conditions.items():
            path = ("conditions", name)
            for switch, position in condition.switches.items():
                if switch not in inventory.switches and switch not in inventory.breakers:
                    yield self._unknown(switch, (*path, "switches", switch), "switch", inventory.switches)
                elif position not in (known := positions(self.all[switch])):
                    yield self._error("word", f"`{position}` is no position of `{switch}`", (*path, "switches", switch), f"it has {', '.join(known)}")
            for i, source in enumerate(condition.sources or ()):
                if source not in sources:
                    yield self._unknown(source, (*path, "sources", i), "source", sources)
            for id in condition.duty:
                if id not in runs_on:
                    yield self._unknown(id, (*path, "duty", id), "circuit or motor", runs_on)
        for switch in inventory.switches.values():
            if switch.normal not in (known := positions(switch)):
                yield self._error("word", f"`{switch.normal}` is no position of `{switch.id}`", ("switches", switch.id, "normal"), f"it has {', '.join(known)}")
        if inventory.conditions:
            for family in ("circuits", "motors"):
                for item in getattr(inventory, family).values():
                    for name in item.duty_in:
                        if name not in inventory.conditions:
                            yield self._unknown(name, (family, item.id, "duty in", name), "operating condition", inventory.conditions)

    def notes(self) -> Iterator[Diagnostic]:
        known = {*self.all, *self.taps, *self.cables, self.inventory.vessel.name}
        for family in ("waivers", "tests"):
            for i, row in enumerate(getattr(self.inventory, family)):
                if row.item not in known and split(row.item)[0] not in known:
                    yield self._unknown(row.item, (family, i, "item"), "item", known)

    def files(self) -> Iterator[Diagnostic]:
        folder = self.inventory.folder
        if folder is None:
            return
        for item in self.inventory.items():
            for key in ("photo", "papers"):
                for i, name in enumerate(getattr(item, key)):
                    if problem := _file_problem(folder, name):
                        yield self._error("file", f"`{name}` {problem}", (item.family, item.id, key, i), "files stand beside the inventory, named from its folder: `photos/q1.jpg`")


def positions(item: Item) -> tuple[str, ...]:
    """The positions that a switch or breaker has."""
    kind = getattr(item, "kind", "")
    return {"change-over": ("1", "2", "off"), "selector": ("1", "2", "both", "off")}.get(kind, ("on", "off"))


def _file_problem(folder: Path, name: str) -> str:
    root = folder.resolve()
    try:
        path = (root / name).resolve()
        if not path.is_relative_to(root):
            return "leads out of the inventory's folder"
        if not path.is_file():
            return "is not there"
        return "has more than 25 MB" if path.stat().st_size > _MOST_FILE_BYTES else ""
    except (OSError, ValueError):
        return "is not a file name"


