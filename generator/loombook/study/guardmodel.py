"""What protects a conductor, and what a fuse or breaker can do where it stands, as values."""

from __future__ import annotations

from dataclasses import dataclass, field

from ..calc.curves import Band
from .model import Range


@dataclass(frozen=True)
class Protection:
    """What protects a conductor against overcurrent from the side of its sources."""

    devices: tuple[str, ...]
    """Edge ids of the fuses and breakers first met from the conductor towards each source; empty: none."""
    unprotected_from: tuple[str, ...] = ()
    """Ids of the sources that reach it with no fuse or breaker between."""
    distance: float | None = None
    """From the source's terminal to the first device along the conductor [m]; None where a length is missing.

    A conductor that leaves an unprotected bar has the stretch from the source to the bar in it too: 33 CFR 183.455(b)
    and ISO 10133 8.1 (both as in `device_distance.csv`) measure from the source of power, and a bar is none. Measured
    from the bar alone the figure would be smaller, never larger.
    """


@dataclass(frozen=True)
class Selective:
    """A device against one upstream of it, or against a battery's management unit."""

    upstream: str
    """Edge id of the device, or id of the battery."""
    kind: str
    """`device` or `bms`."""
    verdict: str
    """`full`, `up to`, `none`; empty where a band is not known."""
    limit: float | None = None
    """Fault current up to which only the nearer device opens [A]."""
    share: float = 1.0
    """Part of the fault current that goes through the upstream one."""
    unknown: str = ""
    """Why there is no verdict."""


@dataclass(frozen=True)
class Starting:
    """A load's start through a device."""

    consumer: str
    amps: float
    """Start current and all else through the device at that moment [A]."""
    seconds: float | None
    holds: bool | None
    """Whether the device is sure to hold; None where a band or the time is not known."""


@dataclass(frozen=True)
class Guard:
    """What one fuse or breaker can do where it stands."""

    device: str
    """Edge id."""
    family: str
    rating: float | None
    """[A]"""
    band: Band | None = field(repr=False)
    """Its time–current band; None where `unknown` says why."""
    unknown: str
    volts: float
    """Highest voltage that the sources bring it to [V]."""
    highest: Range | None
    """Prospective fault current where it stands, the larger of its two ends [A]."""
    through: Range | None
    """The most that flows through itself when either end is shorted [A]."""
    breaks: float | None
    """Breaking capacity at this voltage [A]; None where `breaks_source` says why it is not known."""
    breaks_source: str
    conductors: tuple[str, ...] = field(repr=False)
    """The conductors for which it is the first device towards a source."""
    smallest: str
    """Of them the one that bears least."""
    bears: float | None
    """Energy that it bears, k²S² [A²s]."""
    far: str
    """The place within its reach with the lowest fault current through it."""
    lowest: float | None
    """That current [A]."""
    lowest_assumed: bool
    """Whether it rests on a default for a source: then it is this much or more."""
    opens: tuple[float, float] | None
    """Shortest and longest opening time at it [s]; inf where it need not open."""
    lets_through: tuple[float, float] | None
    """Least and most energy let through at the highest fault current [A²s]."""
    most_energy: float | None
    """The most let through at any fault current from the lowest to the highest that opens it within 5 s [A²s]."""
    starts: tuple[Starting, ...] = ()
    selectivity: tuple[Selective, ...] = ()
    blackout: tuple[str, ...] = ()
    """Batteries whose management unit opens before it at the highest fault behind it: all that feed it, or none."""
