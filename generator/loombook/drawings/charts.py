"""Charts: time against current, a day's charge, speed against range, the balance; by Matplotlib, as themed SVG."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import ceil, floor, log10, nan

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, LogLocator, NullLocator

from loombook.drawings.chartmodel import Bars, Chart, Lines, Span, TimeCurrent
from loombook.drawings.chartsvg import LINE, MUTED, PAPER, SERIES, TEXT, themed
from loombook.drawings.metrics import clean, wrap

WIDE = 600
"""Width of a chart [px]."""
DASHES = ("-", (0, (6, 3)), (0, (2, 2)), (0, (8, 3, 2, 3)), (0, (1, 3)), (0, (10, 3)))
"""Line styles of the series; colour is never the only difference."""
MARKERS = ("o", "s", "^", "D", "v", "x")
HATCHES = ("////", "\\\\\\\\", "----", "xxxx", "++++", "||||")


@lru_cache(maxsize=512)
def draw(chart: Chart) -> str:
    """The chart as SVG text; the same chart gives the same bytes, and is not drawn again while pages are served."""
    paint: dict[type, Callable[[Axes, Chart], None]] = {TimeCurrent: _time_current, Lines: _lines, Bars: _bars}
    with mpl.rc_context(_style(chart.name)):
        figure, axes = _figure(chart)
        paint[type(chart)](axes, chart)
        _legend(figure, axes)
        return themed(figure, chart.name, clean(chart.title), clean(chart.about))


def _style(name: str) -> dict[str, object]:
    return {
        "svg.fonttype": "none",
        "svg.hashsalt": f"loombook {name}",
        "svg.id": None,
        "font.family": ["DejaVu Sans"],
        "font.size": 13.5,
        "axes.edgecolor": LINE,
        "axes.labelcolor": TEXT,
        "text.color": TEXT,
        "xtick.color": LINE,
        "xtick.major.pad": 8,  # clear of the lowest figure beside the corner
        "ytick.color": LINE,
        "xtick.labelcolor": TEXT,
        "ytick.labelcolor": TEXT,
        "axes.facecolor": "none",
        "figure.facecolor": "none",
        "axes.linewidth": 1.0,
        "hatch.linewidth": 0.6,
        "grid.color": MUTED,
        "grid.linewidth": 0.4,
        "mathtext.default": "regular",
        "path.simplify": False,
        "axes.unicode_minus": True,
        "text.usetex": False,
        "text.parse_math": False,
    }


def _entries(chart: Chart) -> int:
    """Lines that the list under the chart will have."""
    if isinstance(chart, TimeCurrent):
        return len(chart.bands) + len(chart.limits) + len(chart.faults) + len(chart.starts)
    if isinstance(chart, Lines):
        stretches = len({span.label for span in chart.spans}) + len(chart.parts)
        return len(chart.curves) + stretches + (chart.floor is not None)
    return len(chart.pieces)


def _figure(chart: Chart) -> tuple[Figure, Axes]:
    """A figure with room on top for what the vertical axis shows, and below for the list."""
    rows = -(-_entries(chart) // 2) if _short(chart) else _entries(chart)
    plot = 300 if not isinstance(chart, Bars) else max(60, 34 * len(chart.rows))
    top, foot = 50 if isinstance(chart, Lines) and chart.parts else 30, 52 + 21 * rows
    tall = top + plot + foot
    figure = Figure(figsize=(WIDE / 72, tall / 72), dpi=72)
    left = 66 if not isinstance(chart, Bars) else 170
    axes = figure.add_axes((left / WIDE, foot / tall, (WIDE - left - 22) / WIDE, plot / tall))
    axes.spines[["top", "right"]].set_visible(False)
    return figure, axes


def _short(chart: Chart) -> bool:
    """True when two entries of the list fit side by side."""
    if isinstance(chart, TimeCurrent):
        labels = [x.label for group in (chart.bands, chart.limits, chart.faults, chart.starts) for x in group]
    elif isinstance(chart, Lines):
        labels = [x.label for group in (chart.curves, chart.spans) for x in group]
        labels += [_numbered(n, part.label) for n, part in enumerate(chart.parts, 1)]
        labels += [chart.floor[0]] if chart.floor else []
    else:
        labels = [label for label, _ in chart.pieces]
    return all(len(label) <= 24 for label in labels)


def _legend(figure: Figure, axes: Axes) -> None:
    """The list of what the lines stand for, under the chart."""
    handles, labels = axes.get_legend_handles_labels()
    if not handles:
        return
    columns = 2 if all(len(label) <= 24 for label in labels) else 1
    figure.legend(
        handles,
        labels,
        loc="lower left",
        bbox_to_anchor=(0.02, 0.0),
        ncols=columns,
        frameon=False,
        handlelength=3.4,
        borderaxespad=0.1,
        columnspacing=1.5,
    )


def _named(label: str) -> str:
    """A label for the list, on one line; Matplotlib hides those that begin with a stroke."""
    text = " ".join(wrap(label, WIDE - 110, most=1)) or "unnamed"
    return "\u200a" + text if text.startswith("_") else text


def _axes(axes: Axes, across: str, up: str) -> None:
    axes.set_xlabel(across)
    axes.text(0, 1.03, up, transform=axes.transAxes, ha="right" if not up else "left", va="bottom")
    axes.grid(True, which="major")


def _time_current(axes: Axes, chart: TimeCurrent) -> None:
    """Bands hatched, cable limits solid and heavy, fault currents as a shaded stretch, starts as steps."""
    axes.set_xscale("log")
    axes.set_yscale("log")
    for n, band in enumerate(chart.bands):
        colour, hatch = SERIES[n % len(SERIES)], HATCHES[n % len(HATCHES)]
        edge = (*band.least, *reversed(band.most))
        axes.fill(
            [x for x, _ in edge],
            [y for _, y in edge],
            facecolor="none",
            edgecolor=colour,
            hatch=hatch,
            linewidth=1.4,
            linestyle=DASHES[n % len(DASHES)],
            label=_named(band.label),
        )
    for n, limit in enumerate(chart.limits):
        axes.plot(
            *zip(*limit.points, strict=True),
            color=LINE,
            linewidth=2.6,
            linestyle=DASHES[n % len(DASHES)],
            label=_named(limit.label),
        )
    for n, span in enumerate(chart.faults):
        axes.axvspan(
            span.least,
            span.most,
            facecolor="none",
            edgecolor=MUTED,
            hatch=("||", "--")[n % 2],
            linewidth=1,
            label=_named(span.label),
        )
    for n, start in enumerate(chart.starts):
        axes.plot(
            *zip(*start.points, strict=True),
            color=LINE,
            linewidth=1.2,
            marker=MARKERS[n % len(MARKERS)],
            markersize=5,
            linestyle=DASHES[(n + 2) % len(DASHES)],
            label=_named(start.label),
        )
    if chart.across_range:
        axes.set_xlim(chart.across_range)
    if chart.up_range:
        axes.set_ylim(chart.up_range)
    plain = FuncFormatter(lambda value, _: f"{value:g}" if value < 1e5 else f"{value:.0f}")
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_locator(LogLocator(base=10, numticks=12))
        axis.set_major_formatter(plain)
        axis.set_minor_locator(NullLocator())
    _fine_grid(axes)
    _axes(axes, "current, A", "time, s")


def _fine_grid(axes: Axes) -> None:
    """Lines at 2 to 9 of each decade as one path each way: Matplotlib takes a second for so many marks of an axis."""
    for low, high, span, across in (
        (*axes.get_xlim(), axes.get_ylim(), True),
        (*axes.get_ylim(), axes.get_xlim(), False),
    ):
        decades = range(floor(log10(low)), ceil(log10(high)))
        at = [n * 10.0**decade for decade in decades for n in range(2, 10) if low < n * 10.0**decade < high]
        along, beside = [v for value in at for v in (value, value, nan)], [v for _ in at for v in (*span, nan)]
        axes.plot(*((along, beside) if across else (beside, along)), color=MUTED, linewidth=0.2, zorder=0.5)


def _lines(axes: Axes, chart: Lines) -> None:
    """Curves in their own dash and colour, stretches hatched, the floor heavy."""
    seen: set[str] = set()
    for span in chart.spans:
        label = None if span.label in seen else _named(span.label)
        seen.add(span.label)
        axes.axvspan(span.least, span.most, facecolor="none", edgecolor=MUTED, hatch="//", linewidth=0.4, label=label)
    for n, curve in enumerate(chart.curves):
        axes.plot(
            *zip(*curve.points, strict=True),
            color=SERIES[n % len(SERIES)],
            linewidth=2,
            markersize=6,
            linestyle=DASHES[n % len(DASHES)],
            marker=MARKERS[n % len(MARKERS)] if curve.measured else None,
            markerfacecolor=PAPER,
            label=_named(curve.label),
        )
    if chart.floor:
        axes.axhline(chart.floor[1], color=LINE, linewidth=2.4, linestyle=(0, (3, 2)), label=_named(chart.floor[0]))
    _parts(axes, chart.parts)
    if chart.across_range:
        axes.set_xlim(chart.across_range)
    axes.set_ylim(chart.up_range or (0, None))
    if chart.steps and chart.across_range:
        low, high = chart.across_range
        axes.set_xticks([low + n * chart.steps for n in range(int((high - low) / chart.steps) + 1)])
    _axes(axes, chart.across, chart.up)
    if chart.parts:  # their numbers stand where the axis is named else
        axes.texts[-1].set_y(1.08)


def _parts(axes: Axes, parts: tuple[Span, ...]) -> None:
    """A line where one stretch ends, its number above the chart, and its name in the list."""
    row = axes.get_xaxis_transform()
    for n, part in enumerate(parts, 1):
        axes.plot([part.most, part.most], [0, 1], color=MUTED, linewidth=0.8, transform=row)
        axes.text((part.least + part.most) / 2, 1.0, str(n), transform=row, ha="center", va="bottom")
        axes.plot([], [], linestyle="none", label=_named(_numbered(n, part.label)))


def _numbered(n: int, label: str) -> str:
    return f"{n}: {label}"


def _bars(axes: Axes, chart: Bars) -> None:
    """Pieces beside one another, each kind with its own hatch; figures stand in the table."""
    places = range(len(chart.rows))
    start = [0.0] * len(chart.rows)
    for n, (label, sizes) in enumerate(chart.pieces):
        if not any(sizes):
            continue
        axes.barh(
            places,
            sizes,
            left=start,
            height=0.6,
            facecolor=PAPER,
            edgecolor=SERIES[n % len(SERIES)],
            linewidth=1.6,
            hatch=HATCHES[n % len(HATCHES)],
            label=_named(label),
        )
        start = [a + b for a, b in zip(start, sizes, strict=True)]
    names = ["\n".join(wrap(row, 150, most=2)) for row in chart.rows]
    axes.set_yticks(list(places), names)
    axes.invert_yaxis()
    axes.grid(True, axis="x")
    axes.set_xlabel(chart.unit)
