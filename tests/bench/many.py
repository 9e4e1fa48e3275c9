"""Vessels with as many circuits as one likes, for measuring how time and memory grow. Invented, of course."""

from __future__ import annotations

WAYS = 20


def vessel(circuits: int) -> str:
    """An inventory with two strings, one panel for every twenty circuits, and so many final circuits."""
    panels = range((circuits + WAYS - 1) // WAYS)
    rows = [
        "vessel: {name: Many Circuits, invented: yes}",
        "spaces: {saloon: {name: Saloon}, engine: {name: Engine space, engine: yes}}",
        "batteries:",
        *(
            f"  G{n}: {{name: String {n}, bank: house, chemistry: lfp, cells: {{series: 8, capacity: 280 Ah, resistance: 0.2 mΩ}}}}"
            for n in (1, 2)
        ),
        "fuses:",
        *(f"  F{n}: {{rating: 300 A, kind: class T, voltage: 125 V, breaking: 20 kA at 125 V}}" for n in (1, 2)),
        "switches: {Q1: {name: Main switch, rating: 600 A, voltage: 48 V}}",
        "bars: {X1: {name: Positive bar}, X2: {name: Negative bar}}",
        "panels:",
    ]
    ways = ", ".join(f"{way}: 10 A" for way in range(1, WAYS + 1))
    rows += [f"  X{100 + p}: {{name: Panel {p}, negative: X2, ways: {{{ways}}}}}" for p in panels]
    rows += [
        "runs:",
        '  string one: [G1 +, W1: "70 mm², 0.4 m", F1, W2: "70 mm², 0.4 m", Q1]',
        '  string two: [G2 +, W3: "70 mm², 0.4 m", F2, W4: "70 mm², 0.4 m", Q1 1]',
        '  main: [Q1, W5: "95 mm², 1 m", X1]',
        '  minus one: [G1 -, W6: "70 mm², 1 m", X2]',
        '  minus two: [G2 -, W7: "70 mm², 1 m", X2]',
    ]
    rows += [f'  feeder {p}: [X1, W{100 + p}: "25 mm², {2 + p % 5} m", X{100 + p}]' for p in panels]
    rows.append("circuits:")
    for c in range(circuits):
        rows += [
            f"  C{c + 1}:",
            f"    name: Load number {c + 1}",
            f"    also called: [thing {c + 1}]",
            f"    from: X{100 + c // WAYS} way {c % WAYS + 1}",
            f"    cable: 2.5 mm², {3 + c % 11} m",
            f"    load: {1 + c % 5} A",
            f"    at: {'engine' if c % 7 == 0 else 'saloon'}, place {c + 1}",
        ]
    return "\n".join(rows) + "\n"
