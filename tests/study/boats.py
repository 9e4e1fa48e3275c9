"""Small boats whose figures can be worked out by hand: every resistance is given, terminations and joints have none."""

from __future__ import annotations

from loombook.inventory import read_text
from loombook.network import Network, build
from loombook.study.faults import faults
from loombook.study.ledger import Ledger
from loombook.study.model import Fault, Flow, Study
from loombook.study.resistances import resistances
from loombook.study.run import study
from loombook.study.sources import fault_sources

HEAD = """
vessel: {name: By Hand, invented: yes}
defaults: {joint resistance: 0 mΩ, insulation: 105 °C, tinned: yes}
"""

TWO_STRINGS = (
    HEAD
    + """
batteries:
  G1: {chemistry: lfp, bank: house, resistance: 4 mΩ, cells: {series: 4, capacity: 280 Ah}}
  G2: {chemistry: lfp, bank: house, resistance: 4 mΩ, cells: {series: 4, capacity: 280 Ah}}
fuses:
  F1: {kind: class T, rating: 300 A, resistance: 1 mΩ}
  F2: {kind: class T, rating: 300 A, resistance: 1 mΩ}
bars: {X1: {name: Positive}, X2: {name: Negative}}
runs:
  one: [G1 +, F1, X1]
  two: [G2 +, F2, X1]
  minus: [G1 -, X2]
  minus two: [G2 -, X2]
circuits:
  C1: {name: Heater, from: X1, back to: X2, cable: "10 mm², 5 m", load: 24 A, law: current, duty: 100 %}
"""
)
"""Two equal strings: 5 mΩ each up to the bar."""

RING = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 280 Ah}}}
bars: {X1: {name: Main bar}, X2: {name: Negative}, X3: {name: Far bar}}
fuses:
  F1: {kind: maxi blade, rating: 60 A, resistance: 6 mΩ}
  F2: {kind: maxi blade, rating: 60 A, resistance: 3 mΩ}
runs:
  feed: [G1 +, X1]
  port: [X1, F1, X3]
  starboard: [X1, F2, X3]
  minus: [G1 -, X2]
circuits:
  C1: {name: Pump, from: X3, back to: X2, cable: "10 mm², 5 m", load: 9 A, law: current, duty: 100 %}
"""
)
"""A far bar fed both ways round: 6 mΩ beside 3 mΩ."""

TWO_VOLTAGES = (
    HEAD
    + """
batteries:
  G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 4, capacity: 280 Ah}}
  G2: {chemistry: flooded lead-acid, resistance: 10 mΩ, cells: {series: 6, capacity: 100 Ah}}
bars: {X1: {name: Positive}, X2: {name: Negative}}
runs:
  one: [G1 +, X1]
  two: [G2 +, X1]
  minus: [G1 -, X2]
  minus two: [G2 -, X2]
circuits:
  C1: {name: Lamp, from: X1, back to: X2, cable: "10 mm², 5 m", load: 6 A, law: current, duty: 100 %}
"""
)
"""A lithium and a lead-acid battery side by side: 13.2 V behind 4 mΩ, 12.3 V behind 10 mΩ at half charge."""

CONVERTER = (
    HEAD
    + """
batteries: {G1: {chemistry: lfp, resistance: 4 mΩ, cells: {series: 8, capacity: 280 Ah}}}
bars: {X1: {name: Positive}, X2: {name: Negative}, X3: {name: 12 V bar}}
converters: {T1: {output: 13.5 V, current: 20 A, isolated: no, efficiency: 90 %, idle: 0 W}}
runs:
  feed: [G1 +, X1]
  minus: [G1 -, X2]
  in: [X1, T1 in +]
  back: [T1 in -, X2]
  out: [T1 out +, X3]
circuits:
  C1: {name: Radio, from: X3, back to: T1 out -, cable: "10 mm², 5 m", load: LOAD, duty: 100 %}
"""
)


def boat(text: str) -> Network:
    return build(read_text(text))


def studied(text: str) -> Study:
    return study(boat(text))


def faults_of(text: str) -> dict[str, Fault]:
    network, ledger = boat(text), Ledger()
    return dict(faults(network, resistances(network, ledger), fault_sources(network, ledger), ledger))


def flow_of(result: Study) -> Flow:
    """The load flow of a boat that names no operating condition."""
    return result.flows["normal"]
