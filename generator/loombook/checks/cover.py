"""Which conductors the device before them protects, and where one is missing, too far away or too large."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import inf
from typing import TYPE_CHECKING

from ..calc.conductors import standard_areas
from ..calc.overcurrent import DeviceLimit, device_limit, standard_ratings
from ..calc.tables import OutOfTable, next_size_down
from ..network import Edge
from ..study.carrying import ampacity
from .names import amps, square
from .zones import Feed

if TYPE_CHECKING:
    from .survey import Survey


@dataclass(frozen=True)
class Gap:
    """Conductors that a feed lets more through to than they bear."""

    feed: Feed = field(repr=False)
    edges: tuple[Edge, ...]
    """From the feed outwards."""
    amps: float
    """What the feed lets through for long: the device's rating, or what its sources give [A]."""


@dataclass(frozen=True)
class Lead:
    """The piece of conductor from where it is tapped off, or from a source, to its own device."""

    feed: Feed = field(repr=False)
    device: Edge
    edges: tuple[Edge, ...]
    """The conductors that the feed does not protect; empty where it does."""
    at_battery: bool
    """Whether it begins at a battery's post."""

    @property
    def length(self) -> float | None:
        """Longest it can be [m]; None where a length is missing."""
        if any(e.cable.length is None for e in self.edges):
            return None
        return sum(e.cable.length.high for e in self.edges)


