"""Vessels with as many circuits as one likes, for measuring how time and memory grow. Invented, of course."""

from __future__ import annotations

WAYS = 20
"""Of each panel."""
MAINS = 4
"""Of so many panels one is of 230 V."""

HEAD = """
vessel: {name: Many Circuits, invented: yes}
spaces: {saloon: {name: Saloon}, engine: {name: Engine space, engine: yes}}
conditions: {at sea: {hours: 8 h}, in harbour: {hours: 16 h, switches: {Q2: "1"}}}
batteries:
  G1: {name: String 1, bank: house, chemistry: lfp, cells: {series: 8, capacity: 280 Ah, resistance: 0.2 mΩ}}
  G2: {name: String 2, bank: house, chemistry: lfp, cells: {series: 8, capacity: 280 Ah, resistance: 0.2 mΩ}}
shore inlets: {X8: {name: Shore inlet, voltage: 230 V, current: 32 A, lead length: 20 m, lead area: 6 mm²}}
generators: {G9: {name: Generator, power: 8 kVA, voltage: 230 V, bond: switched}}
inverters: {T1: {name: Inverter, power: 5 kVA, output: 230 V, bond: switched, capacitance: 30 mF}}
chargers: {T2: {name: Charger, current: 100 A, voltage: 24 V, absorption: 28.4 V, input: 3000 VA}}
motors:
  M1: {name: Drive, kind: drive, load: 150 A, start: 300 A for 1 s, capacitance: 10 mF}
  M2: {name: Windlass, kind: windlass, load: 50 A, start: 200 A for 1 s, duty: 1 %}
fuses:
  F1: {rating: 300 A, kind: class T, voltage: 125 V, breaking: 20 kA at 125 V}
  F2: {rating: 300 A, kind: class T, voltage: 125 V, breaking: 20 kA at 125 V}
  F3: {rating: 300 A, kind: class T, voltage: 125 V, breaking: 20 kA at 125 V}
  F4: {rating: 125 A, kind: class T, voltage: 125 V, breaking: 20 kA at 125 V}
  F5: {rating: 300 A, kind: class T, voltage: 125 V, breaking: 20 kA at 125 V}
  F6: {rating: 125 A, kind: class T, voltage: 125 V, breaking: 20 kA at 125 V}
breakers:
  F11: {kind: rcbo C, poles: 2, rating: 32 A, residual: 30 mA, voltage: 230 V, breaking: 6 kA at 230 V}
  F12: {kind: C, poles: 2, rating: 32 A, voltage: 230 V, breaking: 6 kA at 230 V}
  F13: {kind: C, poles: 2, rating: 25 A, voltage: 230 V, breaking: 6 kA at 230 V}
  F14: {kind: C, poles: 2, rating: 16 A, voltage: 230 V, breaking: 6 kA at 230 V}
switches:
  Q1: {name: Main switch, rating: 600 A, voltage: 48 V}
  Q2: {name: Shore or generator, kind: change-over, poles: 2, rating: 40 A, voltage: 230 V, normal: off}
  Q3: {name: Mains or inverter, kind: change-over, poles: 2, rating: 40 A, voltage: 230 V, normal: "2"}
junctions: {X20: {name: Mains box}, X21: {name: Mains bar}}
bars: {X1: {name: Positive bar}, X2: {name: Negative bar}}
"""

RUNS = """
runs:
  string one: [G1 +, W1: "70 mm², 0.4 m", F1, W2: "70 mm², 0.4 m", Q1]
  string two: [G2 +, W3: "70 mm², 0.4 m", F2, W4: "70 mm², 0.4 m", Q1 1]
  main: [Q1, W5: "95 mm², 1 m", X1]
  minus one: [G1 -, W6: "70 mm², 1 m", X2]
  minus two: [G2 -, W7: "70 mm², 1 m", X2]
  drive: [X1, F3, W10: "70 mm², 2 m", M1 +]
  drive minus: [M1 -, W11: "70 mm², 2 m", X2]
  windlass: [X1, F4, W12: "35 mm², 9 m", M2 +]
  windlass minus: [M2 -, W13: "35 mm², 9 m", X2]
  inverter: [X1, F5, W14: "70 mm², 1 m", T1 +]
  inverter minus: [T1 -, W15: "70 mm², 1 m", X2]
  charger: [X1, F6, W16: "35 mm², 2 m", T2 +]
  charger minus: [T2 -, W17: "35 mm², 2 m", X2]
  shore: [X8, W20: "6 mm², 1 m, 3-core", F11, W21: "6 mm², 4 m, 3-core", Q2 1]
  generator mains: [G9, W22: "6 mm², 3 m, 3-core", F12, W23: "6 mm², 2 m, 3-core", Q2 2]
  mains: [Q2 com, W24: "6 mm², 1 m, 3-core", X20, W25: "6 mm², 1 m, 3-core", Q3 1]
  charger mains: [X20, F14, W26: "2.5 mm², 3 m, 3-core", T2]
  inverter mains: [T1, W27: "6 mm², 3 m, 3-core", F13, W28: "6 mm², 1 m, 3-core", Q3 2]
  mains bar: [Q3 com, W29: "6 mm², 1 m, 3-core", X21]
"""


def vessel(circuits: int) -> str:
    """An inventory with two strings, shore, generator and inverter, and so many final circuits from panels of 24 V and
    of 230 V."""
    panels = range((circuits + WAYS - 1) // WAYS)
    ways = ", ".join(f"{way}: 10 A" for way in range(1, WAYS + 1))
    rows = [HEAD.strip(), "panels:"]
    for p in panels:
        kind = "ac: yes, kind: C, poles: 2, voltage: 230 V, breaking: 6 kA at 230 V" if is_mains(p) else "negative: X2"
        rows.append(f"  X{100 + p}: {{name: Panel {p}, {kind}, ways: {{{ways}}}}}")
    rows.append(RUNS.strip())
    for p in panels:
        bar, cable = ("X21", "6 mm², {} m, 3-core") if is_mains(p) else ("X1", "25 mm², {} m")
        rows.append(f'  feeder {p}: [{bar}, W{100 + p}: "{cable.format(2 + p % 5)}", X{100 + p}]')
    rows.append("circuits:")
    for c in range(circuits):
        mains = is_mains(c // WAYS)
        rows += [
            f"  C{c + 1}:",
            f"    name: Load number {c + 1}",
            f"    also called: [thing {c + 1}]",
            f"    from: X{100 + c // WAYS} way {c % WAYS + 1}",
            f"    cable: 2.5 mm², {3 + c % 11} m{', 3-core' if mains else ''}",
            f"    load: {2 * (1 + c % 5)} W" if mains else f"    load: {1 + c % 5} A",
            f"    at: {'engine' if c % 7 == 0 else 'saloon'}, place {c + 1}",
        ]
    return "\n".join(rows) + "\n"


def is_mains(panel: int) -> bool:
    return panel % MAINS == MAINS - 1
