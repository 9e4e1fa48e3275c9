"""Quantities as an owner writes them ("70 mm²", "2 AWG", "~6 m", "0.17 to 0.30 mΩ"), with their evidence, and back."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass, replace

_AWG_STEP = 92 ** (1 / 39)

UNITS: dict[str, dict[str, float]] = {
    "length": {"m": 1, "mm": 1e-3, "cm": 1e-2, "ft": 0.3048, "in": 0.0254},
    "area": {"mm²": 1, "mm2": 1, "AWG": 0},
    "voltage": {"V": 1, "mV": 1e-3, "kV": 1e3},
    "current": {"A": 1, "mA": 1e-3, "kA": 1e3},
    "power": {"W": 1, "kW": 1e3, "mW": 1e-3},
    "resistance": {"Ω": 1, "ohm": 1, "mΩ": 1e-3, "mohm": 1e-3, "µΩ": 1e-6, "μΩ": 1e-6, "uohm": 1e-6},
    "capacity": {"Ah": 1, "mAh": 1e-3},
    "energy": {"Wh": 1, "kWh": 1e3},
    "time": {"s": 1, "ms": 1e-3, "min": 60, "h": 3600, "days": 86400, "day": 86400},
    "temperature": {"°C": 1, "C": 1, "°F": 0},
    "mass": {"kg": 1, "g": 1e-3},
    "force": {"N": 1, "kN": 1e3, "kgf": 9.80665},
    "torque": {"N·m": 1, "Nm": 1, "N.m": 1},
    "ratio": {"%": 1e-2},
    "per kelvin": {"%/K": 1e-2, "%/°C": 1e-2},
    "capacitance": {"F": 1, "mF": 1e-3, "µF": 1e-6, "μF": 1e-6, "uF": 1e-6},
    "speed": {"kn": 1},
    "apparent power": {"VA": 1, "kVA": 1e3},
}
"""Kind of quantity → unit as written → factor to the unit that calculations take.

