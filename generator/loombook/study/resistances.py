"""The resistance of every conducting edge, cold and hot: cables with their terminations, fuses, breakers, switches,
shunts, BMS."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from math import inf

from ..calc.conductors import least_resistance, resistance
from ..inventory.fields import Cable
from ..network import Edge, Network
from . import defaults as d
from .defaults import Default
from .ledger import Ledger, known, spread, told
from .model import Range, Resistance, Why

LEAST = 1e-6
"""No joint and no device has less [Ω]; it keeps a loop of zero-ohm parts solvable."""
UNKNOWN = Range(0.0, inf)


def resistances(network: Network, ledger: Ledger) -> Mapping[str, Resistance]:
    """Edge id → resistance, for every edge that conducts."""
    found: dict[str, Resistance] = {}
    for edge in network.edges.values():
        if edge.conducts:
            found[edge.id] = _BY_KIND[edge.kind](network, edge, ledger)
    return found


def working_temperature(network: Network, cable: Cable) -> float:
    """Temperature at which the hot resistance of a cable is taken [°C]."""
    defaults = network.inventory.defaults
    if defaults.conductor_temperature:
        return defaults.conductor_temperature.high
    insulation = cable.insulation or defaults.insulation
    return min(d.HOT.high, insulation.value) if insulation else d.HOT.high


def is_tinned(network: Network, cable: Cable) -> bool | None:
    """Whether the copper is tinned; None where nothing says so."""
    return cable.tinned if cable.tinned is not None else network.inventory.defaults.tinned


def is_clad(network: Network, cable: Cable) -> bool:
    """Whether a cable is of copper-clad aluminium, by its own word or by the vessel's default."""
    return (cable.conductor or network.inventory.defaults.conductor) == "copper-clad aluminium"


def _conductor(network: Network, edge: Edge, ledger: Ledger) -> Resistance:
    cable = edge.cable
    lacking = [name for name in ("area", "length") if getattr(cable, name) is None]
    if lacking:
        return Resistance(UNKNOWN, UNKNOWN, False, missing=" and ".join(lacking))
    length, area = spread(cable.length, ledger, edge.item), spread(cable.area, ledger, edge.item)
    tinned = is_tinned(network, cable)
    if tinned is None:
        ledger.use(d.TINNED, edge.item)
    ledger.use(d.HOT, edge.item)
    clad = is_clad(network, cable)
    if clad:
        ledger.use(d.CLAD, edge.item)
    ends, assumed = _terminations(network, edge, area, ledger)
    found = _of_cable(
        length, area, cable.parallel, tinned, clad, working_temperature(network, cable), ends,
        (str(cable.length), known(cable.length), str(cable.area), known(cable.area)),
        cable.length.certain and cable.area.certain,
    )  # fmt: skip
    if assumed:
        ledger.use(d.TERMINATION, edge.item, edge.id, min(ends.low / found.cold.low, 1.0))
    return found


@lru_cache(maxsize=4096)
def _of_cable(
    length: Range,
    area: Range,
    count: int,
    tinned: bool | None,
    clad: bool,
    hot_at: float,
    ends: Range,
    told_as: tuple[str, str, str, str],
    certain: bool,
) -> Resistance:
    """The resistance of a cable; many on board are alike."""
    plating, metal = tinned is not False, d.CLAD.high if clad else 1.0
    cold = Range(
        least_resistance(area.high, length.low, parallel=count) * metal + ends.low,
        least_resistance(area.low, length.high, parallel=count) * metal + ends.low,
    )
    hot = Range(
        resistance(area.high, length.low, hot_at, plating, count) * metal + ends.high,
        resistance(area.low, length.high, hot_at, plating, count) * metal + ends.high,
    )
    length_text, length_known, area_text, area_known = told_as
    why = Why(
        "R = ρ · L / S / n + terminations; hot R' · L · (1 + 0.00393 (T − 20)) / n",
        "IEC 60028 cold, IEC 60228 Table 3 hot",
        (
            ("length L", length_text, length_known),
            ("area S", area_text, area_known),
            ("conductors side by side n", str(count), "stated"),
            ("copper", "tinned" if plating else "plain", "assumed" if tinned is None else "stated"),
        ),
        (
            ("cold, 20 °C", told(cold, "resistance")),
            (f"hot, {hot_at:g} °C", told(hot, "resistance")),
            ("of it terminations", told(ends, "resistance")),
        ),
    )
    return Resistance(_floored(cold), _floored(hot), certain, why)


def _terminations(network: Network, edge: Edge, area: Range, ledger: Ledger) -> tuple[Range, bool]:
    """Both ends of a cable together, and whether any of it is a default."""
    count = edge.cable.parallel
    own = network.inventory.defaults.joint_resistance
    low = high = 0.0
    assumed = False
    for node in (edge.a, edge.b):
        junction = network.inventory.junctions.get(node)
        if junction is not None and junction.resistance is not None:
            low += junction.resistance.low / 2
            high += junction.resistance.high / 2
        elif own is not None:
            low += own.low / count
            high += own.high / count
        else:
            assumed = True
            low += max(d.TERMINATION.low / area.high, d.TERMINATION_LEAST) / count
            high += max(d.TERMINATION.high / area.low, d.TERMINATION_LEAST) / count
    return Range(low, high), assumed


