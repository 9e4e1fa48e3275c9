"""Voltage drop of each consumer by its rule's own formula, summed over every cable from the last source to the load and
back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..calc.ac import drop_ac, drop_limit_ac
from ..calc.drop import FORMULA_TEXT, FORMULAS, drop_limit
from ..inventory.loads import CRITICAL_USES, Motor
from ..network import Consumer, Network
from ..network.model import SOURCES
from ..network.supply import Hop, SupplyPath
from .carrying import rule_sets
from .design import Design
from .ledger import Ledger, spread, told
from .loads import load_amps, use_of
from .model import Drop, Range, Why


def drops(
    network: Network, supply: Mapping[str, Sequence[SupplyPath]], design: Design, ledger: Ledger
) -> Mapping[str, Drop]:
    """Consumer id → its drop along its first supply path."""
    return {c.id: _Drop(network, c, design, ledger).along(supply.get(c.id, ())) for c in network.consumers.values()}


class _Drop:
    def __init__(self, network: Network, consumer: Consumer, design: Design, ledger: Ledger) -> None:
        self.network, self.consumer, self.design, self.ledger = network, consumer, design, ledger
        edge = network.edges[consumer.edge]
        plus, minus = network.nodes[consumer.plus], network.nodes[consumer.minus]
        self.ac = plus.pole == "L"
        self.nominal = abs((plus.volts or 0.0) - (minus.volts or 0.0))
        self.current = load_amps(network, edge) or None
        self.motor = consumer.id if isinstance(consumer.record, Motor) else ""

    def along(self, paths: Sequence[SupplyPath]) -> Drop:
        limit, source = self._limit()
        if not paths or not self.nominal or self.current is None:
            return Drop(None, None, limit, source, self.nominal, self.current)
        hops, start = last_leg(paths[0])
        cables = [hop for hop in hops if hop.edge.cable]
        missing = tuple(hop.edge.id for hop in cables if hop.edge.cable.area is None or hop.edge.cable.length is None)
        if missing:
            return Drop(None, None, limit, source, self.nominal, self.current, (), None, missing, start)
        rows, low, high = [], 0.0, 0.0
        for hop in cables:
            amps = abs(self.design.through(hop.edge.id, self.motor))
            least, middle, most = self._segment(hop, amps)
            cable = hop.edge.cable
            rows.append((hop.edge.id, cable.length.value, cable.area.value, amps, middle))
            low, high = low + least, high + most
        volts = Range(low, high)
        fraction = Range(low / self.nominal, high / self.nominal)
        return Drop(
            volts,
            fraction,
            limit,
            source,
            self.nominal,
            self.current,
            tuple(rows),
            self._why(volts, len(rows)),
            (),
            start,
        )

    def _segment(self, hop: Hop, amps: float) -> tuple[float, float, float]:
        """Drop along one cable: least, middle, most [V]."""
        cable = hop.edge.cable
        length, area = spread(cable.length, self.ledger, hop.edge.item), spread(cable.area, self.ledger, hop.edge.item)
        share = amps / cable.parallel
        return tuple(
            self._formula(share, *ends)
            for ends in ((length.low, area.high), (cable.length.value, cable.area.value), (length.high, area.low))
        )

    def _formula(self, amps: float, length: float, area: float) -> float:
        if self.ac:
            return drop_ac(amps, length, area, self._power_factor()) / 2  # the formula counts out and back
        return max(FORMULAS[rules](amps, length, area) for rules in rule_sets(self.network))

    def _power_factor(self) -> float:
        own = self.consumer.record.power_factor
        return own.value if own else 0.8

    def _limit(self) -> tuple[float, str]:
        record = self.consumer.record
        if record.drop is not None:
            return record.drop.value, "as the owner or maker sets it"
        use = use_of(self.network, self.consumer)
        if self.ac:
            return drop_limit_ac(use == "lighting") / 100, "IEC 60364-5-52 Annex G"
        limits = [drop_limit(rules, use in CRITICAL_USES) for rules in rule_sets(self.network)]
        least = min(limits, key=lambda found: found.percent)
        return least.percent / 100, least.source

    def _why(self, volts: Range, cables: int) -> Why:
        if self.ac:
            formula, source = "u = b (ρ L / S cos φ + λ L sin φ) I", "IEC 60364-5-52 Annex G"
        else:
            formula, source = [FORMULA_TEXT[rules] for rules in rule_sets(self.network)][-1].split(", ", 1)
        inputs = (
            ("design current", f"{self.current:.3g} A", "rated load"),
            ("cables out and back", str(cables), "the inventory"),
            ("nominal voltage", f"{self.nominal:g} V", "the network"),
        )
        steps = (
            ("drop", told(volts, "voltage")),
            ("of the nominal voltage", told(Range(volts.low / self.nominal, volts.high / self.nominal), "ratio")),
        )
        return Why(formula, source, inputs, steps)


def last_leg(path: SupplyPath) -> tuple[tuple[Hop, ...], str]:
    """The hops from the last source or converter to the load and back, and that source's edge id."""
    hops, start = [], path.source
    for hop in path.out:
        if hop.edge.kind in SOURCES:
            hops, start = [], hop.edge.id
        elif hop.edge.kind != "input":
            hops.append(hop)
    return (*hops, *path.back), start
