"""Electric drive: power over speed fitted to measured points, endurance and range."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, log

from loombook.calc.tables import OutOfTable


@dataclass(frozen=True)
class SpeedPower:
    """Power a vessel needs over its speed, P = a vⁿ."""

    coefficient: float
    """a, power at one knot [W]"""
    exponent: float
    """n; 3 is the cube law"""
    slowest: float
    """Slowest measured speed [kn]"""
    fastest: float
    """Fastest measured speed [kn]"""
    deviation: float
    """Largest deviation of a measured point from the fit, as a share of it [1]"""

    def power(self, speed: float) -> float:
        """Power at a speed [kn] → [W]."""
        return self.coefficient * speed**self.exponent if speed > 0 else 0.0

    def speed(self, power: float) -> float:
        """Speed that a power gives [W] → [kn]."""
        return (power / self.coefficient) ** (1 / self.exponent) if power > 0 else 0.0

    def measured(self, speed: float) -> bool:
        """Whether the speed lies between measured ones; outside them the fit is a guess."""
        return self.slowest <= speed <= self.fastest

    def endurance(self, speed: float, energy: float, hotel: float = 0) -> float:
        """Hours at a speed.

        Args:
            speed: [kn]
            energy: usable [Wh]
            hotel: power of everything else [W]
        Returns:
            time [h]
        """
        total = self.power(speed) + hotel
        return energy / total if total > 0 else inf

    def range(self, speed: float, energy: float, hotel: float = 0) -> float:
        """Distance at a speed through the water [nautical miles]; arguments as in `endurance`."""
        return 0.0 if speed <= 0 else speed * self.endurance(speed, energy, hotel)


def cube_law(speed: float, reference: float, exponent: float = 3) -> float:
    """Power at a speed over power at a reference speed.

    P/P0 = (v/v0)³

    Args:
        speed: v, any unit
        reference: v0, the same unit
        exponent: 3 for a hull well below its hump speed
    Returns:
        ratio [1]
    Source: naval practice (seen: 19 over 15 knots about 2, 15 over 30 an eighth, 10 over 8 almost 2).

    >>> cube_law(19, 15), cube_law(15, 30), cube_law(10, 8)
    (2.03, 0.125, 1.953)
    """
    return (speed / reference) ** exponent


def fit_speed_power(points: Sequence[tuple[float, float]]) -> SpeedPower:
    """Fit P = a vⁿ to measured points by least squares of the logarithms.

    Args:
        points: speed [kn] and power [W], at least two speeds
    Returns:
        the fitted curve with its largest deviation
    Raises:
        OutOfTable: fewer than two speeds, a value not above zero, or power that falls with speed

    >>> round(fit_speed_power([(4, 1929), (5, 3375), (6, 6750)]).exponent, 2)
    3.07
    """
    if any(speed <= 0 or power <= 0 for speed, power in points):
        raise OutOfTable("speed and power of every measured point are above zero")
    if len({speed for speed, _ in points}) < 2:
        raise OutOfTable("a speed–power curve needs points at two speeds or more")
    xs, ys = [log(speed) for speed, _ in points], [log(power) for _, power in points]
    x_mean, y_mean = sum(xs) / len(xs), sum(ys) / len(ys)
    square = sum((x - x_mean) ** 2 for x in xs)
    exponent = sum((x - x_mean) * (y - y_mean) for x, y in zip(xs, ys, strict=True)) / square
    if exponent <= 0:
        raise OutOfTable("the measured power falls as the speed rises; check the points")
    coefficient = exp(y_mean - exponent * x_mean)
    deviation = max(abs(power / (coefficient * speed**exponent) - 1) for speed, power in points)
    speeds = [speed for speed, _ in points]
    return SpeedPower(coefficient, exponent, min(speeds), max(speeds), deviation)


def points_of_endurance(energy: float, stays: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Speed–power points from how long one charge lasted at each speed.

    P = E / t

    Args:
        energy: used up each time [Wh]
        stays: speed [kn] and time until empty [h]
    Returns:
        speed [kn] and mean power [W]

    >>> points_of_endurance(13500, [(6, 2), (5, 4)])
    ((6, 6750.0), (5, 3375.0))
    """
    return tuple((speed, energy / hours) for speed, hours in stays)
