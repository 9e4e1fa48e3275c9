"""Vessels drawn by lot to be switched off: every way that boats part sources from wiring. Invented, of course.

Banks with a main switch, a two-pole one, one in the negative or none; a paralleling switch, a selector, a change-over;
bars in a ring with switches on both sides; panels of breakers or fuses; alternators on one engine with
one stop, with none; sun with and without a switch; shore, charger, inverter; converters; a drive that the water
turns; what is left on.
The same number always gives the same vessel. They stay small, so that every set of handles can be tried.
"""

from __future__ import annotations

from random import Random


def random_vessel(seed: int) -> str:
    """The inventory that belongs to a number."""
    return _Yard(Random(seed)).text()


class _Yard:
    def __init__(self, lot: Random) -> None:
        self.lot = lot
        self.volts = lot.choice([12, 24])
        self.numbers: dict[str, int] = {}
        self.families: dict[str, list[str]] = {}
        self.switched: list[str] = []
        """Ids of switches that are off in normal use."""

    def text(self) -> str:
        earth = "insulated" if self.chance(0.15) else "negative"
        self.minus = self.bar("Negative bar")
        self.bars = [self.bar("Positive bar")]
        for _ in range(self.lot.choice([1, 1, 2, 2, 3])):
            self.bank()
        parts = (
            (self.second_bar, 0.5), (self.parallel, 0.35), (self.engine, 0.6), (self.sun, 0.5), (self.mains, 0.45),
            (self.converter, 0.5), (self.drive, 0.4), (self.left_on, 0.4), (self.panel, 0.7),
        )  # fmt: skip
        for part, chance in parts:
            if self.chance(chance):
                part()
        self.lamp(self.lot.choice(self.bars), self.minus)
        rows = [f"vessel: {{name: Drawn by lot, invented: yes, earth: {earth}, revision: '2'}}"]
        rows += ["spaces: {aft: {name: Aft, floor: 0.2 m}, forward: {name: Forward, floor: 0.6 m}}"]
        for family, members in self.families.items():
            rows += [f"{family}:", *(f"  {member}" for member in members)]
        on = ", ".join(f"{id}: on" for id in self.switched)
        rows += ["conditions:", "  at sea: {hours: 10 h}", f"  last resort: {{emergency: yes, switches: {{{on}}}}}"]
        return "\n".join(rows) + "\n"

    # words of the language

    def chance(self, part: float) -> bool:
        return self.lot.random() < part

    def new(self, letter: str) -> str:
        self.numbers[letter] = self.numbers.get(letter, 0) + 1
        return f"{letter}{self.numbers[letter]}"

    def put(self, family: str, id: str, rest: str) -> str:
        height = f", height: {self.lot.randint(0, 20) / 10} m" if self.chance(0.7) else ""
        at = f'at: {{space: {self.lot.choice(["aft", "forward"])}, place: "{id} place"{height}}}'
        self.families.setdefault(family, []).append(f"{id}: {{{', '.join(part for part in (rest, at) if part)}}}")
        return id

    def bar(self, name: str) -> str:
        return self.put("bars", self.new("X"), f"name: {name}")

    def cable(self) -> str:
        return f'{self.new("W")}: "{self.lot.choice([4, 10, 35])} mm², {self.lot.randint(3, 60) / 10} m"'

    def run(self, *steps: str) -> None:
        self.families.setdefault("runs", []).append(f"run {self.new('')}: [{', '.join(steps)}]")

    def switch(self, more: str = "") -> str:
        access = self.lot.choice(
            ["", "", "", ", access: open", ", access: door", ", access: stowage", ", access: tool", ", access: hidden"]
        )
        return self.put("switches", self.new("Q"), f"name: Switch{access}{more}")

    def fuse(self) -> str:
        kind = self.lot.choice(["class T", "blade", "maxi blade", "gG"])
        return self.put("fuses", self.new("F"), f"rating: 60 A, kind: {kind}")

    def between(self, a: str, b: str, chance: float = 0.5) -> None:
        """A run that may have a switch, a breaker or a fuse in it."""
        steps = [a, self.cable()]
        if self.chance(chance):
            breaker = self.chance(0.4)
            device = self.put("breakers", self.new("F"), "rating: 60 A") if breaker else self.switch()
            steps += [device, self.cable()]
        if self.chance(0.3):
            steps += [self.fuse(), self.cable()]
        self.run(*steps, b)

    def lamp(self, plus: str, minus: str, more: str = "") -> None:
        essential = ", essential: yes" if self.chance(0.3) else ""
        device = f"{self.fuse()}, " if self.chance(0.6) else ""
        cable = f'cable: [{device}"1.5 mm², 3 m"]'
        self.put(
            "circuits",
            self.new("C"),
            f"name: Lamp, from: {plus}, back to: {minus}, {cable}, load: 5 W, duty: 50 %{essential}{more}",
        )

    # parts of a vessel

    def battery(self, more: str = "") -> str:
        lead = self.chance(0.5)
        series = self.volts // 2 if lead else self.volts // 3
        button = self.lot.choice(["", ", remote: red button"])
        bms = (
            ""
            if lead or self.chance(0.4)
            else f", bms: {{current: 200 A, side: {self.lot.choice(['positive', 'negative'])}{button}}}"
        )
        kind = "agm lead-acid" if lead else "lfp"
        duty = self.lot.choice(["house", "house", "start", "drive"])
        return self.put(
            "batteries",
            self.new("G"),
            f"name: Battery, chemistry: {kind}, duty: {duty}, cells: {{series: {series}, capacity: 100 Ah}}{bms}{more}",
        )

    def bank(self) -> None:
        """A battery on a bar, old or new: main switch in the positive, in both poles, in the negative, or none."""
        id = self.battery()
        bar = self.bars[0] if self.chance(0.6) else self.bar("Own bar")
        if bar not in self.bars:
            self.bars.append(bar)
        way = self.lot.choice(["main", "main", "main", "two poles", "negative", "none", "selector"])
        if way == "two poles":
            main = self.switch(", poles: 2")
            self.run(f"{id} +", self.cable(), main, self.cable(), bar)
            self.run(f"{id} -", self.cable(), f"{main} pole 2", self.cable(), self.minus)
            return
        if way == "selector":
            main = self.switch(f', kind: selector, normal: "{self.lot.choice(["1", "both", "off"])}"')
            self.run(f"{id} +", self.cable(), f"{main} 1")
            self.run(f"{main} com", self.cable(), bar)
            if self.chance(0.6):
                other = self.battery()
                self.run(f"{other} +", self.cable(), f"{main} 2")
                self.run(f"{other} -", self.cable(), self.minus)
        elif way == "main":
            self.run(f"{id} +", self.cable(), self.switch(), self.cable(), bar)
        else:
            self.run(f"{id} +", self.cable(), bar)
        if way == "negative":
            self.run(f"{id} -", self.cable(), self.switch(), self.cable(), self.minus)
        else:
            self.run(f"{id} -", self.cable(), self.minus)

    def second_bar(self) -> None:
        far = self.bar("Far bar")
        for _ in range(self.lot.choice([1, 2])):
            self.between(self.lot.choice(self.bars), far, 0.7)
        self.bars.append(far)

    def parallel(self) -> None:
        if len(self.bars) > 1:
            link = self.switch(", kind: paralleling, normal: off")
            self.switched.append(link)
            self.run(self.bars[0], self.cable(), link, self.cable(), self.bars[-1])

    def engine(self) -> None:
        stop = self.lot.choice([", stop: pull the handle", ', stop: {action: press the button, at: "aft, helm"}', ""])
        engine = self.lot.choice(["", ", engine: main"])
        for _ in range(self.lot.choice([1, 1, 2])):
            id = self.put(
                "alternators", self.new("A"), f"name: Alternator, current: 80 A, voltage: {self.volts} V{engine}{stop}"
            )
            self.between(f"{id} +", self.lot.choice(self.bars), 0.3)
            self.run(f"{id} -", self.cable(), self.minus)

    def sun(self) -> None:
        stop = self.lot.choice(["", "", ", stop: cover the panels"])
        array = self.put(
            "solar arrays", self.new("S"), f"name: Panels, open circuit: 22 V, short circuit: 6 A, power: 100 W{stop}"
        )
        control = self.put("solar controllers", self.new("T"), "name: Controller, current: 20 A")
        self.between(f"{array} +", f"{control} pv +", 0.3)
        self.run(f"{array} -", self.cable(), f"{control} pv -")
        self.between(f"{control} +", self.lot.choice(self.bars), 0.3)
        self.run(f"{control} -", self.cable(), self.minus)

    def mains(self) -> None:
        inlet = self.put("shore inlets", self.new("Y"), "name: Inlet, voltage: 230 V, current: 16 A")
        charger = self.put("chargers", self.new("T"), f"name: Charger, current: 20 A, voltage: {self.volts} V")
        main = self.put(
            "breakers", self.new("F"), f"name: Shore breaker, rating: 16 A, kind: C, poles: {self.lot.choice([1, 2])}"
        )
        panel = self.put(
            "panels",
            self.new("P"),
            f'name: Mains panel, ac: yes, kind: B, poles: {self.lot.choice([1, 2])}, ways: {{1: "10 A"}}',
        )
        self.run(inlet, self.cable(), main)
        self.run(main, self.cable(), charger)
        if self.chance(0.5):
            inverter = self.put(
                "inverters", self.new("T"), "name: Inverter, power: 800 VA, output: 230 V, stored energy wait: 2 min"
            )
            over = self.put(
                "switches",
                self.new("Q"),
                f"name: Change-over, kind: change-over, poles: 2, normal: {self.lot.choice(['1', '2', 'off'])!r}",
            )
            self.between(self.lot.choice(self.bars), f"{inverter} +", 0.5)
            self.run(f"{inverter} -", self.cable(), self.minus)
            self.run(main, self.cable(), f"{over} 1")
            self.run(inverter, self.cable(), f"{over} 2")
            self.run(f"{over} com", self.cable(), panel)
        else:
            self.run(main, self.cable(), panel)
        self.between(f"{charger} +", self.lot.choice(self.bars), 0.2)
        self.run(f"{charger} -", self.cable(), self.minus)
        self.put("circuits", self.new("C"), f'name: Heater, from: {panel} way 1, cable: "1.5 mm², 6 m", load: 200 W')

    def converter(self) -> None:
        plus, minus = self.bar("Converter bar"), self.bar("Converter negative")
        volts = 12.5 if self.volts == 24 else 24.5
        for _ in range(self.lot.choice([1, 1, 2])):
            id = self.put(
                "converters",
                self.new("T"),
                f"name: Converter, output: {volts} V, current: 10 A, isolated: {self.lot.choice(['yes', 'no'])}",
            )
            self.between(self.lot.choice(self.bars), f"{id} in +", 0.4)
            self.between(f"{id} in -", self.minus, 0.15)
            self.between(f"{id} out +", plus, 0.3)
            self.run(f"{id} out -", self.cable(), minus)
        self.lamp(plus, minus)

    def drive(self) -> None:
        turns = (
            "kind: drive, regenerates: yes, stored energy wait: 5 min, capacitance: 5 mF"
            if self.chance(0.6)
            else "kind: windlass"
        )
        id = self.put("motors", self.new("M"), f"name: Motor, load: 50 A, {turns}")
        master = self.switch(", propulsion: yes") if self.chance(0.5) else self.fuse()
        self.run(self.lot.choice(self.bars), self.cable(), master, self.cable(), f"{id} +")
        self.run(f"{id} -", self.cable(), self.minus)

    def left_on(self) -> None:
        switch = self.put("switches", self.new("Q"), "name: Leave on, stays on: yes")
        bar = self.bar("Always-live bar")
        self.run(self.lot.choice(self.bars), self.cable(), switch, self.cable(), bar)
        self.lamp(bar, self.minus, ", stays on: yes")

    def panel(self) -> None:
        count = self.lot.randint(1, 3)
        ways = ", ".join(f'{n}: "5 A"' for n in range(1, count + 1))
        id = self.put(
            "panels",
            self.new("P"),
            f"name: Panel, negative: {self.minus}, kind: {self.lot.choice(['blade', 'thermal'])}, ways: {{{ways}}}",
        )
        self.between(self.lot.choice(self.bars), id, 0.5)
        for n in range(1, count + 1):
            self.put(
                "circuits",
                self.new("C"),
                f'name: Load {n}, from: {id} way {n}, cable: "1.5 mm², 3 m", load: 1 A, '
                f"essential: {self.lot.choice(['yes', 'no'])}",
            )
