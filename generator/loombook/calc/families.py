"""Bands of the standard families of fuse-links and breakers, built from their published gates."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from math import sqrt

from loombook.calc.curves import Band, Edge
from loombook.calc.tables import OutOfTable, table, weakest

DC_MAGNETIC = 1.4
"""Magnetic release on DC over AC, in multiples of the rated current: on AC it trips on the peak (from memory)."""
GG_CONVENTIONAL = ((63, 3600.0), (160, 7200.0), (400, 10800.0), (630, 14400.0))
"""Conventional time of gG fuse-links [s] up to a rating [A]. Source: IEC 60269-1 (from memory)."""
GG_NON_FUSING, GG_FUSING = 1.25, 1.6
"""Conventional non-fusing and fusing current over rated, from 16 A. Source: IEC 60269-1 (from memory)."""
CURRENT_LIMITING_TIME = 0.01
"""A class T fuse that opens faster than this limits the current, and its clearing I²t limit holds [s]."""


@dataclass(frozen=True)
class Family:
    """A standard family of devices."""

    id: str
    """As the inventory names it: `blade`."""
    title: str
    """In plain words."""
    kind: str
    """`fuse` or `breaker`."""
    standard: str
    edition: str
    volts: float
    """Rated DC voltage to take where the device states none [V]; 0 where it is for AC only."""
    fast_beyond: str
    slow_beyond: str
    remark: str
    """What is uncertain about it."""


@cache
def families() -> tuple[Family, ...]:
    """Every family there is, in the table's order.

    >>> [family.id for family in families()][:3]
    ['blade', 'mini blade', 'maxi blade']
    """
    return tuple(
        Family(
            id=row["family"],
            title=row["title"],
            kind=row["kind"],
            standard=row["standard"],
            edition=row["edition"],
            volts=float(row["volts"]),
            fast_beyond=row["fast_beyond"],
            slow_beyond=row["slow_beyond"],
            remark=row["remark"],
        )
        for row in table("families").rows
    )


def family(name: str) -> Family:
    """One family by its id.

    >>> family("class T").standard
    'UL 248-15'
    """
    for found in families():
        if found.id == name:
            return found
    if name == "rcd":
        raise OutOfTable("a residual-current device without overload release does not open on overcurrent")
    raise OutOfTable(f"no family {name!r}; there are {', '.join(found.id for found in families())}")


@cache
def band(name: str, rating: float, dc: bool = True) -> Band:
    """The time–current band of a device of a standard family.

    Args:
        name: of the family, see `families`
        rating: rated current [A]
        dc: on DC; a breaker's magnetic release then takes 1.4 times the multiple
    Returns:
        the band, with source and the weakest mark of its gates
    Raises:
        OutOfTable: the family does not reach this rating
    Source: the family's standard, gates in `tables/gates.csv` and `tables/gg_gates.csv`.

    >>> band("maxi blade", 40).opening_time(80)
    Span(least=2.0, most=50.0)
    >>> band("B", 10, dc=False).opening_time(50).most
    0.1
    """
    kind = family(name)
    if name == "gG":
        return _gg(kind, rating)
    data = table("gates")
    rows = [row for row in data.rows if row["family"] == name and float(row["over"]) < rating <= float(row["up_to"])]
    if not rows:
        most = max(float(row["up_to"]) for row in data.rows if row["family"] == name)
        raise OutOfTable(f"{kind.title} ({kind.standard}): times are known up to {most:g} A, not for {rating:g} A")
    edges: dict[str, list[tuple[float, float]]] = {"min_s": [], "max_s": []}
    for row in rows:
        multiple = float(row["multiple"]) * (DC_MAGNETIC if dc and row["magnetic"] else 1)
        for side, points in edges.items():
            if row[side]:
                points.append((multiple * rating, float(row[side])))
    found = Band(
        name=f"{kind.title} {rating:g} A",
        rating=rating,
        fastest=_edge(edges["min_s"]),
        slowest=_edge(edges["max_s"]),
        fast_beyond=kind.fast_beyond,  # type: ignore[arg-type]
        slow_beyond=kind.slow_beyond,  # type: ignore[arg-type]
        source=f"{kind.standard} {kind.edition}".strip(),
        mark=weakest(data.mark_of("max_s", row) for row in rows),
        notes=_notes(kind, dc, any(row["magnetic"] for row in rows)),
        family=name,
    )
    return _limited(found) if name == "class T" else found


def _edge(points: list[tuple[float, float]]) -> Edge:
    edge = sorted(points, key=lambda point: (point[0], -point[1]))
    falling = edge[:1]
    for current, time in edge[1:]:
        falling.append((current, min(time, falling[-1][1])))
    return tuple(falling)


def _notes(kind: Family, dc: bool, magnetic: bool) -> tuple[str, ...]:
    notes = (kind.remark,) if kind.remark else ()
    if dc and magnetic:
        notes += (f"magnetic release taken at {DC_MAGNETIC:g} times the AC multiple on DC",)
    return notes


def _gg(kind: Family, rating: float) -> Band:
    data = table("gg_gates")
    row = data.row("rating", f"{rating:g}")
    hours = next(time for size, time in GG_CONVENTIONAL if rating <= size)
    energy_least, energy_most = (float(row[name]) * 1000 for name in ("i2t_min", "i2t_max"))
    fastest = (
        (GG_NON_FUSING * rating, hours),
        (float(row["min_10s"]), 10.0),
        (float(row["min_0.1s"]), 0.1),
        (sqrt(energy_least / 0.01), 0.01),
    )
    slowest = (
        (GG_FUSING * rating, hours),
        (float(row["max_5s"]), 5.0),
        (float(row["max_0.1s"]), 0.1),
        (sqrt(energy_most / 0.01), 0.01),
    )
    return Band(
        name=f"{kind.title} {rating:g} A",
        rating=rating,
        fastest=fastest,
        slowest=slowest,
        source=f"{kind.standard} {kind.edition}",
        mark=data.mark,
        family=kind.id,
    )


def _limited(found: Band) -> Band:
    """Where a class T fuse limits the current, its clearing I²t limit takes over from the gate's."""
    current, time = found.slowest[-1]
    limit = class_t_limit(found.rating, 50e3)[1]
    start = current * sqrt(time / CURRENT_LIMITING_TIME)
    step = ((start, CURRENT_LIMITING_TIME), (start, min(CURRENT_LIMITING_TIME, limit / start**2)))
    return replace(found, slowest=found.slowest + step)


def class_t_limit(rating: float, prospective: float, volts: float = 300) -> tuple[float, float]:
    """Peak current and clearing I²t that a class T fuse may let through.

    Args:
        rating: rated current [A]
        prospective: fault current without the fuse, up to 200 kA [A]
        volts: rated voltage of the fuse, 300 V or 600 V
    Returns:
        peak [A], never above 2.3 times the prospective current, and clearing I²t [A²s]
    For AC; on DC take it as a guide.
    Source: UL 248-15 (from memory).

    >>> class_t_limit(200, 50e3)
    (13000.0, 150000.0)
    """
    data = table("class_t_limits")
    bodies = [row for row in data.rows if float(row["volts"]) >= volts and float(row["rating"]) >= rating]
    level = next((level for level in (50, 100, 200) if prospective <= level * 1000), None)
    if not bodies or level is None:
        raise OutOfTable(f"class T limits reach 600 A, 600 V and 200 kA, not {rating:g} A at {prospective / 1000:g} kA")
    row = bodies[0]
    peak, energy = float(row[f"peak_{level}"]) * 1000, float(row[f"i2t_{level}"]) * 1000
    return min(peak, 2.3 * prospective), energy
