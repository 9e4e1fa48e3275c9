"""Coordination charts from the study: a device's band, those upstream of it, what its wire bears, and the fault range."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import sqrt

from ..calc import curves
from ..calc.adiabatic import LONGEST
from ..quantities import digits, in_unit
from ..study.coordination import Path, paths
from ..study.devices import bms_band, stretched
from ..study.guardmodel import Guard, Selective, Starting
from ..study.model import Study
from .chartmodel import Band, Curve, Span, TimeCurrent

SHORTEST, TOP = 1e-4, 1e4
"""The times that a chart shows [s]."""
LEAST = 1e-7
"""Stands for no time at all, below what is shown [s]."""
BANDS = 6
"""So many bands at most stand in one chart, a BMS among them; further ones are told in the table."""


def draw(study: Study) -> dict[str, str]:
    """Every coordination chart worth drawing, as SVG text by name."""
    found = coordination_charts(study)
    if not found:
        return {}
    from . import charts  # Matplotlib takes long to load: only a vessel with a chart waits for it

    return {chart.name: charts.draw(chart) for chart in found}


def coordination_charts(study: Study) -> tuple[TimeCurrent, ...]:
    """The charts before they are drawn."""
    return tuple(_chart(study, path) for path in paths(study.network, study.guards))


def _chart(study: Study, path: Path) -> TimeCurrent:
    guard = path.guard
    low, high = _window(path)
    return TimeCurrent(
        path.name,
        f"Time against current: {_called(guard)}",
        tuple(_bands(study, path, low, high)),
        tuple(_limits(study, guard, low, high)),
        (Span(f"fault current behind it, {_amps(guard.lowest)} to {_amps(guard.highest.high)}", guard.lowest, guard.highest.high),),
        tuple(_starts(study, guard)),
        "Current is that of a fault just behind the device. The verdicts stand in the table.",
        (low, high),
        (SHORTEST, TOP),
    )  # fmt: skip


def _amps(value: float) -> str:
    return in_unit(value, "current", 2)


def _window(path: Path) -> tuple[float, float]:
    """From below the smallest current at which something opens, to above the highest fault, in half decades."""
    guard = path.guard
    least = min([guard.rating, guard.lowest, *(s.amps for s in guard.starts)])
    return _floor(0.8 * least), 2 * guard.highest.high


def _floor(value: float) -> float:
    """1, 2 or 5 times a power of ten, not above a value."""
    power = 10.0 ** len(str(int(value))) / 10 if value >= 1 else 0.1
    return next((n * power for n in (5, 2, 1) if n * power <= value), 0.1)


def _called(guard: Guard) -> str:
    """`X4 way 7, B 10 A`."""
    return f"{guard.device}, {guard.family} {guard.rating:g} A"


# bands


def _bands(study: Study, path: Path, low: float, high: float) -> Iterator[Band]:
    yield _band(_called(path.guard), path.guard.band, low, high)
    alike: dict[tuple, list[Selective]] = {}
    for found in path.upstream:
        band, called = _upstream(study, found)
        alike.setdefault((called, band, round(found.share, 2)), []).append(found)
    devices = [key for key, rows in alike.items() if rows[0].kind == "device"]
    units = [key for key, rows in alike.items() if rows[0].kind == "bms"]
    for key in (*devices[: BANDS - 1 - min(len(units), 1)], *units)[: BANDS - 1]:
        (called, band, share), rows = key, alike[key]
        ids = " and ".join(found.upstream for found in rows)
        part = "" if share > 0.99 else f", {'which carries' if len(rows) == 1 else 'each carries'} {share * 100:.0f} %"
        yield _band(called.format(ids) + part, stretched(band, 1 / rows[0].share), low, high)


def _upstream(study: Study, found: Selective) -> tuple[curves.Band, str]:
    """Its band, and what it is called, with room for the ids of several alike."""
    if found.kind == "bms":
        battery = study.network.inventory.batteries[found.upstream]
        return replace(bms_band(battery), name="BMS"), "BMS of {}"
    guard = study.guards[found.upstream]
    return guard.band, f"{{}}, {guard.family} {guard.rating:g} A"


def _band(label: str, band: curves.Band, low: float, high: float) -> Band:
    least, most = band.outline(low, high)
    return Band(label, _raised(least, high), _raised(most, high))


def _raised(edge: curves.Edge, high: float) -> tuple[tuple[float, float], ...]:
    """An edge between the chart's times, up to its top where the device does not open."""
    inside = [(amps, min(max(time, LEAST), TOP)) for amps, time in edge]
    if not inside:
        return ((high, TOP), (high, TOP))
    first, last = inside[0], inside[-1]
    start = ((first[0], TOP),) if first[1] < TOP else ()
    stop = ((last[0], LEAST), (high, LEAST)) if last[0] < high else ()  # it may open at once
    return (*start, *inside, *stop)


# what stands beside the bands


def _limits(study: Study, guard: Guard, low: float, high: float) -> Iterator[Curve]:
    """What the smallest wire bears: a straight line on logarithmic scales."""
    if guard.bears is None or not guard.smallest:
        return
    first, last = sqrt(guard.bears / LONGEST), min(sqrt(guard.bears / LEAST), high)
    if first < last:
        area = study.network.edges[guard.smallest].cable.area.low
        points = tuple((amps, guard.bears / amps**2) for amps in (max(first, low), last))
        yield Curve(f"{guard.smallest.split(' ')[0]}, {digits(area, 2)} mm², bears this", points)


def _starts(study: Study, guard: Guard) -> Iterator[Curve]:
    """The hardest start: its current for its time, then what flows in normal use."""
    timed = [s for s in guard.starts if s.seconds]
    hardest: Starting | None = max(timed, key=lambda s: s.amps, default=None)
    if hardest is None:
        return
    name = study.network.consumers[hardest.consumer].name
    usual = max(abs(study.design.get(guard.device, 0.0)), 1e-3)
    settled = min(usual, hardest.amps)
    step = ((hardest.amps, SHORTEST), (hardest.amps, hardest.seconds), (settled, hardest.seconds), (settled, TOP))
    yield Curve(f"start of {name}, with all else", step)
