"""What a fuse or breaker can do where it stands, in the words of pages: each question with its figure and verdict."""

from __future__ import annotations

from dataclasses import dataclass
from math import isinf

from ..calc.adiabatic import LONGEST
from ..calc.tables import Mark
from ..quantities import digits, in_unit
from ..study.guard_whys import energy, pulse_clears, pulse_words, times, verdict
from ..study.guardmodel import Guard, Selective
from ..study.model import Fault
from ..study.pulses import Charged, charged
from .book import Book
from .devices import Device, device_id
from .figures import cannot, figure
from .text import EMPTY, Badge, Inline, Lines, Link, Marked, Strong, joined
from .words import few, span_unit

SOME = 4
"""So many starting loads or upstream devices are named one by one."""


@dataclass(frozen=True)
class Said:
    """The answer to one question about a device."""

    words: Inline
    good: bool | None
    """None where it cannot be told."""

    @property
    def badge(self) -> Inline:
        """The answer with its verdict, which no colour carries alone."""
        if self.good is None:
            return self.words
        return (Badge("pass", "yes"), " ", self.words) if self.good else (Strong("no: "), self.words)

    def leading(self, why: str) -> Inline:
        """The same, its verdict leading to its why; the words may hold links of their own."""
        if self.good is None:
            return (self.words, " ", Link(why, "why"))
        verdict = Badge("pass", "yes") if self.good else Strong("no")
        return (Link(why, verdict), " " if self.good else ": ", self.words)


def guard_of(book: Book, device: Device) -> Guard | None:
    """What was worked out for a device: that of its live pole."""
    return next((book.study.guards[id] for id in device.edges if id in book.study.guards), None)


def why_at(book: Book, guard: Guard) -> str:
    """Where it is told how a device's figures came about."""
    edge = book.network.edges[guard.device]
    return f"item:{edge.item}#{anchor(book, guard)}"


def anchor(book: Book, guard: Guard) -> str:
    """The place of its "why" on the page."""
    edge = book.network.edges[guard.device]
    return f"why-guard-{edge.path[3]}" if edge.path[:1] == ("panels",) else "why-guard"


def worst_fault(book: Book, guard: Guard) -> Fault | None:
    """The larger of the faults at its two ends."""
    edge = book.network.edges[guard.device]
    found = [f for n in (edge.a, edge.b) if (f := book.study.faults.get(n)) and f.highest]
    return max(found, key=lambda f: f.highest.high, default=None)


def least(guard: Guard) -> str:
    """The lowest fault current through it; where a source is a default, that much or more."""
    return in_unit(guard.lowest, "current", 2) + (" or more" if guard.lowest_assumed else "")


# breaks


def breaks(book: Book, guard: Guard) -> Said:
    """Its breaking capacity at this voltage against the most that flows through it."""
    if guard.breaks is None:
        return Said(cannot(guard.breaks_source), None)
    can = f"{in_unit(guard.breaks, 'current', 2)} at {digits(guard.volts, 3)} V"
    if guard.through is None or guard.through.high <= 0:
        return Said((can, "; ", cannot("no source reaches it")), None)
    words = f"{can}, {span_unit(guard.through, 'current', 2)} through it at most"
    pulse = pulse_of(book, guard)
    if pulse is not None:
        words = f"{words}; {pulse_words(pulse)}"
    if guard.breaks >= guard.through.high:
        spared = pulse is None or pulse.spared
        return Said(words, True) if spared else Said((words, "; ", cannot(pulse_clears(pulse))), None)
    fault = worst_fault(book, guard)
    if fault and fault.missing:
        cables = ", ".join(dict.fromkeys(id.split(" ")[0] for id in fault.missing))
        return Said((words, "; ", cannot(f"length and area of {cables} would tell")), None)
    if fault and fault.assumed and guard.breaks >= guard.through.low:
        return Said((words, "; ", cannot("the battery's resistance is a guess; cells: resistance would tell")), None)
    return Said(words, False)


def pulse_of(book: Book, guard: Guard) -> Charged | None:
    """What charged capacitors add in the first moment, judged as the rules judge it."""
    return charged(guard, book.courses.pulse(book.network.edges[guard.device]))


# opens


def opens(book: Book, guard: Guard) -> Said:
    """How long it takes at the lowest fault current within its reach."""
    if guard.lowest is None:
        return Said(cannot("the lowest fault current; a length or area on the way, or a source, is not known"), None)
    at = (least(guard), " at ", book.node(guard.far))
    if guard.opens is None:
        return Said((at, ": ", cannot(f"its curve ({short(guard.unknown)})")), None)
    words = (times(guard.opens), " at ", at)
    if guard.opens[1] <= LONGEST:
        return Said(words, True)
    if borne := endured(book, guard):
        return Said((words, "; ", borne), True)
    if guard.lowest_assumed:
        return Said((words, "; ", cannot("what its source gives is a default; its own figure would tell")), None)
    if guard.opens[0] <= LONGEST:
        return Said((words, "; ", cannot("its band leaves it open; its own curve would tell")), None)
    return Said(words, False)


# spares its conductor


