"""The results of the study, as values: every figure with its range, its evidence and the inputs that lead to it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from ..network import Network
from ..network.isolate import Isolation
from ..network.supply import SupplyPath

if TYPE_CHECKING:
    from .balance import Balance, Essential
    from .banks import BankStudy
    from .cards import Cards
    from .day import Day, Month
    from .dips import Dip
    from .drive import Drive
    from .guardmodel import Guard, Protection
    from .mains import Mains
    from .sharing import Sharing
    from .warming import Warm
    from .working import AtWork, Supplying


@dataclass(frozen=True)
class Range:
    """A figure as the lowest and the highest that the inputs allow, in the unit that its holder says."""

    low: float
    high: float

    @property
    def value(self) -> float:
        return (self.low + self.high) / 2

    @property
    def is_range(self) -> bool:
        return self.low != self.high


@dataclass(frozen=True)
class Why:
    """How a figure came about: what "why" shows."""

    formula: str
    """In the signs of the source: `E = 0.0164 · I · L / S`."""
    source: str
    """Standard, clause and edition, or `common practice, no source`."""
    inputs: tuple[tuple[str, str, str], ...] = ()
    """(what, value with unit, how known)."""
    steps: tuple[tuple[str, str], ...] = ()
    """(what, intermediate value with unit)."""
    mark: str = ""
    """`seen`, `seen secondary`, `from memory`, `computed`."""


@dataclass(frozen=True)
class Whys:
    """How many figures of one kind came about: what they share once, and row by row what each has of its own."""

    shared: Why
    heads: tuple[str, ...]
    """Of the columns: what the row is about, then its inputs and steps, with their units."""
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Assumption:
    """A default that was used because the inventory is silent."""

    what: str
    """`resistance of a crimped joint`."""
    value: str
    source: str
    items: tuple[str, ...]
    """Ids of the items it was used for."""
    effect: str = ""
    """How far it moves the results, in words with a figure."""
    moves: float = 0.0
    """Part of the result that it moves most by which that result moves, 0 to 1; 0 where no figure can be given."""


@dataclass(frozen=True)
class Resistance:
    """Of one edge [Ω]: cold and least, hot and most, each as a range where an input is one."""

    cold: Range
    """At 20 °C, the least to reckon with: for the highest fault current."""
    hot: Range
    """At the working temperature, the most to reckon with: for drop, load flow and the lowest fault current."""
    certain: bool
    """False where a default or an estimate went in."""
    why: Why | None = None
    missing: str = ""
    """The field that is not known: then the resistance is anything from nothing to infinite."""


@dataclass(frozen=True)
class Carrying:
    """What a conductor carries continuously here [A]; None where its area is not known."""

    amps: float | None
    design: float | None
    """The current it is expected to carry [A]."""
    why: Why | None
    missing: str = ""
    """What field would allow it, where `amps` is None."""


@dataclass(frozen=True)
class Drop:
    """Voltage drop of a consumer by the rule's formula, source to load and back."""

    volts: Range | None
    fraction: Range | None
    """Of the nominal voltage."""
    limit: float
    """The limit as a fraction: 0.03 or 0.10, or the owner's."""
    limit_source: str
    nominal: float
    current: float | None
    segments: tuple[tuple[str, float, float, float, float], ...] = ()
    """(edge id, length [m], area [mm²], current [A], drop [V]) for every cable out and back."""
    why: Why | None = None
    missing: tuple[str, ...] = ()
    """Edge ids of the cables whose length or area is not known; with any of them there is no figure."""
    source: str = ""
    """Id of the battery or converter from which it is counted."""


@dataclass(frozen=True)
class Fault:
    """Prospective short-circuit current at a node, positive to its own negative (or line to neutral) [A]."""

    highest: Range | None
    """Cold, full, every source; None where no source reaches."""
    lowest: Range | None
    """Hot, low, weakest single source, with the arc margin."""
    shares: tuple[tuple[str, float], ...] = ()
    """(source edge id, part of the highest current [A]), largest first."""
    volts: float = 0.0
    """Voltage before the fault, highest [V]."""
    against: str = ""
    """The node of the other pole."""
    assumed: bool = False
    """Whether the resistance or limit of a source that gives the highest is a default of ours: it is a range and says so."""
    lowest_assumed: bool = False
    """The same of the sources that give the lowest."""
    how: Callable[[], Why] | None = field(default=None, repr=False, compare=False)
    """Tells how it came about."""
    sustained: float | None = None
    """What the highest current settles to after the first tenths of a second [A]; None where nothing reaches."""
    weakest: tuple[str, ...] = ()
    """Ids of the source edges that alone give the lowest current."""
    ruled_by: str = ""
    """The edge (conductor, device or source) in which most of the power of the highest fault goes, or whose limit rules
    it."""
    state: str = ""
    """The switch positions in which the highest current flows, in words."""
    alone: tuple[tuple[tuple[str, ...], Range], ...] = ()
    """(source edges, lowest current) for each set of sources that feeds it alone; the first is `lowest`."""
    missing: tuple[str, ...] = ()
    """Edge ids of cables without length or area that it depends on: `highest` is then an upper bound with them at
    0 Ω, and `lowest` holds only over the other ways, or is None."""

    @cached_property
    def why(self) -> Why | None:
        """How it came about, put into words when somebody asks."""
        return self.how() if self.how else None


