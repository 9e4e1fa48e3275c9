"""Small boats for the network's tests, each a few lines of inventory."""

from __future__ import annotations

from loombook.inventory import read_text
from loombook.network import Network, build

TWO_STRINGS = """
vessel: {name: Two Strings, invented: yes}
batteries:
  G1: {name: String A, chemistry: lfp, cells: {series: 8, capacity: 280 Ah}, bank: house}
  G2: {name: String B, chemistry: lfp, cells: {series: 8, capacity: 280 Ah}, bank: house}
  G3: {name: Start battery, chemistry: agm lead-acid, cells: {series: 12, capacity: 70 Ah}, duty: start}
fuses:
  F1: {rating: 200 A, kind: class T}
  F2: {rating: 200 A, kind: class T}
switches:
  Q1: {name: House main switch, at: "saloon, under the step"}
  Q3: {name: Start main switch}
  Q5: {name: Emergency paralleling switch, kind: paralleling, normal: off}
spaces: {saloon: {name: Saloon}, forepeak: {name: Forepeak}}
bars: {X1: {name: Positive bar}, X2: {name: Negative bar}, X3: {name: Start bar}}
panels: {X4: {name: Main panel, negative: X2, ways: {1: "10 A", 2: "5 A"}}}
converters: {U5: {name: Converter to 12 V, output: 12.5 V, current: 30 A}}
motors:
  M1: {name: Starter motor, load: 1200 W}
runs:
  string a: [G1 +, W1: "70 mm², 0.4 m", F1, W2: "70 mm², 0.5 m", X1]
  string b: [G2 +, W3: "70 mm², 0.4 m", F2, W4: "70 mm², 0.5 m", X1]
  minus a: [G1 -, W5: "70 mm², 0.8 m", X2]
  minus b: [G2 -, W6: "70 mm², 0.8 m", X2]
  main: [X1, W7: "50 mm², 1 m", Q1, W8: "25 mm², 2 m", X4]
  start: [G3 +, W9: "50 mm², 0.5 m", Q3, W10: "50 mm², 1 m", X3]
  start minus: [G3 -, W11: "50 mm², 1 m", X2]
  starter: [X3, W12: "50 mm², 3 m", M1 +]
  starter minus: [M1 -, W13: "50 mm², 3 m", X2]
  emergency: [X1, W14: "50 mm², 1 m", Q5, W15: "50 mm², 1 m", X3]
  converter in: [X4 way 1, W16: "4 mm², 1 m", U5 in +]
  converter minus: [U5 in -, W17: "4 mm², 1 m", X2]
circuits:
  C1: {name: Cabin light, from: X4 way 2, cable: "1.5 mm², 5 m", load: 10 W, at: "forepeak, deckhead"}
  C2: {name: VHF radio, from: U5 out +, back to: U5 out -, cable: "2.5 mm², 3 m", load: 5 A}
"""

RING = """
vessel: {name: Ring, invented: yes}
batteries: {G1: {name: Battery, chemistry: agm lead-acid, cells: {series: 6, capacity: 100 Ah}}}
bars: {X1: {name: Main bar}, X2: {name: Far bar}, X3: {name: Negative}}
fuses: {F1: {rating: 50 A, kind: maxi blade}, F2: {rating: 50 A, kind: maxi blade}}
runs:
  feed: [G1 +, W1: "16 mm², 1 m", X1]
  port side: [X1, F1, W2: "10 mm², 5 m", X2]
  starboard side: [X1, F2, W3: "10 mm², 7 m", X2]
  minus: [G1 -, W4: "16 mm², 1 m", X3]
circuits:
  C1: {name: Anchor light, from: X2, back to: X3, cable: "1.5 mm², 3 m", load: 5 W}
"""


def boat(text: str) -> Network:
    """The network of an inventory text."""
    return build(read_text(text))
