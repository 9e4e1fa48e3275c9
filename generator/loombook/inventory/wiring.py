"""Whether runs and circuits can be followed from step to step: every one begins, goes on and ends at something."""

from __future__ import annotations

from collections.abc import Iterator

from ..diagnostics import Diagnostic, Note
from .devices import Panel
from .loads import Circuit, Run
from .lookup import Lookup
from .records import ITEM_ID
from .terminals import IN_LINE, split

_CABLE_FORM = "a cable's id is capital letters and a number, and what follows it is the cable: `W1: 70 mm², 0.35 m`"


_TWO = 'one cable is one text, in quotation marks: `["1.5 mm², 2 m"]`; two cables have the junction between them'
_ONE_WAY = "it has one way in and one way out; what branches, branches at a bar or a junction"


def check_wiring(lookup: Lookup) -> Iterator[Diagnostic]:
    """Every step of a run or of a circuit's cable that leads nowhere or twice to the same place."""
    wiring = _Wiring(lookup)
    yield from wiring.runs()
    yield from wiring.circuits()


class _Wiring:
    def __init__(self, lookup: Lookup) -> None:
        self.lookup = lookup
        self.inventory = lookup.inventory
        self.passed: dict[tuple[str, str], tuple] = {}
        self.cables: dict[str, tuple] = {}
        self.loads: dict[str, tuple] = {}

    def runs(self) -> Iterator[Diagnostic]:
        for name, run in self.inventory.runs.items():
            if len(run.path) < 2:
                help = 'a run goes from one terminal to another: `[G1 +, W1: "16 mm², 0.5 m", F1]`'
                yield self.lookup.error("run", f"run `{name}` has fewer than two steps", ("runs", name), help, key=True)
                continue
            for i in range(len(run.path)):
                yield from self._step(name, run, i)

    def _step(self, name: str, run: Run, i: int) -> Iterator[Diagnostic]:
        step, path = run.path[i], ("runs", name, "path", i)
        if step.id:
            yield from self._cable(run, i, step.id, (*path, step.id))
            return
        yield from self.lookup.terminal(step.reference, path, bare_device=True)
        id, port = split(step.reference)
        item = self.lookup.items.get(id)
        if item is None or i in (0, len(run.path) - 1):
            return
        if item.family in IN_LINE and port in ("", "pole 2"):
            yield from self._pass(id, port, path)
        elif not (item.family in ("bars", "junctions", "panels") and port == ""):
            message = f"run `{name}` goes on after the terminal `{step.reference}`"
            yield self.lookup.error("run", message, path, "end the run here, and begin another at the next terminal")

    def _pass(self, id: str, port: str, path: tuple) -> Iterator[Diagnostic]:
        """A device has one way through: what goes in at `1` comes out at `2`."""
        if (id, port) in self.passed:
            yield self._again("run", f"a second way goes through `{id}`", path, self.passed[id, port], _ONE_WAY)
        self.passed.setdefault((id, port), path)

    def _again(
        self, rule: str, message: str, path: tuple, first: tuple, help: str = "", key: bool = False
    ) -> Diagnostic:
        notes = [Note("first", "here", self.inventory.error("", "", first, key=key).place)]
        return self.inventory.error(
            rule, message, path, "again", *notes, *([Note("help", help)] if help else []), key=key
        )

    def _cable(self, run: Run, i: int, id: str, path: tuple) -> Iterator[Diagnostic]:
        error = self.lookup.error
        if i in (0, len(run.path) - 1):
            side = "begins" if i == 0 else "ends"
            help = "name what the cable is joined to there: a post, a bar, a device, a junction"
            yield error("run", f"the run {side} with cable `{id}`, at no terminal", path, help, key=True)
        elif run.path[i - 1].id:
            message = f"cable `{id}` follows cable `{run.path[i - 1].id}` with nothing that joins them"
            yield error("run", message, path, "put the junction between them, also one that nobody sees", key=True)
        if id in self.lookup.items:
            message = f"`{id}` is one of the {self.lookup.items[id].family}, not a cable"
            yield error(
                "duplicate", message, path, "a device stands in a run by its id alone, without a colon", key=True
            )
        elif id in self.cables:
            yield self._again("duplicate", f"cable `{id}` is given twice", path, self.cables[id], key=True)
        elif not ITEM_ID.fullmatch(id):
            yield error("id", f"`{id}` cannot be a cable's id", path, _CABLE_FORM, key=True)
        self.cables.setdefault(id, path)

    def circuits(self) -> Iterator[Diagnostic]:
        for id, circuit in self.inventory.circuits.items():
            path = ("circuits", id)
            yield from self.lookup.terminal(circuit.source, (*path, "from"))
            yield from self._return(circuit)
            for key in ("cable", "back"):
                yield from self._circuit_cable(circuit, key)
            if circuit.load and circuit.loads:
                message = f"circuit `{id}` has both `load` and `loads`"
                yield self.lookup.error(
                    "circuit", message, (*path, "load"), "keep `load` for one consumer, `loads` for several", key=True
                )
            yield from self._loads(circuit)

    def _return(self, circuit: Circuit) -> Iterator[Diagnostic]:
        path = ("circuits", circuit.id)
        panel = self.lookup.items.get(split(circuit.source)[0])
        if circuit.back_to:
            yield from self.lookup.terminal(circuit.back_to, (*path, "back to"))
        elif not (isinstance(panel, Panel) and panel.negative) and not self._is_ac(circuit.source):
            help = "give it `back to:` and the terminal; or give its panel `negative:` once for all its circuits"
            yield self.lookup.error("missing", f"circuit `{circuit.id}` has no way back", path, help, key=True)

    def _is_ac(self, reference: str) -> bool:
        item = self.lookup.items.get(split(reference)[0])
        return (
            item is None
            or (isinstance(item, Panel) and item.ac)
            or item.family in ("shore inlets", "generators", "inverters")
        )

    def _circuit_cable(self, circuit: Circuit, key: str) -> Iterator[Diagnostic]:
        steps = getattr(circuit, key) or ()
        for i, step in enumerate(steps):
            path = ("circuits", circuit.id, key, i)
            if step.item:
                yield from self._in_line(step.item, path)
            elif i and not steps[i - 1].item:
                yield self.lookup.error("circuit", "a cable follows a cable with nothing that joins them", path, _TWO)

    def _in_line(self, reference: str, path: tuple) -> Iterator[Diagnostic]:
        id, port = split(reference)
        item = self.lookup.items.get(id)
        families = (*IN_LINE, "junctions")
        if id in self.lookup.unreadable:
            return
        if item is None:
            yield self.lookup.unknown(
                id, path, "device or junction", [i.id for i in self.lookup.items.values() if i.family in families]
            )
        elif item.family not in families:
            message = f"a circuit's cable cannot go through `{id}`, one of the {item.family}"
            yield self.lookup.error(
                "terminal", message, path, "fuses, breakers, switches, shunts and junctions can stand in it"
            )
        elif item.family in IN_LINE:
            yield from self._pass(id, port, path)

    def _loads(self, circuit: Circuit) -> Iterator[Diagnostic]:
        for tap, record in circuit.loads.items():
            path = ("circuits", circuit.id, "loads", tap)
            if item := self.lookup.items.get(tap):
                yield self._again("duplicate", f"`{tap}` is given twice", path, (item.family, tap), key=True)
            elif first := self.loads.get(tap) or self.cables.get(tap):
                yield self._again("duplicate", f"`{tap}` is given twice", path, first, key=True)
            elif not ITEM_ID.fullmatch(tap):
                help = "a load's id is capital letters and a number: `E3`; what people call it is its `name`"
                yield self.lookup.error("id", f"`{tap}` cannot be an id", path, help, key=True)
            self.loads.setdefault(tap, path)
            if record.behind and record.behind not in circuit.loads:
                others = [other for other in circuit.loads if other != tap]
                yield self.lookup.unknown(record.behind, (*path, "behind"), "load of this circuit", others)
            elif record.behind and _is_behind_itself(circuit, tap):
                help = "of a chain, one load has no `behind`: the one that the circuit's cable reaches first"
                message = f"`{tap}` is fed only round a loop of loads behind each other"
                yield self.lookup.error("loop", message, (*path, "behind"), help, part=record.behind)


def _is_behind_itself(circuit: Circuit, tap: str) -> bool:
    """Whether one who goes from load to load towards the supply comes back to where he began."""
    at = circuit.loads[tap].behind
    for _ in circuit.loads:
        if at is None or at not in circuit.loads or at == tap:
            break
        at = circuit.loads[at].behind
    return at == tap