Calculations take SI units, except area [mm²] as the standards' tables have it, temperature [°C], charge [Ah], energy
[Wh] and speed [kn], the trade's own. A factor of 0 marks a unit with its own rule (AWG, °F).
"""

BASE = {
    "length": "m", "area": "mm²", "voltage": "V", "current": "A", "power": "W", "resistance": "Ω", "capacity": "Ah",
    "energy": "Wh", "time": "s", "temperature": "°C", "mass": "kg", "force": "N", "torque": "N·m", "ratio": "%",
    "per kelvin": "%/K", "capacitance": "F", "speed": "kn", "apparent power": "VA",
}  # fmt: skip

EXAMPLES = {
    "length": "6.2 m", "area": "70 mm²", "voltage": "32 V", "current": "10 A", "power": "60 W", "resistance": "0.2 mΩ",
    "capacity": "280 Ah", "energy": "7.2 kWh", "time": "0.5 s", "temperature": "105 °C", "mass": "5.4 kg",
    "force": "300 kgf", "torque": "6 N·m", "ratio": "80 %", "per kelvin": "-0.30 %/K", "capacitance": "10 mF",
    "speed": "6 kn", "apparent power": "3 kVA",
}  # fmt: skip

_SPELT_OUT = {
    "amp": "A", "amps": "A", "ampere": "A", "amperes": "A", "volt": "V", "volts": "V", "watt": "W", "watts": "W",
    "ohms": "Ω", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "foot": "ft", "feet": "ft", "inch": "in",
    "inches": "in", "knot": "kn", "knots": "kn", "kt": "kn", "kts": "kn", "second": "s", "seconds": "s", "sec": "s",
    "minute": "min", "minutes": "min", "hour": "h", "hours": "h", "hr": "h", "hrs": "h", "gauge": "AWG", "ga": "AWG",
    "sq mm": "mm²", "sqmm": "mm²", "mm^2": "mm²", "qmm": "mm²", "deg c": "°C", "percent": "%",
    "per cent": "%", "kilogram": "kg", "kgs": "kg", "amp hours": "Ah", "amp-hours": "Ah",
}  # fmt: skip
"""Units as people say them → as they are written here."""

EVIDENCE = ("stated", "measured", "label", "datasheet", "estimated", "assumed")
"""How a value is known. `assumed` is ours: a default that nobody aboard has looked at."""


class QuantityError(ValueError):
    """A text that is not a quantity of the kind wanted; `help` says what is, `part` is the offending stretch."""

    def __init__(self, message: str, help: str = "", part: str = "") -> None:
        super().__init__(message)
        self.message, self.help, self.part = message, help, part


@dataclass(frozen=True)
class Quantity:
    """A value or a range in the unit that calculations take, with how it is known."""

    low: float
    high: float
    kind: str
    text: str = ""
    how: str = "stated"
    by: str = ""
    date: str = ""

    @property
    def value(self) -> float:
        """The value, or the middle of the range."""
        return (self.low + self.high) / 2

    @property
    def is_range(self) -> bool:
        return self.low != self.high

    @property
    def certain(self) -> bool:
        """False where the value is an estimate or a default of ours."""
        return self.how not in ("estimated", "assumed")

    def __str__(self) -> str:
        return self.text or show(self)


_NUMBER = r"[-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][-+]?\d+)?"
_AMBIGUOUS = re.compile(r"[1-9]\d{0,2}(,\d{3})+(?!\d)")
"""`20,000`: twenty to some, twenty thousand to others."""
_GAUGE_FIRST = re.compile(r"(?:AWG|#|ga|gauge)\s*(\d/0|\d+)$", re.IGNORECASE)
_FORM = re.compile(rf"^(?P<number>\d/0|{_NUMBER})\s*(?P<unit>[^\d\s/].*)?$")
_RANGE = re.compile(r"\s+to\s+|\s*(?:–|\.\.)\s*|(?<=\d)\s*-\s*(?=\d)")


def awg_area(gauge: int) -> float:
    """Cross-section [mm²] of a solid conductor of this gauge; 1/0 is 0, 2/0 is -1. Source: ASTM B258.

    >>> round(awg_area(12), 3)
    3.309
    """
    diameter = 0.127 * _AWG_STEP ** (36 - gauge)
    return math.pi / 4 * diameter**2


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _to_base(number: str, unit: str, kind: str) -> float:
    if unit == "AWG":
        gauge = 1 - int(number[0]) if number.endswith("/0") else _number(number)
        if gauge != int(gauge) or not -3 <= gauge <= 40:
            raise QuantityError(f"`{number} AWG` is not a gauge", "gauges run from 4/0 through 1/0 and 1 to 40", number)
        return awg_area(int(gauge))
    if number.endswith("/0"):
        raise QuantityError(f"`{number} {unit}` is not {a_kind(kind)}", f"write it like `{EXAMPLES[kind]}`", number)
    if unit == "°F":
        return (_number(number) - 32) / 1.8
    return _number(number) * UNITS[kind][unit]


def _kind_of_unit(unit: str) -> str | None:
    return next((kind for kind, units in UNITS.items() if unit in units), None)


def parse(text: str, *kinds: str) -> Quantity:
    """Read a quantity of one of the `kinds` (keys of `UNITS`).

    Args:
        text: `6.2 m`; `~6 m` for an estimate; `0.17 to 0.30 mΩ` or `30 s to 2 min` for a range; a decimal comma is
            accepted
        kinds: the kinds allowed here; the unit tells which
    Returns:
        the value in the unit calculations take
    Raises:
        QuantityError: with a message and a help sentence in the owner's words

    >>> parse("~6 m", "length")
    Quantity(low=6.0, high=6.0, kind='length', text='~6 m', how='estimated', by='', date='')
    >>> parse("10 W", "current", "power").kind
    'power'
    >>> round(parse("2/0 AWG", "area").value, 1)
    67.4
    """
    stripped = " ".join(text.split())
    if not stripped.isascii():
        stripped = unicodedata.normalize("NFC", stripped).replace("\N{MINUS SIGN}", "-")  # the ohm sign becomes omega
    body = stripped.removeprefix("~").removeprefix("≈").lstrip()
    help = f"write it like {' or '.join(f'`{EXAMPLES[kind]}`' for kind in kinds)}"
    (first, first_unit), (last, unit) = _ends(body, stripped, kinds, help)
    kind = next((kind for kind in kinds if unit in UNITS[kind]), None)
    if kind is None:
        raise _wrong_unit(stripped, unit, kinds, help)
    if first_unit not in UNITS[kind]:
        raise _wrong_unit(stripped, first_unit, (kind,), help)
    low, high = sorted((_to_base(first, first_unit, kind), _to_base(last, unit, kind)))
    if not (math.isfinite(low) and math.isfinite(high)):
        raise QuantityError(f"`{stripped}` is too large", "", stripped)
    if low < 0 and kind not in ("temperature", "per kelvin"):
        raise QuantityError(f"`{stripped}` is below zero", help, stripped)
    if low == 0 and kind in ("area", "capacity"):
        raise QuantityError(f"`{stripped}` is nothing", "leave it out if it is not known", stripped)
    return Quantity(low, high, kind, stripped, "estimated" if body != stripped else "stated")


def _ends(body: str, text: str, kinds: tuple[str, ...], help: str) -> tuple[tuple[str, str], tuple[str, str]]:
    """Number and unit of the two ends of a range, the same twice where it is none."""
    if ambiguous := _AMBIGUOUS.search(body):
        number = ambiguous[0]
        ways = f"write `{number.replace(',', '')}` for thousands, or `{number.replace(',', '.', 1)}` for a fraction"
        raise QuantityError(f"`{number}` can be read in two ways", ways, number)
    matches = [_FORM.match(end) for end in _RANGE.split(body, maxsplit=1)]
    if not all(matches):
        gauge = _GAUGE_FIRST.match(body)
        raise QuantityError(
            f"`{text}` is not {a_kind(*kinds)}", f"a gauge is written `{gauge[1]} AWG`" if gauge else help, text
        )
    unit = matches[-1]["unit"]
    if not unit:
        raise QuantityError(f"`{text}` has no unit", help, text)
    return (matches[0]["number"], matches[0]["unit"] or unit), (matches[-1]["number"], unit)


def a_kind(*kinds: str) -> str:
    """The kinds in a sentence: `a current or a power`."""
    return " or ".join(("an " if kind[0] in "aeiou" else "a ") + kind for kind in kinds)


def _wrong_unit(text: str, unit: str, kinds: tuple[str, ...], help: str) -> QuantityError:
    known = {name for kind in kinds for name in UNITS[kind]}
    spelt = _SPELT_OUT.get(unit.casefold())
    near = (
        spelt if spelt in known else next((name for name in sorted(known) if name.casefold() == unit.casefold()), None)
    )
    if near:
        return QuantityError(f"unit `{unit}` is written `{near}`", help, unit)
    first, _, rest = unit.partition(" ")
    if rest and first in known:
        return QuantityError(
            f"`{rest}` after the unit is not known here", f"{help}; what else is to be said is a `note`", rest
        )
    if other := _kind_of_unit(unit):
        return QuantityError(f"`{text}` is {a_kind(other)}; wanted here is {a_kind(*kinds)}", help, text)
    return QuantityError(f"unit `{unit}` is not known here", help, unit)


_PREFIXED = {
    "resistance": ((1, "Ω"), (1e-3, "mΩ")),
    "current": ((1e3, "kA"), (1, "A"), (1e-3, "mA")),
    "power": ((1e3, "kW"), (1, "W"), (1e-3, "mW")),
    "energy": ((1e3, "kWh"), (1, "Wh")),
    "length": ((1, "m"), (1e-3, "mm")),
    "capacitance": ((1, "F"), (1e-3, "mF"), (1e-6, "µF")),
    "time": ((3600, "h"), (60, "min"), (1, "s"), (1e-3, "ms")),
    "force": ((1e3, "kN"), (1, "N")),
}


def digits(value: float, significant: int = 3) -> str:
    """`value` with so many significant digits, without an exponent and without trailing noise.

    >>> digits(1234.6), digits(0.0456), digits(12.0)
    ('1230', '0.0456', '12.0')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else "∞" if value > 0 else "-∞" if value < 0 else "?"
    places = significant - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    places = significant - 1 - math.floor(math.log10(abs(rounded)))  # 999.9 becomes 1000
    return f"{round(value, places):.{max(places, 0)}f}"