def spares(book: Book, guard: Guard) -> Said:
    """What it lets through against what its smallest conductor bears."""
    if not guard.conductors:
        return Said("protects no wire", None)
    if guard.bears is None:
        return Said(cannot("the area of the wires behind it"), None)
    if guard.lets_through is None:
        return Said(cannot(f"its curve ({short(guard.unknown)})" if guard.unknown else "no source reaches it"), None)
    least, most = guard.lets_through
    most = max(most, guard.most_energy or 0.0)
    words = f"{'' if isinf(most) else 'up to '}{energy(most)} against {energy(guard.bears)} of {guard.smallest}"
    if most <= guard.bears:
        return Said(words, True)
    if borne := endured(book, guard):
        return Said(borne, True)
    fault = worst_fault(book, guard)
    if fault and fault.assumed:
        return Said((words, "; ", cannot(f"what {_givers(book, fault)} gives is a default")), None)
    if least > guard.bears:
        return Said(f"{energy(least)} or more against {energy(guard.bears)} of {guard.smallest}", False)
    return Said((words, "; ", cannot("its band leaves it open; its own curve would tell")), None)


def _givers(book: Book, fault: Fault) -> str:
    return ", ".join(dict.fromkeys(book.network.edges[id].item for id, _ in fault.shares[:3]))


def endured(book: Book, guard: Guard) -> str:
    """Why it need not open for its wires' sake, where every one of them carries for good the most that any source gives
    into a short here; empty otherwise."""
    carried = [c.amps for id in guard.conductors if (c := book.study.carrying.get(id))]
    if guard.highest is None or len(carried) < len(guard.conductors) or not carried or None in carried:
        return ""
    if guard.highest.high > min(carried):
        return ""
    most, least = in_unit(guard.highest.high, "current", 2), in_unit(min(carried), "current", 2)
    return f"it need not: no more than {most} flows into a short here, and each wire behind it carries {least} for good"


def margin(guard: Guard) -> Inline:
    """What the conductor bears over the most that is let through; never closer than its band."""
    if guard.bears is None or guard.lets_through is None:
        return "–"
    most = max(guard.lets_through[1], guard.most_energy or 0.0)
    return "none" if most <= 0 or isinf(most) else f"{digits(guard.bears / most, 2)} or more"


# holds a start


def holds(book: Book, guard: Guard) -> Said | None:
    """Whether loads start through it; None where none has a start current."""
    if not guard.starts:
        return None
    bad = [s for s in guard.starts if s.holds is False]
    silent = [s for s in guard.starts if s.holds is None]
    shown = bad or silent or list(guard.starts)
    parts = [_start(book, s) for s in sorted(shown, key=lambda s: -s.amps)]
    words = joined(few(parts, SOME), "; ")
    if bad:
        return Said(words, False)
    if silent:
        why = f"its curve ({short(guard.unknown)})" if guard.unknown else "start: current and time would tell"
        return Said((words, "; ", cannot(why)), None)
    return Said(words, True)


def _start(book: Book, start) -> Inline:
    time = f" for {in_unit(start.seconds, 'time', 2)}" if start.seconds is not None else ", time not given"
    return (book.named(start.consumer), f" {in_unit(start.amps, 'current', 2)}{time}")


# goes first


def selective(book: Book, guard: Guard) -> Said | None:
    """Against everything upstream; None where nothing stands there."""
    if not guard.selectivity:
        return None
    good = [s for s in guard.selectivity if s.verdict == "full"]
    bad = [s for s in guard.selectivity if s.verdict in ("none", "up to")]
    silent = [s for s in guard.selectivity if not s.verdict]
    lines = [against(book, s) for s in (*bad, *silent)]
    if good:
        lines.append(("full against ", joined(few([upstream(book, s) for s in good], SOME))))
    return Said(Lines(tuple(lines)), False if bad else None if silent else True)


def against(book: Book, found: Selective, why: str = "") -> Inline:
    """One pair: `up to 480 A against F7`."""
    words: Inline = figure(verdict(found), why) if found.verdict else cannot(short(found.unknown))
    return (words, " against ", upstream(book, found))


def short(reason: str) -> str:
    """A reason without the list of all that there is."""
    return reason.split("; the table has")[0]


def upstream(book: Book, found: Selective) -> Inline:
    """The device or the management unit that stands upstream."""
    if found.kind == "bms":
        return ("the BMS of ", book.id(found.upstream))
    return book.id(device_id(book.network.edges[found.upstream]))


# its band


def band_words(guard: Guard) -> Inline:
    """Where its band comes from, and how well it is known."""
    if guard.band is None:
        return cannot(f"its curve ({short(guard.unknown)})")
    words = f"{guard.band.source}, {guard.band.mark.words}"
    notes = f"; {'; '.join(guard.band.notes)}" if guard.band.notes else ""
    known = guard.band.mark in (Mark.SEEN, Mark.STATED)
    return words + notes if known else Marked(words + notes, "memory")


def linked(book: Book, guard: Guard, said: Said | None) -> Inline:
    """An answer in a cell of a table, with the way to its why."""
    return EMPTY if said is None else said.leading(why_at(book, guard))