@dataclass(frozen=True)
class Flow:
    """The load flow in one operating condition."""

    condition: str
    volts: Mapping[str, float] = field(repr=False)
    """Node id → potential against its system's reference [V]."""
    amps: Mapping[str, float] = field(repr=False)
    """Edge id → current from `a` to `b` [A]; for a source the current it delivers."""
    problems: tuple[tuple[str, str], ...] = ()
    """(item id, what cannot be supplied and why): a result with a name and a place."""
    behind: Mapping[str, tuple[str, ...]] = field(default_factory=dict, repr=False)
    """Node id → cables without length or area on the way to it: its voltage is then at most what `volts` says."""

    def across(self, plus: str, minus: str) -> float | None:
        """Voltage between two nodes [V]; None where either is not reached."""
        if plus in self.volts and minus in self.volts:
            return self.volts[plus] - self.volts[minus]
        return None


@dataclass(frozen=True)
class Study:
    """Everything worked out about one vessel."""

    network: Network = field(repr=False)
    resistances: Mapping[str, Resistance] = field(repr=False)
    carrying: Mapping[str, Carrying] = field(repr=False)
    """Conductor edge id → what it carries."""
    drops: Mapping[str, Drop] = field(repr=False)
    """Consumer id → its drop."""
    faults: Mapping[str, Fault] = field(repr=False)
    """Node id → its fault current."""
    flows: Mapping[str, Flow] = field(repr=False)
    """Operating condition → its load flow."""
    protection: Mapping[str, Protection] = field(repr=False)
    """Edge id of each conductor on a hot pole → its protection."""
    supply: Mapping[str, tuple[SupplyPath, ...]] = field(repr=False)
    """Consumer id → its supply paths in normal use, best first."""
    reserve: Mapping[str, tuple[SupplyPath, ...]] = field(repr=False)
    """Consumer id → further supply paths with switches put otherwise than normal."""
    lost: Mapping[str, tuple[str, ...]] = field(repr=False)
    """Edge id → ids of the consumers that go dead when it alone opens."""
    ship: Isolation = field(repr=False)
    systems: Mapping[str, Isolation] = field(repr=False)
    spaces: Mapping[str, Isolation] = field(repr=False)
    balances: Mapping[str, Balance] = field(default_factory=dict, repr=False)
    """Operating condition → what is used, lost and given in it."""
    banks: tuple[BankStudy, ...] = field(default=(), repr=False)
    days: tuple[Day, ...] = field(default=(), repr=False)
    """Each bank over a usual day of operating conditions."""
    essentials: tuple[Essential, ...] = field(default=(), repr=False)
    """Each bank alone with what must work in an emergency; empty where nothing is marked essential."""
    sun: tuple[Month, ...] = field(default=(), repr=False)
    """What the sun brings month by month; empty without an array."""
    dips: Mapping[str, Dip] = field(default_factory=dict, repr=False)
    """Motor id → the dip at every bus when it starts."""
    sharings: tuple[Sharing, ...] = field(default=(), repr=False)
    warm: Mapping[str, Warm] = field(default_factory=dict, repr=False)
    """Conductor edge id → how warm its own current makes it in the load flow."""
    working: Mapping[str, AtWork] = field(default_factory=dict, repr=False)
    """Consumer id → its volts while it works, in each operating condition."""
    supplying: Mapping[str, tuple[Supplying, ...]] = field(default_factory=dict, repr=False)
    """Operating condition → every source that is on, with what it gives and takes."""
    drives: tuple[Drive, ...] = field(default=(), repr=False)
    mains: Mains | None = field(default=None, repr=False)
    guards: Mapping[str, Guard] = field(default_factory=dict, repr=False)
    """Edge id of each fuse and breaker on a live pole → what it can do."""
    defaults_used: Callable[[], tuple[Assumption, ...]] = field(default=tuple, repr=False, compare=False)
    """Tells which were, and how far each moves a result."""
    design: Mapping[str, float] = field(default_factory=dict, repr=False)
    """Edge id → design current from `a` to `b`: every circuit at its load, and the one motor that adds most [A]."""

    @cached_property
    def assumptions(self) -> tuple[Assumption, ...]:
        """Every default that was used, what moves a result furthest first; put into words when pages ask."""
        return self.defaults_used()

    @cached_property
    def cards(self) -> Cards:
        """The emergency cards, without who tried them; worked out when drawings or pages ask."""
        from .cards import undated

        return undated(self.network)
