"""Fault current of an alternating-current generator: from its reactances, falling from the first moment to what lasts."""

from __future__ import annotations

from math import exp, inf, sqrt
from typing import NamedTuple

from loombook.calc.tables import OutOfTable

SUBTRANSIENT = (0.10, 0.20)
"""x″d to assume, least and most [1]. Source: 0.2 as a textbook's typical salient-pole machine (seen secondary); 0.1 for
small sets (from memory)."""
TRANSIENT = (0.15, 0.30)
"""x′d to assume [1]. Source: 0.3 as above (seen secondary); the least from memory."""
SUSTAINED = (0.4, 3.0)
"""Sustained fault current over the rated one: least without support of the field, most with it (from memory)."""
TRANSIENT_TIME, SUBTRANSIENT_TIME = 1.8, 0.04
"""T′d and T″d of a short at the terminals [s], of the same typical machine: T′d0 6 s · x′d/xd, T″d0 0.06 s · x″d/x′d
(seen secondary, computed)."""


class Reactances(NamedTuple):
    """Reactances of the direct axis, as parts of the rated impedance [1]."""

    subtransient: float
    transient: float
    synchronous: float


def rated_impedance(apparent: float, voltage: float, phases: int = 1) -> float:
    """Impedance to which the reactances are parts.

    Z_N = U²/S, the same for one phase and, with U line to line, for three

    Args:
        apparent: rated S [VA]
        voltage: U [V]
        phases: 1 or 3
    Returns:
        Z_N [Ω]

    >>> rated_impedance(4600, 230)
    11.5
    """
    if apparent <= 0:
        raise OutOfTable("a generator without a rating has no impedance to compute")
    if phases not in (1, 3):
        raise OutOfTable(f"{phases} phases; 1 or 3 are worked")
    return voltage**2 / apparent


def first_current(rated: float, subtransient: float) -> float:
    """Fault current of the first moment at the terminals.

    I″k = I_n / x″d

    Args:
        rated: I_n [A]
        subtransient: x″d [1]
    Returns:
        current [A]; inf without reactance
    Source: IEC 60909-0 for a generator without factors (from memory).

    >>> first_current(20, 0.2)
    100.0
    """
    return rated / subtransient if subtransient > 0 else inf


def current_at(
    rated: float, parts: Reactances, time: float,
    transient_time: float = TRANSIENT_TIME, subtransient_time: float = SUBTRANSIENT_TIME,
) -> float:  # fmt: skip
    """Alternating part of the fault current at the terminals, some time after it began at no load.

    i(t) = I_n [1/x_d + (1/x′d − 1/x_d) e^(−t/T′d) + (1/x″d − 1/x′d) e^(−t/T″d)]

    Args:
        rated: I_n [A]
        parts: x″d, x′d, x_d [1]
        time: t [s]
        transient_time: T′d [s]
        subtransient_time: T″d [s]
    Returns:
        current, root mean square [A]
    Valid with a field that is left as it was: a regulator that supports the field holds the current above it.
    Source: the machine's equation in any textbook; IEC 60034-4 (from memory).

    >>> current_at(20, Reactances(0.2, 0.3, 1.0), 0), current_at(20, Reactances(0.2, 0.3, 1.0), 60)
    (100.0, 20.0)
    """
    steady, slow, fast = 1 / parts.synchronous, 1 / parts.transient, 1 / parts.subtransient
    return rated * (
        steady + (slow - steady) * exp(-time / transient_time) + (fast - slow) * exp(-time / subtransient_time)
    )


def largest_instant(current: float) -> float:
    """Highest instant of a fault current that begins at the worst moment: its direct part still whole.

    i_p ≤ 2 √2 I″k

    >>> largest_instant(100)
    282.8
    """
    return 2 * sqrt(2) * current
