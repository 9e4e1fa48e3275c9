"""Boats drawn by lot for tests: strings in parallel, rings, converters side by side, taps in a chain, hidden fuses."""

from __future__ import annotations

from random import Random

from loombook.inventory import read_text
from loombook.network import Network, build


def random_boat(seed: int) -> Network:
    """The boat that belongs to a number, always the same."""
    return build(read_text(random_text(seed)))


def random_text(seed: int) -> str:
    """Her inventory."""
    return _Yard(Random(seed)).text()


class _Yard:
    def __init__(self, lot: Random) -> None:
        self.lot = lot
        self.numbers: dict[str, int] = {}
        self.families: dict[str, list[str]] = {}
        self.feeds: list[tuple[str, str]] = []
        """Where a circuit may begin, and where it then goes back to."""

    def text(self) -> str:
        self._bank()
        self._distribution()
        if self.chance(0.5):
            self._start_battery()
        for _ in range(self.lot.choice([0, 1, 1, 2])):
            self._converters()
        self._circuits()
        rows = [
            "vessel: {name: Drawn by lot, invented: yes}",
            "spaces: {saloon: {name: Saloon}, engine: {name: Engine}}",
        ]
        for family, members in self.families.items():
            rows += [f"{family}:", *(f"  {member}" for member in members)]
        return "\n".join(rows) + "\n"

    def chance(self, part: float) -> bool:
        return self.lot.random() < part

    def new(self, letter: str) -> str:
        self.numbers[letter] = self.numbers.get(letter, 0) + 1
        return f"{letter}{self.numbers[letter]}"

    def put(self, family: str, id: str, rest: str) -> str:
        self.families.setdefault(family, []).append(f"{id}: {{{rest}}}")
        return id

    def bar(self, name: str) -> str:
        return self.put("bars", self.new("X"), f"name: {name}")

    def fuse(self, hidden: bool = False) -> str:
        more = ", hidden: yes" if hidden else ""
        return self.put("fuses", self.new("F"), f"rating: {self.lot.choice([3, 5, 10, 50])} A, kind: blade{more}")

    def cable(self) -> str:
        return f'{self.new("W")}: "{self.lot.choice([1.5, 6, 35])} mm², {self.lot.randint(2, 90) / 10} m"'

    def run(self, *steps: str) -> None:
        """A run with a cable between each two steps; now and then two are bolted together."""
        path = [steps[0]]
        for step in steps[1:]:
            path += [self.cable(), step] if self.chance(0.85) else [step]
        self.families.setdefault("runs", []).append(f"{self.new('run ')}: [{', '.join(path)}]")

    def _bank(self) -> None:
        self.plus, self.minus = self.bar("Positive bar"), self.bar("Negative bar")
        self.batteries = []
        shunt = self.put("shunts", self.new("B"), "rating: 500 A") if self.chance(0.5) else ""
        bank = self.bar("Battery negative bar") if shunt else self.minus
        if shunt:
            self.run(bank, shunt, self.minus)
        for _ in range(self.lot.choice([1, 1, 2, 3])):
            bms = ", bms: {current: 200 A}" if self.chance(0.4) else ""
            id = self.put(
                "batteries", self.new("G"), f"chemistry: lfp, cells: {{series: 8, capacity: 280 Ah}}, bank: house{bms}"
            )
            self.batteries.append(id)
            self.run(f"{id} +", self.fuse(), self.plus)
            self.run(f"{id} -", bank)
        if self.chance(0.3):
            self.feeds.append((f"{self.batteries[-1]} +", self.minus))
        if self.chance(0.3):
            alternator = self.put("alternators", self.new("A"), "current: 60 A, voltage: 24 V")
            self.run(f"{alternator} +", self.fuse(), self.plus)
            self.run(f"{alternator} -", self.minus)

    def _distribution(self) -> None:
        switch = self.put("switches", self.new("Q"), "name: Main switch")
        main = self.bar("Main bar")
        self.run(self.plus, switch, main)
        if self.chance(0.2):
            self.run(self.plus, switch + " 1")
        bars, negatives = [main], [self.minus]
        for _ in range(self.lot.randint(0, 3)):
            bar = self.bar("Far bar")
            self.run(self.lot.choice(bars), self.fuse(), bar)
            if self.chance(0.4):
                self.run(self.lot.choice(bars), self.fuse(), bar)
            bars.append(bar)
            if self.chance(0.5):
                negative = self.bar("Far negative")
                self.run(negatives[-1], negative)
                if self.chance(0.3):
                    self.run(self.lot.choice(negatives), negative)
                negatives.append(negative)
        for bar in bars:
            if bar == main or self.chance(0.7):
                self._panel(bar, self.lot.choice(negatives))
            if self.chance(0.3):
                self.feeds.append((bar, self.lot.choice(negatives)))

    def _panel(self, bar: str, negative: str, most: int = 8) -> None:
        ways = self.lot.randint(1, most)
        kind = self.lot.choice(["blade", "thermal"])
        numbered = ", ".join(f'{n}: "5 A"' for n in range(1, ways + 1))
        panel = self.put(
            "panels", self.new("P"), f"name: Panel, negative: {negative}, kind: {kind}, ways: {{{numbered}}}"
        )
        self.run(bar, self.fuse(), panel)
        self.feeds += [(f"{panel} way {n}", negative) for n in range(1, ways + 1)]

    def _start_battery(self) -> None:
        id = self.put(
            "batteries", self.new("G"), "chemistry: agm lead-acid, cells: {series: 12, capacity: 70 Ah}, duty: start"
        )
        bar = self.bar("Start bar")
        self.run(f"{id} +", self.put("switches", self.new("Q"), "name: Start switch"), bar)
        self.run(f"{id} -", self.minus)
        normal = self.lot.choice(["on", "off"])
        link = self.put("switches", self.new("Q"), f"kind: paralleling, normal: {normal}")
        self.run(self.plus, link, bar)
        motor = self.put("motors", self.new("M"), "name: Starter, load: 1200 W")
        self.run(bar, f"{motor} +")
        self.run(f"{motor} -", self.minus)

    def _converters(self) -> None:
        """One or two converters that feed a bar of their own voltage, from a bar or a panel's way."""
        plus, minus = self.bar("12 V bar"), self.bar("12 V negative")
        if self.chance(0.6):
            self.run(minus, self.minus)
        for _ in range(self.lot.choice([1, 1, 2])):
            id = self.put(
                "converters",
                self.new("T"),
                f"output: 12.5 V, current: 30 A, isolated: {self.lot.choice(['yes', 'no'])}",
            )
            start, back = self.lot.choice(self.feeds) if self.feeds else (self.plus, self.minus)
            if " way " in start:
                self.feeds.remove((start, back))
            self.run(start, f"{id} in +")
            self.run(f"{id} in -", back)
            self.run(f"{id} out +", self.fuse(), plus)
            self.run(f"{id} out -", minus)
        self._panel(plus, minus, 5)

    def _circuits(self) -> None:
        for start, back in list(self.feeds):
            if self.numbers.get("C") and self.chance(0.1):
                continue
            id = self.new("C")
            steps = ['"1.5 mm², 4 m"']
            if self.chance(0.25):
                steps += [self.fuse(hidden=self.chance(0.5)), '"1 mm², 3 m"']
            if " way " not in start:
                steps.insert(0, self.fuse())
            load = "load: 0.5 A"
            if self.chance(0.15):
                taps = [
                    f'{self.new("E")}: {{name: Tap, load: 0.1 A, cable: "0.75 mm², 1 m"}}'
                    for _ in range(self.lot.randint(2, 4))
                ]
                load = f"layout: {self.lot.choice(['chain', 'star'])}, loads: {{{', '.join(taps)}}}"
            self.put(
                "circuits",
                id,
                f"name: Device {id}, from: {start}, back to: {back}, cable: [{', '.join(steps)}], {load}",
            )
