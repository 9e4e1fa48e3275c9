"""What a chart is asked to show, before any drawing: bands, curves, stretches and bars as plain figures."""

from __future__ import annotations

from dataclasses import dataclass

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Band:
    """The tripping band of a protective device."""

    label: str
    least: Points
    """(current [A], time [s]) at which it may open."""
    most: Points
    """(current [A], time [s]) at which it has opened."""


@dataclass(frozen=True)
class Curve:
    """A line through points."""

    label: str
    points: Points
    measured: bool = False
    """True draws the points themselves as well."""


@dataclass(frozen=True)
class Span:
    """A stretch of the horizontal axis, such as the range of fault currents or a night."""

    label: str
    least: float
    most: float


@dataclass(frozen=True)
class TimeCurrent:
    """Time against current on two logarithmic axes."""

    name: str
    title: str
    bands: tuple[Band, ...] = ()
    limits: tuple[Curve, ...] = ()
    """What cables withstand."""
    faults: tuple[Span, ...] = ()
    """From the smallest to the largest prospective fault current [A]."""
    starts: tuple[Curve, ...] = ()
    """Starting currents of motors over their time."""
    about: str = ""
    across_range: tuple[float, float] | None = None
    up_range: tuple[float, float] | None = None


@dataclass(frozen=True)
class Lines:
    """Curves on two plain axes: state of charge over a day, range over speed."""

    name: str
    title: str
    across: str
    """What the horizontal axis shows, with its unit."""
    up: str
    """What the vertical axis shows, with its unit."""
    curves: tuple[Curve, ...]
    spans: tuple[Span, ...] = ()
    floor: tuple[str, float] | None = None
    """A level line with its label, such as the least charge allowed."""
    across_range: tuple[float, float] | None = None
    up_range: tuple[float, float] | None = None
    steps: float | None = None
    """Distance between marks on the horizontal axis."""
    about: str = ""
    parts: tuple[Span, ...] = ()
    """Stretches that follow one another along the horizontal axis: numbered above the chart, named in its list."""


@dataclass(frozen=True)
class Bars:
    """Level bars, each in pieces that add up: consumption and supply in the operating conditions."""

    name: str
    title: str
    unit: str
    rows: tuple[str, ...]
    """What each bar stands for, from the top."""
    pieces: tuple[tuple[str, tuple[float, ...]], ...]
    """Label of a kind of piece, and its size in each row."""
    about: str = ""


Chart = TimeCurrent | Lines | Bars


def speed_and_range(name: str, title: str, curves: tuple[Curve, ...], about: str = "") -> Lines:
    """Range [nautical miles] over speed [knots]."""
    return Lines(name, title, "speed, kn", "range, nautical miles", curves, about=about)