def in_unit(value: float, kind: str, significant: int = 3) -> str:
    """`value` (base unit of `kind`) with a fitting unit.

    >>> in_unit(1810, "current"), in_unit(0.0002, "resistance"), in_unit(0.05, "ratio")
    ('1.81 kA', '0.200 mΩ', '5.00 %')
    """
    if kind == "ratio":
        return f"{digits(value * 100, significant)} %"
    if kind == "per kelvin":
        return f"{digits(value * 100, significant)} %/K"
    steps = _PREFIXED.get(kind, ((1.0, BASE[kind]),))
    size = next((step for step in steps if abs(value) >= step[0] * 0.9995), steps[-1])
    if value == 0:
        size = (1.0, BASE[kind])
    return f"{digits(value / size[0], significant)} {size[1]}"


def show(quantity: Quantity, significant: int = 3) -> str:
    """A quantity for the reader: with `~` for an estimate, `to` for a range."""
    mark = "~" if quantity.how == "estimated" else ""
    if not quantity.is_range:
        return mark + in_unit(quantity.value, quantity.kind, significant)
    low, high = (in_unit(value, quantity.kind, significant) for value in (quantity.low, quantity.high))
    return f"{mark}{low} to {high}"


def assumed(value: float, kind: str, source: str, high: float | None = None) -> Quantity:
    """A default of ours, marked so; `source` says where it comes from."""
    quantity = Quantity(value, value if high is None else high, kind, how="assumed", by=source)
    return replace(quantity, text=show(quantity))
