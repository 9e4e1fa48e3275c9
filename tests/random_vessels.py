"""Vessels drawn by lot, wired with everything that makes an electrical study hard. Invented, of course.

One to three strings in parallel, with or without BMS and shunt, a second bar in a ring, a start battery with a
paralleling
switch, alternator, sun and shore charging, one or two converters on one bar, an inverter with mains circuits, motors,
and
loads that keep their power, their current or their resistance. The same number always gives the same vessel.
"""

from __future__ import annotations

from random import Random

CELLS = {12: (4, 6), 24: (8, 12), 48: (16, 24)}
"""System voltage → cells in series: lithium iron phosphate, lead-acid."""


def random_vessel(seed: int) -> str:
    """The inventory that belongs to a number."""
    return _Yard(Random(seed)).text()


class _Yard:
    def __init__(self, lot: Random) -> None:
        self.lot = lot
        self.volts = lot.choice([12, 24, 24, 48])
        self.numbers: dict[str, int] = {}
        self.families: dict[str, list[str]] = {}
        self.conditions: dict[str, dict[str, str]] = {}
        self.on: list[str] = []

    def text(self) -> str:
        self.bank()
        self.second_bar()
        for part, chance in (
            (self.start_battery, 0.5), (self.alternator, 0.5), (self.sun, 0.5),
            (self.mains, 0.6), (self.converters, 0.6), (self.motor, 0.6),
        ):  # fmt: skip
            if self.chance(chance):
                part()
        self.panel(self.lot.choice(self.bars), self.negative, self.volts)
        rows = ["vessel: {name: Drawn by lot, invented: yes}", "spaces: {engine: {name: Engine space, engine: yes}}"]
        for family, members in self.families.items():
            rows += [f"{family}:", *(f"  {member}" for member in members)]
        rows += ["conditions:", "  under way: {sources: [" + ", ".join(self.on) + "]}"]
        switches = ", ".join(f"{id}: on" for id in self.closable)
        rows += [f"  all closed: {{switches: {{{switches}}}, sources: [{', '.join(self.on)}], solar: 50 %}}"]
        return "\n".join(rows) + "\n"

    # words of the language

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

    def fuse(self, rating: int) -> str:
        return self.put(
            "fuses", self.new("F"), f"rating: {rating} A, kind: class T, voltage: 125 V, breaking: 20 kA at 125 V"
        )

    def cable(self, *areas: float) -> str:
        parallel = "2 × " if self.chance(0.1) else ""
        plating = self.lot.choice(["", ", tinned", ", plain", ", in engine", ", 105 °C"])
        return f'{self.new("W")}: "{parallel}{self.lot.choice(areas)} mm², {self.lot.randint(3, 60) / 10} m{plating}"'

    def run(self, *steps: str) -> None:
        self.families.setdefault("runs", []).append(f"run {self.new('')}: [{', '.join(steps)}]")

    # parts of a vessel

    def bank(self) -> None:
        self.positive, self.negative, self.closable = self.bar("Positive bar"), self.bar("Negative bar"), []
        self.bars = [self.positive]
        shunt = self.chance(0.5)
        back = self.bar("Battery negative bar") if shunt else self.negative
        if shunt:
            meter = self.put("shunts", self.new("B"), "rating: 500 A, drop: 50 mV")
            self.run(back, meter, self.negative)
        lithium = self.chance(0.7)
        series = CELLS[self.volts][0 if lithium else 1]
        for _ in range(self.lot.choice([1, 2, 2, 3])):
            ohms = self.lot.choice(["", ", resistance: 0.2 mΩ", ", resistance: 0.17 to 0.30 mΩ"]) if lithium else ""
            bms = ", bms: {current: 200 A}" if lithium and self.chance(0.6) else ""
            kind = "lfp" if lithium else "agm lead-acid"
            cells = f"cells: {{series: {series}, capacity: {self.lot.choice([100, 280, 304])} Ah{ohms}}}"
            id = self.put("batteries", self.new("G"), f"chemistry: {kind}, bank: house, {cells}{bms}")
            self.run(f"{id} +", self.cable(50, 70, 95), self.fuse(300), self.cable(50, 70, 95), self.positive)
            self.run(f"{id} -", self.cable(50, 70, 95), back)

    def second_bar(self) -> None:
        if not self.chance(0.6):
            return
        far = self.bar("Far bar")
        for _ in range(self.lot.choice([1, 2])):
            self.run(self.positive, self.fuse(125), self.cable(16, 25, 35), far)
        self.bars.append(far)

    def start_battery(self) -> None:
        series = CELLS[self.volts][1]
        id = self.put(
            "batteries",
            self.new("G"),
            f"chemistry: flooded lead-acid, duty: start, "
            f"cells: {{series: {series}, capacity: {self.lot.choice([70, 95])} Ah}}",
        )
        bar = self.bar("Start bar")
        switch = self.put("switches", self.new("Q"), "name: Start switch, rating: 300 A")
        self.run(f"{id} +", self.cable(50), switch, self.cable(50), bar)
        self.run(f"{id} -", self.cable(50, 70), self.negative)
        link = self.put(
            "switches", self.new("Q"), "name: Parallel switch, kind: paralleling, normal: off, rating: 300 A"
        )
        self.closable.append(link)
        self.run(self.positive, self.cable(50), link, self.cable(50), bar)
        self.bars.append(bar)

    def alternator(self) -> None:
        volts = self.volts * 1.17
        id = self.put(
            "alternators",
            self.new("A"),
            f"current: {self.lot.choice([35, 80, 120])} A, voltage: {self.volts} V, absorption: {volts:.1f} V",
        )
        self.run(f"{id} +", self.cable(25, 35), self.fuse(150), self.lot.choice(self.bars))
        self.run(f"{id} -", self.cable(25, 35), self.negative)
        self.on.append(id)

    def sun(self) -> None:
        panels = self.volts // 12 + 1
        array = self.put(
            "solar arrays",
            self.new("S"),
            f"series: {panels}, open circuit: 22 V, short circuit: 6 A, power: {self.lot.choice([60, 100])} W",
        )
        control = self.put("solar controllers", self.new("T"), f"current: 20 A, absorption: {self.volts * 1.17:.1f} V")
        self.run(f"{array} +", self.cable(6), f"{control} pv +")
        self.run(f"{array} -", self.cable(6), f"{control} pv -")
        self.run(f"{control} +", self.cable(6, 10), self.fuse(30), self.positive)
        self.run(f"{control} -", self.cable(6, 10), self.negative)
        self.on += [array, control]

    def mains(self) -> None:
        inlet = self.put("shore inlets", self.new("Y"), "voltage: 230 V, current: 16 A, fault current: 1.5 kA")
        charger = self.put(
            "chargers",
            self.new("T"),
            f"current: {self.lot.choice([15, 40])} A, voltage: {self.volts} V, absorption: {self.volts * 1.17:.1f} V",
        )
        main = self.put("breakers", self.new("F"), "rating: 16 A, kind: C, poles: 2")
        panel = self.put("panels", self.new("P"), 'ac: yes, kind: B, poles: 2, ways: {1: "10 A", 2: "10 A"}')
        self.run(f"{charger} +", self.cable(16, 25), self.fuse(80), self.positive)
        self.run(f"{charger} -", self.cable(16, 25), self.negative)
        if self.chance(0.5):
            inverter = self.put(
                "inverters", self.new("T"), f"power: {self.lot.choice([800, 2000])} VA, output: 230 V, idle: 10 W"
            )
            over = self.put("switches", self.new("Q"), 'kind: change-over, poles: 2, normal: "1"')
            self.run(f"{inverter} +", self.cable(50, 70), self.fuse(200), self.positive)
            self.run(f"{inverter} -", self.cable(50, 70), self.negative)
            self.run(inlet, self.cable(2.5), main)
            self.run(main, self.cable(2.5), f"{over} 1")
            self.run(inverter, self.cable(2.5), f"{over} 2")
            self.run(f"{over} com", self.cable(2.5), panel)
            self.run(main, self.cable(1.5), charger)
        else:
            self.run(inlet, self.cable(2.5), main, self.cable(2.5), panel)
            self.put("circuits", self.new("C"), f'name: Feed, from: {panel} way 2, cable: "1.5 mm², 3 m", load: 60 W')
            self.run(main, self.cable(1.5), charger)
        self.put(
            "circuits",
            self.new("C"),
            f'name: Heater, from: {panel} way 1, cable: "1.5 mm², 6 m", '
            f"load: {self.lot.choice([200, 700])} W, law: resistance, duty: 50 %",
        )
        self.on.append(inlet)

    def converters(self) -> None:
        plus, minus = self.bar("Converter bar"), self.bar("Converter negative")
        volts = 12.5 if self.volts != 12 else 24.5
        isolated = self.chance(0.4)
        for _ in range(self.lot.choice([1, 2])):
            id = self.put(
                "converters",
                self.new("T"),
                f"output: {volts} V, current: {self.lot.choice([10, 30])} A, "
                f"isolated: {'yes' if isolated else 'no'}, idle: 3 W",
            )
            self.run(self.lot.choice(self.bars), self.fuse(60), self.cable(10, 16), f"{id} in +")
            self.run(f"{id} in -", self.cable(10, 16), self.negative)
            self.run(f"{id} out +", self.cable(10), self.fuse(50), plus)
            self.run(f"{id} out -", self.cable(10), minus)
        self.panel(plus, minus, 12 if self.volts != 12 else 24)

    def motor(self) -> None:
        for _ in range(self.lot.choice([1, 2])):
            kind, amps = self.lot.choice([("windlass", 60), ("thruster", 150), ("drive", 120)])
            id = self.put(
                "motors",
                self.new("M"),
                f"name: Motor, kind: {kind}, load: {amps} A, "
                f"duty: {self.lot.choice([1, 30])} %, start: {2 * amps} A for 1 s",
            )
            self.run(self.lot.choice(self.bars), self.fuse(200), self.cable(35, 50, 70), f"{id} +")
            self.run(f"{id} -", self.cable(35, 50, 70), self.negative)

    def panel(self, feed: str, negative: str, volts: int) -> None:
        count = self.lot.randint(1, 8)
        ways = ", ".join(f'{n}: "{self.lot.choice([5, 10, 15])} A"' for n in range(1, count + 1))
        panel = self.put(
            "panels",
            self.new("P"),
            f"name: Panel, negative: {negative}, kind: {self.lot.choice(['blade', 'thermal'])}, ways: {{{ways}}}",
        )
        self.run(feed, self.fuse(60), self.cable(10, 16, 25), panel)
        for n in range(1, count + 1):
            law = self.lot.choice(["", ", law: power", ", law: current", ", law: resistance"])
            load = self.lot.choice([f"{self.lot.randint(2, 60)} W", f"{self.lot.randint(1, 50) / 10} A"])
            area, length = self.lot.choice([1.5, 2.5, 4]), self.lot.randint(10, 150) / 10
            more = (
                f'name: Load {n}, from: {panel} way {n}, cable: "{area} mm², {length} m", '
                f"duty: {self.lot.choice([10, 50, 100])} %{law}"
            )
            id = self.new("C")
            if self.chance(0.15):
                taps = ", ".join(
                    f'{self.new("E")}: {{name: Tap, load: {load}, cable: "1 mm², 1.5 m"}}'
                    for _ in range(self.lot.choice([2, 3]))
                )
                self.put(
                    "circuits",
                    id,
                    f'name: Taps {n}, from: {panel} way {n}, cable: "{area} mm², {length} m", '
                    f"layout: {self.lot.choice(['chain', 'star'])}, loads: {{{taps}}}",
                )
            else:
                self.put("circuits", id, f"{more}, load: {load}")
