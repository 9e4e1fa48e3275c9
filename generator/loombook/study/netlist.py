"""The study's circuits as SPICE netlists, so that anybody can solve them again with another program.

Every branch is written as what it is here: a resistor, a voltage source behind a resistor, or a behavioural current
source for what limits itself or keeps its power. Node and element names are the ids of the inventory in letters that
SPICE takes; the end of each netlist lists them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np

from ..network import Edge, Network
from ..network.core import core_of
from .acshort import AcCase, ac_netlist, short_in_full
from .faultcase import FaultCase, fault_cases
from .flow import settle
from .layout import Case, Layout
from .ledger import Ledger
from .model import Resistance
from .solve import CURRENT, IDLE, POWER

_OPTIONS = ".options reltol=1e-7 abstol=1e-7 vntol=1e-9 gmin=1e-15 itl1=2000 rshunt=1e12"


def load_flow_netlist(network: Network, resistances: Mapping[str, Resistance], condition: str) -> str:
    """The load flow of one operating condition."""
    case = load_flow_case(network, resistances, condition)
    return netlist_of(case, f"{network.inventory.vessel.name}: load flow, {condition}", network)


def load_flow_case(network: Network, resistances: Mapping[str, Resistance], condition: str) -> Case:
    """The circuit of a load flow, as the study solves it."""
    case, _ = settle(Layout(network, resistances, Ledger()), condition, core_of(network, network.conditions[condition]))
    return case


def netlist_of(case: Case, title: str, network: Network, nominal: bool = False) -> str:
    """A solved case as a netlist.

    Another program begins its search at the voltages of `.nodeset`, and then lets go of them: what it ends with fits
    the elements alone, and a wrong figure of ours would be left behind in its first step. They are our own voltages,
    because limits make it circle from far away, or with `nominal` those that the systems are called by.
    """
    c, names = case.circuit, names_of(case, network)
    lines = [f"* {_line(title)}", "* made by Loombook from the inventory; volts, amperes, ohms", _OPTIONS]
    lines += [
        f"R_{names.element(e)} {names.pair(ends)} {_n(ohms)}"
        for e, ends, ohms in zip(case.wires, c.wires, c.ohms)
        if case.fed[ends[0]]
    ]
    for e, ends, emf, ohms in zip(case.stiff, c.stiff, c.stiff_emf, c.stiff_ohms):
        lines += _behind(names.element(e), names(ends[0]), names(ends[1]), emf, ohms)
    outputs = []
    for e, ends, emf, ohms, limit in zip(case.limited, c.limited, c.limited_emf, c.limited_ohms, c.limit):
        outputs.append((_volts(names, ends), _clamped(_volts(names, ends), emf, ohms, limit)))
        lines.append(f"B_{names.element(e)} {names(ends[1])} {names(ends[0])} I={outputs[-1][1]}")
    for e, ends, law, size, floor in zip(case.loads, c.loads, c.law, c.size_of_load, c.floor):
        if case.fed[ends[0]]:
            lines.append(
                f"B_{names.element(e)} {names.pair(ends)} I={_load(_volts(names, ends), int(law), size, floor)}"
            )
    for e, ends, feeds, efficiency, idle, floor in zip(
        case.entries, c.inputs, c.feeds, c.efficiency, c.idle, c.input_floor
    ):
        volts, amps = outputs[feeds]
        watts = f"(max({volts},0)*max(0,{amps})/{_n(efficiency)}+{_n(idle)})"
        lines.append(f"B_{names.element(e)} {names.pair(ends)} I={watts}*{_power(_volts(names, ends), floor)}")
    first = _nominal(case, network, names) if nominal else case.solution.volts
    starts = [f"v({names(i)})={_n(v)}" for i, v in enumerate(first) if names(i) != "0" and case.fed[i]]
    lines += [f".nodeset {' '.join(starts[i : i + 8])}" for i in range(0, len(starts), 8)]
    return "\n".join([*lines, ".op", *names.legend(), ".end"]) + "\n"


def _nominal(case: Case, network: Network, names: Names) -> list[float]:
    """The voltage that each node's system is called by, above the node that is 0 in its part [V]."""
    volts = [network.nodes[id].volts or 0.0 for id in case.ids]
    parts = case.solution.part.tolist()
    base = {part: volts[i] for i, part in enumerate(parts) if names(i) == "0"}
    return [v - base[part] for v, part in zip(volts, parts)]


def names_of(case: Case, network: Network) -> Names:
    """The SPICE names in a case's netlist."""
    return Names(case.ids, case.solution.part, [network.nodes[id].pole for id in case.ids])


