"""The pulse of charged capacitors through a fuse or breaker, and whether it may have to be broken: one verdict."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from .guardmodel import Guard


@dataclass(frozen=True)
class Pulse:
    """What charged capacitors add through a device when its far side is shorted."""

    peak: float
    """Their peaks added up [A]; inf where it is not known."""
    heat: float
    """I²t = C U²/2R of all of them [A²s]."""
    gives: tuple[str, ...] = ()
    """Ids of the items whose capacitors give it."""


@dataclass(frozen=True)
class Charged:
    """A device against the highest fault and a pulse on top of it."""

    pulse: Pulse
    melts: float
    """Least energy that opens it at both together [A²s]; 0 where its band is not known."""
    breaks_both: bool
    """Whether its breaking capacity covers pulse and fault together."""

    @property
    def known(self) -> bool:
        return self.pulse.peak < inf

    @property
    def spared(self) -> bool:
        """Whether the pulse leaves the verdict on the fault as it is."""
        return self.known and (self.breaks_both or self.pulse.heat < self.melts)


def charged(guard: Guard, pulse: Pulse) -> Charged | None:
    """Judge a pulse; None where there is none, or where no fault or breaking capacity is known to set it against.

    The pulse is over in milliseconds. A device that does not melt in it breaks only what the sources sustain; one that
    may melt has to break pulse and fault together.
    """
    if pulse.peak <= 0 or guard.breaks is None or guard.through is None:
        return None
    if pulse.peak == inf:
        return Charged(pulse, 0.0, False)
    both = guard.through.high + pulse.peak
    melts = guard.band.let_through(both)[0] if guard.band else 0.0
    return Charged(pulse, melts, guard.breaks >= both)
