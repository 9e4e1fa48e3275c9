"""The sound little vessel that completes the examples of the rules: what an example leaves out, it has."""

from __future__ import annotations

import re

BASE = """\
vessel:
  name: Example
  invented: yes
  revision: "1"
  earth: negative
defaults:
  insulation: 105 °C
  tinned: yes
spaces:
  locker: {name: Battery locker, vented to: deck}
  cabin: {name: Cabin}
  engine: {name: Engine space, engine: yes, vented to: deck}
  cockpit: {name: Cockpit, outside: yes}
batteries:
  G1: {name: House battery, chemistry: lfp, at: "locker, left", restrained: yes, covered: yes, max charge: 100 A,
      cells: {series: 4, capacity: 200 Ah, resistance: 0.5 mΩ, link: 0.05 mΩ, lowest: 2.5 V, highest: 3.65 V},
      bms: {series: 4, chemistry: lfp, current: 150 A, charge current: 100 A, resistance: 1 mΩ,
      highest cell: 3.60 V, lowest cell: 2.70 V, alarm: buzzer at the helm, sense fused: yes}}
alternators:
  G3: {name: Alternator, at: "engine, front", current: 60 A, absorption: 14.0 V, float: 13.5 V,
      temperature compensation: no, regulator: external, bms stops it: yes, stop: pull the engine stop}
shore inlets:
  X8: {name: Shore inlet, at: "cockpit, port coaming", voltage: 230 V, current: 16 A, galvanic isolator: yes,
      polarity lamp: yes}
chargers:
  T1: {name: Charger, at: "locker, right", current: 30 A, absorption: 14.0 V, float: 13.5 V,
      temperature compensation: no, bms stops it: yes}
bars:
  X1: {name: Positive bar, at: "locker, upper", cover: yes}
  X2: {name: Negative bar, at: "locker, lower"}
  X3: {name: Always-live bar, at: "locker, middle", cover: yes}
panels:
  X4: {name: Panel, at: "cabin, port side", kind: blade, voltage: 32 V, breaking: 1 kA at 32 V, negative: X5,
      ways: {1: "5 A, NAV LIGHTS", 2: "10 A, VHF", 3: "5 A, CABIN LIGHT", 4: spare}}
fuses:
  F1: {name: Main fuse, kind: class T, rating: 150 A, voltage: 125 V, breaking: 20 kA at 125 V,
      at: "locker, on the post", cover: yes}
  F2: {name: Alternator fuse, kind: class T, rating: 80 A, voltage: 125 V, breaking: 20 kA at 125 V,
      at: "locker, on the bar", cover: yes}
  F3: {name: Charger fuse, kind: class T, rating: 40 A, voltage: 125 V, breaking: 20 kA at 125 V,
      at: "locker, on the bar", cover: yes}
  F4: {name: Panel fuse, kind: class T, rating: 40 A, voltage: 125 V, breaking: 20 kA at 125 V,
      at: "locker, on the bar", cover: yes}
  F5: {name: Bilge pump fuse, kind: gG, rating: 10 A, voltage: 110 V, breaking: 20 kA at 110 V,
      at: "locker, on the bar", cover: yes}
breakers:
  F51: {name: Shore breaker, kind: rcbo C, poles: 2, rating: 16 A, residual: 30 mA, voltage: 230 V,
      breaking: 6 kA at 230 V, at: "cockpit, locker"}
switches:
  Q1: {name: Main switch, label: MAIN, rating: 300 A, voltage: 48 V, access: open, at: "cabin, at the steps",
      see: the panel goes dark, cover: yes, photo: q1.jpg}
runs:
  main positive: [G1 +, W1: "50 mm², 0.15 m", F1, W2: "50 mm², 0.5 m", X3]
  main switch: [X3, W3: "50 mm², 1.2 m", Q1, W13: "50 mm², 1.1 m", X1]
  main negative: [G1 -, W4: "50 mm², 0.6 m", X2]
  panel feed: [X1, F4, W5: "16 mm², 4 m", X4]
  panel negative: [X5, W6: "16 mm², 4 m", X2]
  alternator positive: [X1, F2, W7: "16 mm², 2.5 m, in engine", G3 +]
  alternator negative: [G3 -, W8: "16 mm², 2.5 m, in engine", X2]
  charger positive: [X1, F3, W9: "10 mm², 0.8 m", T1 +]
  charger negative: [T1 -, W10: "10 mm², 0.8 m", X2]
  shore: [X8, W11: "2.5 mm², 1 m, 3-core, sheathed", F51, W12: "2.5 mm², 3 m, 3-core, sheathed", T1]
junctions:
  X5: {name: Panel negative bar, at: "cabin, behind the panel"}
circuits:
  C1: {name: Navigation lights, also called: [running lights], from: X4 way 1, cable: "2.5 mm², 8 m", load: 12 W,
      use: navigation lights, at: "cockpit, pulpit and stern"}
  C2: {name: VHF radio, also called: [marine radio], from: X4 way 2, cable: "4 mm², 2 m", load: 5 A, use: radio,
      duty: 10 %, at: "cabin, chart table"}
  C3: {name: Cabin light, also called: [lamp], from: X4 way 3, cable: "1.5 mm², 3 m", load: 10 W, use: lighting,
      at: "cabin, ceiling"}
  C4: {name: Bilge pump, also called: [pump], from: X3, back to: X2, cable: [F5, "4 mm², 3 m"], load: 4 A,
      use: bilge pump, stays on: yes, at: "locker, below"}
spares:
  - {kind: class T, rating: 150 A, count: 1}
  - {kind: class T, rating: 80 A, count: 1}
  - {kind: class T, rating: 40 A, count: 2}
  - {kind: gG, rating: 10 A, count: 2}
  - {kind: blade, rating: 10 A, count: 2}
  - {kind: blade, rating: 5 A, count: 4}
prints:
  - {card: fast, at: "cabin, inside the door", revision: "1"}
tests:
  - {item: F51, what: RCD trip time, value: 24 ms, limit: 300 ms, passed: yes, date: 2026-05-01}
  - {item: X1, what: torque, value: 14 N·m, passed: yes, date: 2026-05-01}
  - {item: X2, what: torque, value: 14 N·m, passed: yes, date: 2026-05-01}
  - {item: X3, what: torque, value: 14 N·m, passed: yes, date: 2026-05-01}
  - {item: G1, what: torque, value: 10 N·m, passed: yes, date: 2026-05-01}
  - {item: F1, what: torque, value: 10 N·m, passed: yes, date: 2026-05-01}
  - {item: F2, what: torque, value: 10 N·m, passed: yes, date: 2026-05-01}
  - {item: Q1, what: torque, value: 10 N·m, passed: yes, date: 2026-05-01}
  - {item: G3, what: torque, value: 6 N·m, passed: yes, date: 2026-05-01}
  - {item: X4, what: torque, value: 6 N·m, passed: yes, date: 2026-05-01}
  - {item: X5, what: torque, value: 6 N·m, passed: yes, date: 2026-05-01}
  - {item: T1, what: torque, value: 4 N·m, passed: yes, date: 2026-05-01}
"""
"""Sound in every rule, so that what an example changes is all that a rule can find."""


def complete(example: str) -> str:
    """An example made a whole inventory: its entries take the place of the base's by id, its lists of whole lists.

    >>> 'rating: 999 A' in complete("fuses:\\n  F1: {kind: class T, rating: 999 A}\\n")
    True
    """
    base, own = _families(BASE), _families(example)
    lines: list[str] = []
    for family in dict.fromkeys((*base, *own)):
        entries = {**base.get(family, {}), **own.get(family, {})}
        if any(key.startswith("- ") for key in own.get(family, {})):
            entries = own[family]
        lines += [f"{family}:", *entries.values()]
    return "\n".join(lines) + "\n"


def _families(text: str) -> dict[str, dict[str, str]]:
    """Family → id → its lines."""
    families: dict[str, dict[str, str]] = {}
    family = entry = ""
    for line in text.splitlines():
        if match := re.fullmatch(r"(\w[\w ]*):", line):
            family = match[1]
            families[family] = {}
        elif match := re.match(r"  (- .*|[^ :#]+(?: [^ :]+)*)(?::|$)", line):
            entry = match[1] if match[1].startswith("- ") else match[1].strip('"')
            families[family][entry] = line
        elif line.strip():
            families[family][entry] += "\n" + line
    return families
