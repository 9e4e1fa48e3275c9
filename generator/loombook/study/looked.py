"""One state's highest faults, looked up by the device that stands before them."""

from __future__ import annotations

from collections.abc import Mapping

from ..network import Edge
from .faultcase import FaultCase
from .thevenin import Shorts


class Looked:
    """One state's highest faults, to be looked up by device."""

    def __init__(self, case: FaultCase, shorts: Shorts) -> None:
        self.case, self.shorts = case, shorts
        self.place = {node: i for i, (node, _) in enumerate(case.pairs)}
        self.row = {id: i for i, id in enumerate(case.watch)}

    def behind(self, device: Edge) -> tuple[float, int]:
        """The lower of the faults at a device's two ends, the one that it stands before [A], and its place."""
        rows = [
            (float(self.shorts.current[i]), i) for n in (device.a, device.b) if (i := self.place.get(n)) is not None
        ]
        return min((row for row in rows if row[0] > 0), default=(0.0, -1))

    def through(self, device: str, place: int) -> float:
        """What another device carries of it; in radial wiring all of it or nothing [A]."""
        if device in self.row:
            return abs(float(self.shorts.watched[self.row[device], place]))
        on_the_way = any(e.id == device for e in self.case.grid.outward(self.case.pairs[place][0]))
        return float(self.shorts.current[place]) if on_the_way else 0.0

    def given(self, place: int) -> Mapping[str, float]:
        """What each source gives of it [A]."""
        return {
            f.edge.id: float(amps)
            for f, amps in zip(self.case.feeds, self.shorts.given[:, place])
            if f.edge.kind != "motor"
        }