class Cover:
    """The protection of one vessel's live conductors."""

    def __init__(self, survey: Survey) -> None:
        self.survey = survey
        self._allowed: dict[str, DeviceLimit | None] = {}

    def allowed(self, edge: Edge) -> DeviceLimit | None:
        """The largest device that a conductor, with all parallel to it, may have; None where its area is not known.

        Of two rule sets, the smaller.
        """
        if edge.id not in self._allowed:
            self._allowed[edge.id] = self._limit(edge)
        return self._allowed[edge.id]

    def _limit(self, edge: Edge) -> DeviceLimit | None:
        twins = [e for e in self._twins.get(frozenset((edge.a, edge.b)), ()) if e.cable.area]
        if edge.cable.area is None or not twins:
            return None
        volts, found = self.survey.nominal(edge), []
        for rules in self.survey.rule_sets:
            try:
                carried = sum(ampacity(self.survey.network, e, rules).amperes for e in twins)
            except OutOfTable:
                return None
            found.append(device_limit(carried, volts, rules))
        return min(found, key=lambda limit: limit.amperes)

    @cached_property
    def _twins(self) -> Mapping[frozenset[str], list[Edge]]:
        found: dict[frozenset[str], list[Edge]] = {}
        for edge in self.survey.network.edges.values():
            if edge.kind == "conductor":
                found.setdefault(frozenset((edge.a, edge.b)), []).append(edge)
        return found

    def let_through(self, feed: Feed) -> float:
        """What a feed lets through for long [A]."""
        device = self.survey.device_of.get(feed.device)
        rating = device.rating.value if device and device.rating else inf
        return min(rating, feed.amps)

    def lets(self, device: Edge) -> float:
        """The most that a device and the sources before it let through for long, either way [A]."""
        return max((self.let_through(feed) for feed in self.feeds() if feed.device == device.id), default=inf)

    def is_bare(self, feed: Feed, edge: Edge) -> bool:
        """Whether a feed lets through more than a conductor bears; a starter's cable is exempt."""
        if edge.kind != "conductor" or self.is_cranking(feed, edge):
            return False
        let, limit = self.let_through(feed), self.allowed(edge)
        return let == inf if limit is None else let > limit.amperes * 1.0001

    def is_cranking(self, feed: Feed, edge: Edge) -> bool:
        """Whether a conductor is a starter's, straight from a start battery: the rule sets ask for no device there."""
        records = [self.survey.network.edges[id].record for id in feed.sources]
        batteries = [record for record in records if record.family == "batteries"]
        straight = not feed.device and batteries and all(battery.duty == "start" for battery in batteries)
        if not straight or not feed.loads.get(feed.far(edge)) or edge.cable.area is None:
            return False
        return edge.cable.area.value * edge.cable.parallel >= self.survey.limit("cranking_area").value

    @cached_property
    def without(self) -> Mapping[str, Gap]:
        """Id of a circuit, motor, converter or charge source → conductors to it with no device of their own (P-01)."""
        found: dict[str, Gap] = {}
        for feed in self.feeds():
            if feed.device and not self._shares_out(feed):
                continue
            for id, node in feed.ends:
                edges = tuple(e for e in feed.way(node) if self._is_stray(feed, e))
                if edges:
                    consumer = self.survey.network.consumers.get(id)
                    owner = consumer.circuit if consumer else id
                    gap = Gap(feed, edges, self.let_through(feed))
                    if owner not in found or found[owner].amps < gap.amps:
                        found[owner] = gap
        return found

    def _is_stray(self, feed: Feed, edge: Edge) -> bool:
        """Whether a conductor is bare, and not the one that the feed's own device stands there for."""
        return self.is_bare(feed, edge) and not (feed.device and edge.id in feed.trunk)

    def feeds(self) -> Iterator[Feed]:
        """Every way into every zone."""
        for feeds in self.survey.zones.feeds.values():
            yield from feeds

    def _shares_out(self, feed: Feed) -> bool:
        """Whether other fuses or breakers lead on from a feed's zone: a bar, not one circuit's wiring."""
        entries = {f.device for f in self.survey.zones.feeds[feed.zone.number]}
        return any(edge.id not in entries for edge, _ in feed.zone.outlets)

    @cached_property
    def leads(self) -> tuple[Lead, ...]:
        """To every device, from where the conductor before it is tapped off (P-02)."""
        found: dict[str, Lead] = {}
        for feed in self.feeds():
            for device, node in feed.zone.outlets:
                if device.id == feed.device:
                    continue
                lead = self._lead(feed, device, node)
                if device.id not in found or _longer(lead, found[device.id]):
                    found[device.id] = lead
        return tuple(found.values())

    def _lead(self, feed: Feed, device: Edge, node: str) -> Lead:
        tail: list[Edge] = []
        way = [e for e in feed.way(node) if e.kind == "conductor"]
        for edge in reversed(way):
            if not self._is_stray(feed, edge) or feed.loads[feed.far(edge)]:
                break
            tail.insert(0, edge)
        at_battery = len(tail) == len(way) and not feed.device and feed.amps == inf
        return Lead(feed, device, tuple(tail), at_battery)

    @cached_property
    def over(self) -> Mapping[str, tuple[Gap | None, Gap | None]]:
        """Device edge id → the worst conductor right behind it, and the worst farther on, that it is too large for."""
        found: dict[str, tuple[list[Gap], list[Gap]]] = {}
        for feed in self.feeds():
            if feed.device:
                first, further = found.setdefault(feed.device, ([], []))
                for edge in feed.zone.conductors:
                    if self._is_thin(feed, edge):
                        before = [e for e in feed.way(feed.far(edge)) if e.kind == "conductor" and e is not edge]
                        (further if before else first).append(Gap(feed, (edge,), self.let_through(feed)))
        return {device: (self._worst(first), self._worst(further)) for device, (first, further) in found.items()}

    def _is_thin(self, feed: Feed, edge: Edge) -> bool:
        """Whether a feed's own device is too large for a conductor, and no nearer device is there for it."""
        if edge.id in self._spoken_for or self.allowed(edge) is None or not self.is_bare(feed, edge):
            return False
        far = feed.far(edge)
        return edge.id in feed.trunk or bool(feed.loads.get(far)) or not feed.outlets.get(far)

    def _worst(self, gaps: list[Gap]) -> Gap | None:
        return min(gaps, key=lambda gap: self.allowed(gap.edges[0]).amperes, default=None)

    def thinnest_behind(self, device: Edge) -> Edge | None:
        """The thinnest conductor that a device is there to protect; what a nearer device protects does not count."""
        feeds = [f for n in (device.a, device.b) for f in self._into.get((device.id, n), ())]
        rows = [e for f in feeds for e in f.zone.conductors if e.cable.area and not self._is_other(f, e)]
        return min(rows, key=lambda e: e.cable.area.value * e.cable.parallel, default=None)

    def _is_other(self, feed: Feed, edge: Edge) -> bool:
        """Whether a conductor waits for a device of its own: a lead to one, or what P-01 says has none."""
        return edge.id in self._spoken_for or (self._is_stray(feed, edge) and not feed.loads.get(feed.far(edge)))

    @cached_property
    def _spoken_for(self) -> frozenset[str]:
        return frozenset(e.id for gap in self.without.values() for e in gap.edges)

    @cached_property
    def _into(self) -> Mapping[tuple[str, str], list[Feed]]:
        found: dict[tuple[str, str], list[Feed]] = {}
        for feed in self.feeds():
            if feed.device:
                found.setdefault((feed.device, feed.entry), []).append(feed)
        return found

    def remedy(self, edge: Edge, rating: float) -> str:
        """`17 A or less, or 4 mm² or more`: a device for the conductor, or a conductor for the device."""
        limit = self.allowed(edge)
        parts = []
        try:
            parts.append(f"a device of {amps(next_size_down(standard_ratings(), limit.amperes))} or less")
        except OutOfTable:
            parts.append(f"a device of {amps(limit.amperes)} or less")
        if rating < inf and (area := self.area_for(edge, rating)):
            parts.append(f"{square(area)} or more")
        return ", or ".join(parts) + "; to be planned by somebody qualified"

    def area_for(self, edge: Edge, rating: float) -> float | None:
        """The smallest standard area that may have a device of this rating in a conductor's place [mm²]."""
        volts, rules = self.survey.nominal(edge), self.survey.rule_sets
        for area in standard_areas():
            try:
                limits = [device_limit(ampacity(self.survey.network, edge, r, area).amperes, volts, r) for r in rules]
            except OutOfTable:
                continue
            if min(limit.amperes for limit in limits) >= rating:
                return area
        return None


def _longer(one: Lead, other: Lead) -> bool:
    """Whether a lead is the longer of two; one of unknown length is the longest."""
    lengths = [inf if lead.length is None else lead.length for lead in (one, other)]
    return lengths[0] > lengths[1]
