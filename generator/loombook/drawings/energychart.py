"""Charts of energy from the study: consumers in each operating condition, a day's charge, power and range of a drive."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from ..study.banks import Bank
from ..study.day import Day
from ..study.drive import Drive
from ..study.loads import use_of
from ..study.model import Study
from .chartmodel import Bars, Chart, Curve, Lines, Span, speed_and_range

USES = 4
"""So many kinds of use have a piece of their own in the bars; the others share one."""
RESTING = 0.01
"""A bank whose charge moves by less than this over the day has no curve, where another one's does."""


def draw(study: Study) -> dict[str, str]:
    """The charts as SVG text: `balance`, `day`, `drive-M1`, `drive-M1-power`; each only where there is what to show."""
    found = tuple(energy_charts(study))
    if not found:
        return {}
    from . import charts  # Matplotlib takes long to load: only a vessel with a chart waits for it

    return {chart.name: charts.draw(chart) for chart in found}


def energy_charts(study: Study) -> Iterator[Chart]:
    """All charts of energy of a vessel, before they are drawn."""
    if any(balance.used for balance in study.balances.values()):
        yield conditions(study)
    if study.days:
        yield day(study)
    for drive in study.drives:
        if drive.fit:
            yield _range(study, drive)
            yield _power(study, drive)


def conditions(study: Study) -> Bars:
    """Average power by kind of use in each operating condition, and what is lost."""
    by_use: dict[str, list[float]] = {}
    for n, balance in enumerate(study.balances.values()):
        for use in balance.uses:
            kind = _kind(study, use.consumer)
            by_use.setdefault(kind, [0.0] * len(study.balances))[n] += use.watts
    largest = sorted(by_use, key=lambda kind: (kind == "other", -sum(by_use[kind]), kind))
    pieces = [(kind, tuple(by_use[kind])) for kind in largest[:USES]]
    if rest := largest[USES:]:
        pieces.append(("all other use", tuple(map(sum, zip(*(by_use[kind] for kind in rest), strict=True)))))
    pieces.append(("lost on the way", tuple(b.lost for b in study.balances.values())))
    return Bars(
        "balance",
        "What is used in each operating condition",
        "W on average",
        tuple(study.balances),
        tuple(pieces),
        "The figures stand in the table below.",
    )


def _kind(study: Study, consumer: str) -> str:
    """What a consumer is for; a motor without a use of its own is a motor."""
    use = use_of(study.network, study.network.consumers[consumer])
    motor = study.network.inventory.motors.get(consumer)
    return use if motor is None or use != "other" else "electric drive" if motor.kind == "drive" else "motors"


def day(study: Study) -> Lines:
    """State of charge through a usual day, which begins full."""
    banks = {found.bank.name: found.bank for found in study.banks}
    moving = [d for d in study.days if 1 - d.lowest >= RESTING] or list(study.days[:1])
    floors = {round(d.floor, 6) for d in moving}
    length = study.days[0].length
    floor = ("used down to here", 100 * moving[0].floor) if len(floors) == 1 else None
    return Lines(
        "day",
        "State of charge over a usual day",
        "hours from full, the operating conditions one after the other",
        "state of charge, %",
        tuple(Curve(_label(d, banks[d.bank], len(floors) > 1), _percent(d)) for d in moving),
        floor=floor,
        across_range=(0, length),
        up_range=(0, 104),
        steps=3 if length <= 36 else 12,
        about="Each bank begins the day full. The figures stand in the table below.",
        parts=tuple(_stretches(study.days[0])),
    )


def _label(day: Day, bank: Bank, with_floor: bool) -> str:
    return f"{bank.name}, used down to {day.floor:.0%}" if with_floor else bank.name


def _percent(day: Day) -> tuple[tuple[float, float], ...]:
    return tuple((hour, 100 * charge) for hour, charge, _ in day.points)


def _stretches(day: Day) -> Iterator[Span]:
    """The conditions as stretches of the day; a bank that is full in between does not cut one in two."""
    start, points = 0.0, day.points[1:]
    for (hour, _, name), (_, _, after) in pairwise((*points, (0.0, 0.0, ""))):
        if after != name:
            yield Span(name, start, hour)
            start = hour


def _range(study: Study, drive: Drive) -> Lines:
    """Range over speed: within the measured speeds, and beyond them as a guess."""
    curves = []
    for label, runs in _within(drive):
        curves.append(Curve(label, tuple((run.speed, run.distance) for run in runs)))
    title = f"{study.network.title(drive.motor)}: range over speed"
    about = "Still water and no wind, from full to the floor of the bank."
    return replace(speed_and_range(f"drive-{drive.motor}", title, tuple(curves), about), across_range=_speeds(drive))


def _power(study: Study, drive: Drive) -> Lines:
    """Power over speed: the points measured aboard and the curve through them."""
    points = study.network.inventory.motors[drive.motor].speed_points
    measured = tuple(sorted((p.speed.value, p.power.value / 1000) for p in points))
    curves = [Curve(label, tuple((run.speed, run.power / 1000) for run in runs)) for label, runs in _within(drive)]
    return Lines(
        f"drive-{drive.motor}-power",
        f"{study.network.title(drive.motor)}: power over speed",
        "speed, kn",
        "power, kW",
        (*curves, Curve("measured aboard", measured, True)),
        across_range=_speeds(drive),
        about="The curve is fitted to the measured points.",
    )


def _speeds(drive: Drive) -> tuple[float, float]:
    return (0.0, max(run.speed for run in drive.runs) + 0.5)


def _within(drive: Drive) -> Iterator[tuple[str, list]]:
    """The runs at measured speeds, and those below and above them with the last measured one for a joined line."""
    inside = [run for run in drive.runs if run.measured]
    if inside:
        yield "between the measured speeds", inside
    for label, runs in (
        ("slower: a guess", [r for r in drive.runs if r.speed < drive.fit.slowest]),
        ("faster: a guess", [r for r in drive.runs if r.speed > drive.fit.fastest]),
    ):
        if runs:
            yield label, sorted((*runs, *(inside[:1] if "slower" in label else inside[-1:])), key=lambda run: run.speed)