def cable_parts(network: Network, edge: Edge, ledger: Ledger) -> tuple[float, float]:
    """Of a cable with area and length: its copper at 20 °C by IEC 60228, and its terminations at most [Ω]."""
    cable = edge.cable
    metal = d.CLAD.high if is_clad(network, cable) else 1.0
    copper = (
        resistance(cable.area.value, cable.length.value, 20, is_tinned(network, cable) is not False, cable.parallel)
        * metal
    )
    area = spread(cable.area, ledger, edge.item)
    return max(copper, LEAST), _terminations(network, edge, area, ledger)[0].high


def _stated(edge: Edge, ledger: Ledger) -> Resistance | None:
    """From the record's own `resistance`."""
    quantity = getattr(edge.record, "resistance", None)
    if quantity is None:
        return None
    range_ = _floored(spread(quantity, ledger, edge.item))
    why = Why("as given", "the inventory", (("resistance", str(quantity), known(quantity)),))
    return Resistance(range_, range_, quantity.certain, why)


def _assumed(default: Default, cold: float, hot: float, *inputs: tuple[str, str, str]) -> Resistance:
    cold, hot = max(cold, LEAST), max(hot, LEAST)
    steps = (("cold", told(Range(cold, cold), "resistance")), ("hot", told(Range(hot, hot), "resistance")))
    why = Why(f"{default.what}: {default.value}", default.source, inputs, steps, "from memory")
    return Resistance(Range(cold, cold), Range(hot, hot), False, why)


def _by_rating(default: Default) -> Callable[[Network, Edge, Ledger], Resistance]:
    """A device whose voltage at its rating is about the same over all ratings."""

    def of(network: Network, edge: Edge, ledger: Ledger) -> Resistance:
        if stated := _stated(edge, ledger):
            return stated
        ledger.use(default, edge.item, edge.id)
        rating = getattr(edge.record, "rating", None)
        amps = rating.value if rating else ledger.use(d.RATING, edge.item).high
        inputs = ("rating", f"{amps:g} A", known(rating) if rating else "assumed")
        return _assumed(default, default.low / max(amps, 0.1), default.high / max(amps, 0.1), inputs)

    return of


def _switch(network: Network, edge: Edge, ledger: Ledger) -> Resistance:
    if edge.record.rating:
        return _by_rating(d.SWITCH)(network, edge, ledger)
    return _stated(edge, ledger) or _flat(d.SWITCH_UNRATED, edge, ledger)


def _shunt(network: Network, edge: Edge, ledger: Ledger) -> Resistance:
    record = edge.record
    if stated := _stated(edge, ledger):
        return stated
    if record.rating is None:
        return _flat(d.SHUNT, edge, ledger)
    drop = record.drop.value if record.drop else ledger.use(d.SHUNT_DROP, edge.item, edge.id).high
    ohms = max(drop / record.rating.value, LEAST)
    inputs = (
        ("voltage at rating", f"{drop * 1000:g} mV", "stated" if record.drop else "assumed"),
        ("rating", str(record.rating), known(record.rating)),
    )
    return Resistance(
        Range(ohms, ohms), Range(ohms, ohms), record.drop is not None, Why("R = U / I", "Ohm's law", inputs)
    )


def _bms(network: Network, edge: Edge, ledger: Ledger) -> Resistance:
    bms = edge.record.bms
    if bms.resistance is not None:
        range_ = _floored(spread(bms.resistance, ledger, edge.item))
        why = Why("as given", "the inventory", (("resistance of the BMS", str(bms.resistance), known(bms.resistance)),))
        return Resistance(range_, range_, bms.resistance.certain, why)
    if bms.current is None:
        return _flat(d.BMS_UNRATED, edge, ledger)
    default = ledger.use(d.BMS_CONTACT if bms.opens_by == "contactor" else d.BMS_SOLID, edge.item, edge.id)
    amps = max(bms.current.value, 0.1)
    return _assumed(default, default.low / amps, default.high / amps, ("current", str(bms.current), known(bms.current)))


def _bond(network: Network, edge: Edge, ledger: Ledger) -> Resistance:
    default, current = ledger.use(d.BOND, edge.item, edge.id), getattr(edge.record, "current", None)
    amps = max(current.value, 0.1) if current else d.RATING.high
    return _assumed(default, default.low / amps, default.high / amps)


def _joint(network: Network, edge: Edge, ledger: Ledger) -> Resistance:
    own = network.inventory.defaults.joint_resistance
    if own is not None:
        why = Why("as given", "the inventory", (("joint resistance", str(own), known(own)),))
        return Resistance(_floored(Range(own.low, own.high)), _floored(Range(own.low, own.high)), own.certain, why)
    return _flat(d.JOINT, edge, ledger)


def _flat(default: Default, edge: Edge, ledger: Ledger) -> Resistance:
    ledger.use(default, edge.item, edge.id)
    return _assumed(default, default.low, default.high)


def _floored(range_: Range) -> Range:
    return Range(max(range_.low, LEAST), max(range_.high, LEAST))


_BY_KIND: Mapping[str, Callable[[Network, Edge, Ledger], Resistance]] = {
    "conductor": _conductor,
    "joint": _joint,
    "bond": _bond,
    "fuse": _by_rating(d.FUSE),
    "breaker": _by_rating(d.BREAKER),
    "switch": _switch,
    "shunt": _shunt,
    "bms": _bms,
}
"""Kind of edge → how its resistance is found."""
