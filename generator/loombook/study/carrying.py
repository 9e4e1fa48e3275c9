"""What each conductor carries continuously where it lies, by the vessel's rule set, beside the current it is expected
to carry."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from ..calc.ampacity import Ampacity, allowable_current
from ..calc.tables import OutOfTable
from ..inventory.vessel import Item
from ..network import Edge, Network
from .model import Carrying, Why

_allowable = cache(allowable_current)


def rule_sets(network: Network) -> tuple[str, ...]:
    """The rule sets that the vessel is checked against."""
    rules = network.inventory.vessel.rules
    return ("iso", "us") if rules == "both" else (rules,)


def carrying(network: Network, design: Mapping[str, float]) -> Mapping[str, Carrying]:
    """Conductor edge id → what it carries; of two rule sets the one that allows less."""
    return {
        edge.id: _of(network, edge, design.get(edge.id)) for edge in network.edges.values() if edge.kind == "conductor"
    }


EXPECTED = (
    "every circuit behind it at its load and the one motor that adds most, or what charges at its rating, whichever is more; "
    "of alternating current no more than its source gives; Kirchhoff's laws"
)


def _of(network: Network, edge: Edge, design: float | None) -> Carrying:
    design = None if design is None else abs(design)
    if edge.cable.area is None:
        return Carrying(None, design, None, "area")
    try:
        allowed = min((ampacity(network, edge, rules) for rules in rule_sets(network)), key=lambda a: a.amperes)
    except OutOfTable as error:
        return Carrying(None, design, None, str(error))
    return Carrying(allowed.amperes, design, _why(edge, allowed, design))


def ampacity(network: Network, edge: Edge, rules: str, area: float | None = None) -> Ampacity:
    """The current that a rule set allows a conductor, or one of another area in its place.

    Raises:
        OutOfTable: the rule set's table does not reach it
    """
    cable, defaults = edge.cable, network.inventory.defaults
    insulation = cable.insulation or defaults.insulation
    hot, ambient = surroundings(network, edge)
    volts = max((network.nodes[n].volts or 0.0 for n in (edge.a, edge.b)), default=0.0)
    return _allowable(
        area if area is not None else cable.area.low,
        insulation.low if insulation else None,
        rules,
        engine_space=hot,
        bundled=cable.bundle or defaults.bundle or 1,
        voltage=volts,
        ac=network.nodes[edge.a].pole in ("L", "N"),
        ambient=ambient,
        parallel=cable.parallel,
    )


def surroundings(network: Network, edge: Edge) -> tuple[bool, float | None]:
    """Whether a conductor passes an engine space, and the highest temperature declared for the spaces it passes
    [°C]."""
    inventory, defaults = network.inventory, network.inventory.defaults
    engine, temperatures = False, []
    for id in spaces_of(network, edge):
        space = inventory.spaces.get(id)
        if space is None:
            continue
        declared = space.temperature or (defaults.engine_space if space.engine else None)
        engine = engine or space.engine
        if declared:
            temperatures.append(declared.high)
    if defaults.ambient:
        temperatures.append(defaults.ambient.high)
    return engine, max(temperatures, default=None)


def spaces_of(network: Network, edge: Edge) -> tuple[str, ...]:
    """The spaces that a conductor passes: those written with it, and those of the items at its ends."""
    found = dict.fromkeys(edge.cable.spaces)
    for node in (edge.a, edge.b):
        item = item_of(network, node)
        if item is not None and item.at and item.at.space:
            found[item.at.space] = None
    return tuple(found)


def item_of(network: Network, node: str) -> Item | None:
    """The item that a node belongs to; the large families are looked through first."""
    inventory, id = network.inventory, network.nodes[node].item
    for family in (inventory.circuits, inventory.panels, inventory.bars, inventory.fuses):
        if id in family:
            return family[id]
    return inventory.item(id)


@cache
def _words(allowed: Ampacity) -> tuple[tuple[tuple[str, str], ...], str]:
    steps = (
        ("allowable", str(allowed)),
        *((f.name, f"{f.value:.3g}: {f.why}, {f.source} ({f.mark})") for f in allowed.factors),
    )
    return steps + tuple(("note", note) for note in allowed.notes), str(allowed.mark)


def _why(edge: Edge, allowed: Ampacity, design: float | None) -> Why:
    cable = edge.cable
    steps, mark = _words(allowed)
    inputs = (
        ("area", str(cable.area), cable.area.how),
        ("table row", allowed.row, "looked up"),
        ("insulation class", allowed.column, "stated" if cable.insulation else "default"),
        ("bundle", str(cable.bundle or 1), "stated" if cable.bundle else "default"),
    )
    if design is not None:
        inputs += (("expected current", f"{design:.3g} A", EXPECTED),)
    return Why(
        "Iz = table · temperature factor · bundle factor · parallel conductors", allowed.source, inputs, steps, mark
    )
