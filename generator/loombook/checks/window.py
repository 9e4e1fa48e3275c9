"""Rules V, the range: whether consumers, converters and solar controllers bear what their system gives."""

from __future__ import annotations

from collections.abc import Iterator

from ..calc.banks import cell_voltages
from ..calc.solar import cold_open_circuit
from ..diagnostics import Place
from ..quantities import Quantity
from .model import Outcome, finding, passed, unknown
from .names import volts
from .survey import Survey


def in_window(survey: Survey) -> Iterator[Outcome]:
    """Consumers bear the whole range of their bank.

    What
        The highest voltage that each consumer, converter and inverter bears against the highest of its system; and the
        lowest at which it works against that of a battery nearly empty. Those that say nothing are listed together.

    Why
        Lithium is charged higher than the gear of the lead-acid days expects, day after day.

    Failing example
        circuits:
          C2: {name: VHF radio, from: X4 way 2, cable: "4 mm², 2 m", load: 5 A, works from: 10 V, works to: 14.2 V}

    Passing example
        circuits:
          C2: {name: VHF radio, from: X4 way 2, cable: "4 mm², 2 m", load: 5 A, works from: 10 V, works to: 15.6 V}

    Source
        Makers' data of the consumers; cell voltages from cell specifications (from memory; check your own copy).

    Clears
        A lower charge voltage if the bank allows it, a stabilising converter, or a consumer made for the range.
    """
    names, silent = survey.names, []
    for consumer in survey.network.consumers.values():
        if not survey.is_dc(consumer):
            continue
        record, circuit = consumer.record, survey.inventory.circuits.get(consumer.circuit)
        high = record.works_to or getattr(circuit, "works_to", None)
        low = record.works_from or getattr(circuit, "works_from", None)
        if high is None:
            silent.append(consumer.id)
            continue
        owner = consumer.id if record.works_to else consumer.circuit
        yield from _window(
            survey, consumer.id, survey.network.edges[consumer.edge].a, low, high, names.place_of(owner, "works to")
        )
    for family in ("converters", "inverters"):
        for id, item in getattr(survey.inventory, family).items():
            node = f"{id} in +" if family == "converters" else f"{id} +"
            if item.input_to is None:
                silent.append(id)
            else:
                yield from _window(survey, id, node, item.input_from, item.input_to, names.place_of(id, "input to"))
    if silent:
        what = f"the highest voltage that {len(silent)} consumers bear is not recorded: {names.names(silent)}"
        yield unknown(
            survey.ship, what, "works to", "whether the charge voltage harms them", items=(survey.ship, *silent)
        )


def _window(
    survey: Survey, id: str, node: str, low: Quantity | None, high: Quantity, place: Place | None
) -> Iterator[Outcome]:
    """One thing's range against that of the system at its terminal."""
    part = survey.joined.part[node]
    top, bottom = survey.joined.highest_volts.get(part), _lowest(survey, part)
    if top is None:
        return
    called = survey.names.the(id)
    what = f"{called} bears {high}; its system reaches {volts(top)}"
    if high.value < top * 0.9999:
        yield finding("B", id, what, f"{high} against {volts(top)}", place=place)
    elif low is not None and bottom is not None and low.value > bottom * 1.0001:
        what = f"{called} works from {low}; its battery still delivers at {volts(bottom)}"
        yield finding("C", id, what, f"{low} against {volts(bottom)}", place=place)
    else:
        yield passed(id, what, f"{high} against {volts(top)}")


def _lowest(survey: Survey, part: int) -> float | None:
    """Voltage of the batteries of a part when nearly empty, still delivering [V]."""
    rows = [
        b.cells.series * cell_voltages(b.chemistry).low
        for id, b in survey.inventory.batteries.items()
        if survey.joined.part[f"{id} +"] == part
    ]
    return max(rows, default=None)


def solar_in_cold(survey: Survey) -> Iterator[Outcome]:
    """The solar controller bears the array's voltage in the cold.

    What
        The open-circuit voltage of each array at the lowest temperature against its controller's highest input.

    Why
        A module gives its highest voltage on the coldest bright morning; it kills the controller in a second.

    Failing example
        solar arrays:
          G6:
            name: Panels
            series: 3
            open circuit: 24.6 V
            short circuit: 6 A
            power: 110 W
            voltage change: -0.3 %/K
            coldest: -10 °C
        solar controllers:
          T5: {name: Solar controller, current: 20 A, absorption: 14.0 V, highest input: 75 V}
        runs:
          array: [G6 +, W90: "6 mm², 8 m", T5 pv +]
          array negative: [G6 -, W91: "6 mm², 8 m", T5 pv -]

    Passing example
        solar arrays:
          G6:
            name: Panels
            series: 2
            open circuit: 24.6 V
            short circuit: 6 A
            power: 110 W
            voltage change: -0.3 %/K
            coldest: -10 °C
        solar controllers:
          T5: {name: Solar controller, current: 20 A, absorption: 14.0 V, highest input: 75 V}
        runs:
          array: [G6 +, W90: "6 mm², 8 m", T5 pv +]
          array negative: [G6 -, W91: "6 mm², 8 m", T5 pv -]

    Source
        Makers' data of modules and controllers; U = Uoc · (1 + β · (T − 25)) (from memory; check your own copy).

    Clears
        Fewer modules in series, or a controller for more; the array covered while anybody works on it.
    """
    names = survey.names
    for id, controller in survey.inventory.solar_controllers.items():
        part = survey.joined.part[f"{id} pv +"]
        for array_id, array in survey.inventory.solar_arrays.items():
            if survey.joined.part[f"{array_id} +"] != part:
                continue
            items = (id, array_id)
            lacks = [f for f, q in (("voltage change", array.voltage_change), ("coldest", array.coldest)) if q is None]
            if controller.highest_input is None:
                yield unknown(
                    id,
                    f"the highest input voltage of {names.the(id)} is not recorded",
                    "highest input",
                    "whether the array kills it in the cold",
                    items=items,
                )
                continue
            limit, warm = controller.highest_input, array.series * array.open_circuit.value
            if lacks and warm <= limit.value:
                what = f"what {names.the(array_id)} gives in the cold is not known ({volts(warm)} at 25 °C)"
                yield unknown(array_id, what, ", ".join(lacks), f"whether {names.name(id)} bears it", items=items)
                continue
            cold = warm if lacks else cold_open_circuit(warm, array.voltage_change.value, array.coldest.value)
            at = "at 25 °C" if lacks else f"at {array.coldest}"
            what = f"{names.the(array_id)} gives {volts(cold)} {at}; {names.the(id)} bears {limit}"
            here, place = f"{volts(cold)} against {limit}", names.place_of(id, "highest input")
            yield (
                finding("A", id, what, here, place=place, items=items)
                if cold > limit.value
                else passed(id, what, here, items=items)
            )
