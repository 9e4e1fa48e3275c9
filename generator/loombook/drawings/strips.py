"""The supply strip of each consumer: source to load and back, test points numbered, with the volts to expect."""

from __future__ import annotations

from collections.abc import Iterator

from ..network import Edge, Network, Node
from ..network.supply import Hop, SupplyPath
from ..study.model import Flow, Study
from . import facts
from .model import Cable, Element, Stop, Strip

SUPPLIES = 2
"""Strips drawn for one consumer at the most: the two nearest sources."""


def strips(study: Study) -> Iterator[Strip]:
    """One strip for each consumer that is supplied; a second for a second battery is drawn where it goes another way."""
    for id in study.network.consumers:
        for number, path in enumerate(_distinct(study.supply.get(id) or study.reserve.get(id, ()))):
            yield _strip(study, path, number)


def _distinct(paths: tuple[SupplyPath, ...]) -> list[SupplyPath]:
    return list(paths[:1]) + [p for p in paths[1:] if p.through != paths[0].through][: SUPPLIES - 1] if paths else []


def _strip(study: Study, path: SupplyPath, number: int) -> Strip:
    network = study.network
    consumer = network.consumers[path.consumer]
    flow = _flow(study, consumer.edge)
    count = [0]

    def stop(hop: Hop) -> Stop:
        return _stop(study, hop, flow, count)

    out = tuple(_merged(path.out, stop))
    load = facts.load(network, path.consumer) if network.inventory.item(path.consumer) else _tap(network, path.consumer)
    back = tuple(_merged(path.back, stop))
    source = network.edges[path.source]
    name = f"strip-{path.consumer}" + (f".{number + 1}" if number else "")
    title = f"Supply of {consumer.name} from {network.title(source.item)}"
    return Strip(name, title, Stop(facts.source(network, source.item)), out, Stop(load, where=_where(consumer.record)), back,
                 f"The way of the current from {network.title(source.item)} to {consumer.name} and back.")  # fmt: skip


def _tap(network: Network, id: str) -> Element:
    record = network.consumers[id].record
    return Element(
        facts.LOADS.get(record.use, "load"),
        id,
        tuple(x for x in (record.name or "", str(record.load)) if x),
        record.name or id,
        facts.href(id),
    )


def _merged(hops: tuple[Hop, ...], stop) -> Iterator[Stop]:
    """Joints and a converter's input are no stations of their own."""
    for hop in hops:
        if hop.edge.kind not in ("joint", "input", "bond"):
            yield stop(hop)


def _stop(study: Study, hop: Hop, flow: Flow | None, count: list[int]) -> Stop:
    network, edge = study.network, hop.edge
    if edge.kind == "conductor":
        return Stop(_cable(edge))
    element = facts.device(network, edge)
    expect = _expected(study, network.nodes[hop.into], flow)
    count[0] += 1
    record = network.inventory.item(edge.item)
    return Stop(element, str(count[0]), expect, _where(record))


def _cable(edge: Edge) -> Cable:
    return facts.cables((edge,))


def _where(record) -> str:
    at = getattr(record, "at", None)
    return at.place or "" if at else ""


def _flow(study: Study, load: str) -> Flow | None:
    """The operating condition in which the consumer draws most."""
    flows = [flow for flow in study.flows.values() if flow.amps.get(load, 0) > 0]
    return max(flows, key=lambda flow: flow.amps[load], default=None)


def _expected(study: Study, node: Node, flow: Flow | None) -> str:
    if flow is None or node.id not in flow.volts or node.pole not in ("+", "L"):
        return ""
    volts = flow.volts[node.id]
    return f"about {facts.volts(volts)}" if volts > 0.5 else ""