def ac_names(case: AcCase, network: Network) -> Names:
    """The SPICE names in the netlist of a fault of alternating current."""
    return Names(case.ids, case.part, [network.nodes[id].pole for id in case.ids])


def fault_netlist(network: Network, case: FaultCase, place: str) -> str:
    """One fault case with one place shorted; the current of `V_fault` is the fault current."""
    title = f"{network.inventory.vessel.name}: fault at {place} against {dict(case.pairs)[place]}, {case.name}"
    if network.nodes[place].pole == "L":
        found = short_in_full(case, place)
        return ac_netlist(found, _line(title), ac_names(found, network))
    return netlist_of(case.shorted(place), title, network)


def fault_netlists(
    network: Network, resistances: Mapping[str, Resistance], places: Iterable[str] | None = None
) -> Iterator[tuple[str, str, str]]:
    """(case, place, netlist) for every fault case and place; of the bars, panels and battery posts if none are
    named."""
    if places is None:
        inventory = network.inventory
        shared = {*inventory.bars, *inventory.panels, *inventory.batteries}
        places = [n.id for n in network.nodes.values() if n.item in shared and " way " not in n.id]
    wanted = set(places)
    for case in fault_cases(network, resistances, Ledger()):
        for place, _ in case.pairs:
            if place in wanted:
                yield case.name, place, fault_netlist(network, case, place)


class Names:
    """SPICE names of nodes and elements; in each joined part one return is node 0."""

    def __init__(self, ids: Sequence[str], part: np.ndarray, poles: Sequence[str]) -> None:
        self.ids = ids
        grounds: dict[int, int] = {}
        for i, pole in enumerate(poles):
            grounds.setdefault(int(part[i]), i)
            if pole in ("-", "N") and poles[grounds[int(part[i])]] not in ("-", "N"):
                grounds[int(part[i])] = i
        self._taken: set[str] = {"0"}
        self._nodes = ["0" if grounds[int(part[i])] == i else self._free(_word(id)) for i, id in enumerate(ids)]
        self._elements: dict[str, str] = {}

    def __call__(self, index: int) -> str:
        return self._nodes[index]

    def pair(self, ends: np.ndarray) -> str:
        return f"{self._nodes[ends[0]]} {self._nodes[ends[1]]}"

    def element(self, edge: Edge) -> str:
        if edge.id not in self._elements:
            self._elements[edge.id] = self._free(_word(edge.id))
        return self._elements[edge.id]

    def legend(self) -> Iterable[str]:
        yield "* nodes"
        for name, id in zip(self._nodes, self.ids):
            if name.lower() != id.lower():
                yield f"* {name} = {_line(id)}"
        yield "* elements"
        for id, name in self._elements.items():
            if name.lower() != id.lower():
                yield f"* {name} = {_line(id)}"

    def _free(self, word: str) -> str:
        """A name not taken yet; SPICE does not tell capitals from small letters."""
        name, count = word, 1
        while name.lower() in self._taken:
            count += 1
            name = f"{word}_{count}"
        self._taken.add(name.lower())
        return name


def _word(id: str) -> str:
    return re.sub(r"[^A-Za-z0-9]+", "_", id.replace("+", "p").replace("-", "m").replace("=", "to")).strip("_")


def _line(text: str) -> str:
    """Text that cannot leave its comment line."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _n(value: float) -> str:
    return f"{float(value):.15g}"


def _across(high: str, low: str) -> str:
    if low == "0":
        return f"v({high})"
    return f"(-v({low}))" if high == "0" else f"v({high},{low})"


def _volts(names: Names, ends: np.ndarray) -> str:
    return _across(names(ends[0]), names(ends[1]))


def _behind(element: str, high: str, low: str, emf: float, ohms: float) -> list[str]:
    return [f"V_{element} inside_{element} {low} {_n(emf)}", f"R_{element} inside_{element} {high} {_n(ohms)}"]


def _clamped(volts: str, emf: float, ohms: float, limit: float) -> str:
    return f"(max(0,min({_n(limit)},({_n(emf)}-{volts})/{_n(ohms)}))-{_n(IDLE)}*{volts})"


def _power(volts: str, floor: float) -> str:
    """1/U above the floor, U/floor² below it."""
    return f"min({volts},{_n(floor)})/({_n(floor)}*max({volts},{_n(floor)}))"


def _load(volts: str, law: int, size: float, floor: float) -> str:
    if law == POWER:
        return f"{_n(size)}*{_power(volts, floor)}"
    if law == CURRENT:
        return f"{_n(size)}*min({volts},{_n(floor)})/{_n(floor)}"
    return f"{_n(size)}*{volts}"
