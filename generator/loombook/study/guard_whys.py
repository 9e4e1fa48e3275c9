"""Why a fuse or breaker is judged as it is: what went in, how known, by which formula, and what came out between."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf, isinf

from ..calc.adiabatic import k_of_insulation
from ..network import Network
from ..quantities import digits, in_unit
from .guardmodel import Guard, Selective
from .ledger import known, told
from .model import Why, Whys
from .pulses import Charged

FORMULA = (
    "breaking capacity ≥ highest current through it; t = band(I), straight between its gates on logarithmic scales; "
    "I²t ≤ k²S²; selective where t_near,most(I) ≤ t_far,least(share · I)"
)
PULSE = (
    "charged capacitors: i_p = κ U/R, I²t = C U²/2R; may melt where I²t ≥ the least that the band lets through at both "
    "together"
)
PULSE_SOURCE = "capacitors: IEC 61660-1:1997 (from memory)"
MOST = 6
"""So many upstream devices are told one by one."""


def of_guard(network: Network, guard: Guard, pulse: Charged | None = None) -> Why:
    """How all that is said of one device came about."""
    band = guard.band
    source = f"the band: {band.source} ({band.mark.words})" if band else "no band is known"
    return Why(
        f"{FORMULA}; {PULSE}" if pulse else FORMULA,
        f"{source}; {ADIABATIC}" + (f"; {PULSE_SOURCE}" if pulse else ""),
        (*_inputs(network, guard), *_given(pulse)),
        (*_steps(network, guard), *_judged(pulse)),
        "computed",
    )


WAYS = (
    "Way", "Device", "Most that flows through it", "Lowest fault current, and opens in", "Smallest wire", "Lets through",
    "Starts, and devices upstream",
)  # fmt: skip
ADIABATIC = (
    "adiabatic equation: IEC 60364-4-43, 434.5.2 (from memory); comparison of bands: IEC 60947-2 Annex A (from memory)"
)


def of_ways(network: Network, guards: Mapping[str, Guard], pulses: Mapping[str, Charged]) -> Whys:
    """How all that is said of a panel's ways came about: what they share once, and a row for each way.

    Args:
        guards: number of the way → its guard
        pulses: number of the way → the pulse through it, where there is one
    """
    bands = dict.fromkeys(f"{g.family}: {g.band.source} ({g.band.mark.words})" for g in guards.values() if g.band)
    notes = dict.fromkeys(note for g in guards.values() if g.band for note in g.band.notes)
    volts = dict.fromkeys(digits(g.volts, 3) for g in guards.values())
    faults = dict.fromkeys(told(g.highest, "current") for g in guards.values() if g.highest)
    breaks = dict.fromkeys((in_unit(g.breaks, "current", 3), g.breaks_source) for g in guards.values() if g.breaks)
    shared = [("highest voltage that it sees", f"{' or '.join(volts)} V", "batteries full, or the sources' set-points")]
    shared += [("prospective fault current where they stand", words, "computed, cold and full") for words in faults]
    shared += [("breaking capacity at this voltage", words, source) for words, source in breaks]
    shared += [("lowest fault current", "at the far end of the wires", "hot, low, one source, arc")]
    shared += [("what is uncertain about their band", note, "") for note in notes]
    formula, source = (f"{FORMULA}; {PULSE}", f"{ADIABATIC}; {PULSE_SOURCE}") if pulses else (FORMULA, ADIABATIC)
    why = Why(formula, f"the bands: {'; '.join(bands) or 'none is known'}; {source}", tuple(shared), (), "computed")
    return Whys(why, WAYS, tuple(_way(network, number, g, pulses.get(number)) for number, g in guards.items()))


def _way(network: Network, number: str, guard: Guard, pulse: Charged | None) -> tuple[str, ...]:
    rating = network.edges[guard.device].record.rating
    device = f"{guard.family}, {f'{guard.rating:g} A' if guard.rating else 'rating not known'}"
    lets = (
        [f"{energy(guard.lets_through[0])} to {energy(guard.lets_through[1])} at the highest"]
        if guard.lets_through
        else []
    )
    if guard.most_energy is not None:
        lets.append(f"{energy(guard.most_energy)} at any that it opens within 5 s")
    lowest = "–"
    if guard.lowest is not None:
        opens = f": {times(guard.opens)}" if guard.opens else ""
        lowest = f"{in_unit(guard.lowest, 'current', 3)} at {guard.far}{opens}"
    wire = "–"
    if guard.smallest:
        what, size, how = _conductor(network, guard)
        wire = f"{guard.smallest}: {size} ({how})" + (
            f"; k²S² = {energy(guard.bears)}" if guard.bears is not None else ""
        )
    return (
        number,
        device + (f" ({known(rating)})" if rating is not None else ""),
        "–" if guard.through is None else "; ".join((told(guard.through, "current"), *_besides(pulse))),
        lowest,
        wire,
        "; ".join(lets) or "–",
        "; ".join(f"{what}: {words}" for what, words in _others(network, guard)) or "–",
    )


def _inputs(network: Network, guard: Guard) -> Iterator[tuple[str, str, str]]:
    rating = network.edges[guard.device].record.rating
    how = known(rating) if rating is not None else "not recorded"
    yield "kind and rating", f"{guard.family}, {f'{guard.rating:g} A' if guard.rating else 'not known'}", how
    yield "highest voltage that it sees", f"{digits(guard.volts, 3)} V", "batteries full, or the sources' set-points"
    if guard.highest:
        yield "prospective fault current where it stands", told(guard.highest, "current"), "computed, cold and full"
    if guard.breaks is not None:
        yield "breaking capacity at this voltage", in_unit(guard.breaks, "current", 3), guard.breaks_source
    if guard.lowest is not None:
        yield (
            f"lowest fault current within its reach, at {guard.far}",
            in_unit(guard.lowest, "current", 3),
            "hot, low, one source, arc",
        )
    if guard.smallest:
        yield _conductor(network, guard)
    for note in guard.band.notes if guard.band else ():
        yield "what is uncertain about its band", note, ""


def _conductor(network: Network, guard: Guard) -> tuple[str, str, str]:
    cable = network.edges[guard.smallest].cable
    given = cable.insulation or network.inventory.defaults.insulation
    k = k_of_insulation(given.low if given else None)
    number = f"{cable.parallel} × " if cable.parallel > 1 else ""
    size = f"S = {number}{digits(cable.area.low, 3)} mm², k = {digits(k, 3)} A·s½/mm²"
    how = f"area {known(cable.area)}; insulation {given if given else 'not given, taken as 60 °C'}, fully loaded before"
    return f"smallest conductor to the next device, {guard.smallest}", size, how


def _steps(network: Network, guard: Guard) -> Iterator[tuple[str, str]]:
    if guard.through is not None:
        yield "most that flows through it when either of its ends is shorted", told(guard.through, "current")
    if guard.opens and guard.lowest:
        yield f"opens at {in_unit(guard.lowest, 'current', 3)} in", times(guard.opens)
    if guard.bears is not None:
        yield "k²S²", energy(guard.bears)
    if guard.lets_through:
        yield (
            "lets through at the highest current",
            f"{energy(guard.lets_through[0])} to {energy(guard.lets_through[1])}",
        )
    if guard.most_energy is not None:
        yield "most at any fault current that it opens within 5 s", energy(guard.most_energy)
    yield from _others(network, guard)


def _others(network: Network, guard: Guard) -> Iterator[tuple[str, str]]:
    """What else decides: the loads that start through it, and what stands upstream."""
    for start in guard.starts[:MOST]:
        time = f" for {in_unit(start.seconds, 'time', 2)}" if start.seconds is not None else ", time not given"
        yield (
            f"start of {network.consumers[start.consumer].name} with all else",
            in_unit(start.amps, "current", 3) + time,
        )
    for other in guard.selectivity[:MOST]:
        yield f"against {other.upstream}, which carries {other.share * 100:.0f} % of the fault", verdict(other)
    if len(guard.selectivity) > MOST:
        yield "further devices upstream", str(len(guard.selectivity) - MOST)
    if guard.blackout:
        yield "management units that open before it at the highest fault", ", ".join(guard.blackout)


def _given(pulse: Charged | None) -> Iterator[tuple[str, str, str]]:
    if pulse:
        how = "capacitance as written down, their own resistance left out"
        yield "charged capacitors behind it", ", ".join(pulse.pulse.gives), how


def _judged(pulse: Charged | None) -> Iterator[tuple[str, str]]:
    if pulse:
        yield "with charged capacitors", pulse_words(pulse)


def _besides(pulse: Charged | None) -> Iterator[str]:
    if pulse:
        yield f"{', '.join(pulse.pulse.gives)}: {pulse_words(pulse)}"


def pulse_words(found: Charged) -> str:
    """A pulse and its verdict, as pages and rules say it."""
    if not found.known:
        return "besides, charged capacitors of unknown peak: a length is not known"
    peak = in_unit(found.pulse.peak, "current", 2)
    words = f"besides, charged capacitors for a moment up to {peak}, {energy(found.pulse.heat)}"
    if found.breaks_both:
        return f"{words}: within its capacity too"
    if found.spared:
        return f"{words}: less than melts it, {energy(found.melts)}"
    return f"{words}: it may melt in it, and have to break both"


def pulse_clears(found: Charged) -> str:
    """What would tell whether it has to break the pulse."""
    return "the capacitors' papers would tell" if found.known else "the length to the capacitors would tell"


def verdict(found: Selective) -> str:
    """`full`, `up to 482 A`, `none`, or why there is none."""
    if found.verdict == "up to":
        return f"up to {in_unit(found.limit, 'current', 2)}"
    return found.verdict or f"cannot check: {found.unknown}"


def times(opens: tuple[float, float]) -> str:
    """Shortest and longest opening time in words."""
    least, most = opens
    if isinf(least):
        return "never: it need not open, and does not"
    shortest = "0 s" if least == 0 else in_unit(least, "time", 2)
    if isinf(most):
        return f"{shortest} at the soonest; it need not open at all"
    longest = in_unit(most, "time", 2)
    return longest if shortest == longest else f"{shortest} to {longest}"


def energy(value: float) -> str:
    """I²t with two digits that mean something: `33 600 A²s`.

    >>> energy(33596.0), energy(1.5e6)
    ('33,600 A²s', '1,500,000 A²s')
    """
    if value == inf:
        return "no limit"
    text = digits(value, 3)
    return f"{float(text):,.{len(text.partition('.')[2])}f} A²s"
