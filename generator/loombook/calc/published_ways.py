"""How each published case is computed with the functions of this room: one short way a name in the tables."""

from __future__ import annotations

from collections.abc import Callable

from loombook.calc import ac, ac_fault, adiabatic, banks, breaking, drive, drop, energy, families, fault_dc, generators
from loombook.calc import fault_sources, gauges, mechanics, overcurrent, solar, ventilation
from loombook.calc.ampacity import allowable_current
from loombook.calc.conductors import (
    current_shares,
    factor_to_20,
    resistance,
    resistance_per_metre,
    temperature_factor,
)

KILOFOOT = 304.8
"""[m]"""
PRACTICE_STAYS = ((6.0, 2.0), (5.0, 4.0), (4.0, 7.0))
"""Speed [kn] and hours on one charge of a bank of about 15 kWh (common practice, no source)."""
PRACTICE_CHARGE = 15_000 * 0.9
"""What that bank gives down to 10 % [Wh]."""


def _gauge_area(gauge: object) -> float:
    return gauges.awg_area(gauges.awg_number(str(gauge)))


def _practice_drive() -> drive.SpeedPower:
    return drive.fit_speed_power(drive.points_of_endurance(PRACTICE_CHARGE, PRACTICE_STAYS))


def _us_ampacity(gauge: object, insulation: float, engine_space: bool, bundled: int = 1, voltage: float = 12) -> float:
    area = _gauge_area(gauge)
    return allowable_current(area, insulation, "us", engine_space, bundled, voltage).amperes


def _e11_mils(current: float, feet: float, volts: float) -> float:
    return gauges.circular_mils(drop.area_trade(current, feet * drop.FOOT, volts))


def _e11_gauge(current: float, feet: float, volts: float, sae: bool) -> float:
    return float(gauges.gauge_of_mils(_e11_mils(current, feet, volts), sae))


def _drop_copper_percent(current: float, length: float, area: float, nominal: float) -> float:
    return drop.percent(drop.drop_copper(current, length, area), nominal)


def _mil_foot(resistivity: float, feet: float, inches: float) -> float:
    area = gauges.area_of_circular_mils((inches * 1000) ** 2)
    per_area = resistivity * gauges.SQUARE_MM_PER_CIRCULAR_MIL / drop.FOOT
    return drop.drop_copper(1, feet * drop.FOOT, area, per_area)


def _rise(resistance: float, microhenry: float) -> float:
    return fault_dc.battery_rise(resistance, microhenry * 1e-6)


def _kappa(r: float, q: float, inductances: float) -> float:
    return fault_sources.rectifier_kappa(r, q, inductances)


def _opening(family: str, rating: float, current: float) -> tuple[float, float]:
    return families.band(family, rating).opening_time(current)


def _magnetic(family: str, rating: float, side: str) -> float:
    """The current from which an AC breaker may, or is sure to, open within 0.1 s."""
    band = families.band(family, rating, dc=False)
    if side == "from":
        return min(current for current, time in band.fastest if time < 0.1)
    return min(current for current, time in band.slowest if time <= 0.1)


def _loop_of_breaker(voltage: float, factor: float, family: str, rating: float) -> float:
    """Largest loop with which a breaker is sure to open at once; the factor is for a voltage below the nominal."""
    return ac.longest_loop(factor * voltage, _magnetic(family, rating, "sure"))


def _opens_within(family: str, rating: float, current: float) -> float:
    """Longest opening time on alternating current [s]."""
    return families.band(family, rating, dc=False).opening_time(current).most


def _generator(rated: float, subtransient: float, transient: float, synchronous: float, time: float) -> float:
    return generators.current_at(rated, generators.Reactances(subtransient, transient, synchronous), time)


def _plate_force(kilograms: float, rods: int, diameter: float) -> float:
    torque = mechanics.rod_torque(kilograms * mechanics.KILOGRAM_FORCE, rods, diameter)
    return mechanics.plate_force(torque, rods, diameter) / mechanics.KILOGRAM_FORCE


def _bolt_stress(torque: float, size: str, diameter: float, nut_factor: float) -> float:
    return mechanics.bolt_stress(mechanics.clamp_force(torque, diameter, nut_factor), mechanics.stressed_area(size))


WAYS: dict[str, Callable[..., float | None]] = {
    "iec60228": lambda area, strand_class, tinned: (
        1000 * resistance_per_metre(area, tinned=tinned, strand_class=strand_class)
    ),
    "factor_to_20": factor_to_20,
    "one_over_temperature_factor": lambda temperature: 1 / temperature_factor(temperature),
    "awg_mils": lambda gauge: gauges.circular_mils(_gauge_area(gauge)),
    "awg_diameter": lambda gauge: gauges.awg_diameter(gauges.awg_number(str(gauge))),
    "awg_area": _gauge_area,
    "nfpa_table8": lambda gauge, tinned: (
        KILOFOOT * gauges.awg_resistance_per_metre(gauges.awg_number(str(gauge)), 75, tinned)
    ),
    "nfpa_cold_share": lambda gauge: (
        100
        * gauges.awg_resistance_per_metre(gauges.awg_number(str(gauge)), 20)
        / gauges.awg_resistance_per_metre(gauges.awg_number(str(gauge)), 75)
    ),
    "awg_by_iec": lambda gauge, temperature: resistance(_gauge_area(gauge), KILOFOOT, temperature),
    "mils_by_iec": lambda mils: resistance(gauges.area_of_circular_mils(mils), KILOFOOT),
    "mil_foot": _mil_foot,
    "us_ampacity": _us_ampacity,
    "iso_ampacity": lambda area, insulation, engine_space, bundled=1, voltage=12: (
        allowable_current(area, insulation, "iso", engine_space, bundled, voltage).amperes
    ),
    "device_limit": lambda ampacity, voltage, rule_set: overcurrent.device_limit(ampacity, voltage, rule_set).amperes,
    "distance_limit": lambda rule_set, sheathed: overcurrent.distance_limit(rule_set, sheathed).metres,
    "drop_iso": drop.drop_iso,
    "e11_mils": _e11_mils,
    "e11_gauge": _e11_gauge,
    "trade_resistivity": lambda: drop.drop_trade(1, 1, 1),
    "drop_per_foot": lambda current, ohm_per_foot, feet: drop.drop_ohm(current, ohm_per_foot * feet),
    "drop_copper": drop.drop_copper,
    "drop_copper_percent": _drop_copper_percent,
    "lead_acid_emf": fault_dc.lead_acid_emf,
    "battery_peak": fault_dc.battery_peak,
    "battery_sustained": fault_dc.battery_sustained,
    "battery_rise_ms": lambda resistance, microhenry: 1000 * _rise(resistance, microhenry),
    "time_to_peak_ms": lambda resistance, microhenry: 1000 * fault_dc.time_to_peak(_rise(resistance, microhenry)),
    "rise_constant_ms": lambda resistance, microhenry: 1000 * fault_dc.rise_constant(_rise(resistance, microhenry)),
    "rectifier_lambda": fault_sources.rectifier_lambda,
    "rectifier_kappa": _kappa,
    "rectifier_peak_ms": lambda **given: 1000 * fault_sources.rectifier_time_to_peak(_kappa(**given)),
    "rectifier_rise_ms": lambda r, q, inductances: (
        1000 * fault_sources.rectifier_rise(_kappa(r, q, inductances), inductances)
    ),
    "charger_sustained": lambda rated: fault_sources.charger_contribution(rated).sustained,
    "charger_peak": lambda rated: fault_sources.charger_contribution(rated).peak,
    "motor_most": lambda rated: fault_sources.motor_contribution(rated)[1],
    "assumed_lead_acid": lambda capacity: banks.assumed_lead_acid(capacity)[0],
    "cold_open_circuit": solar.cold_open_circuit,
    "k_factor": adiabatic.k_factor,
    "area_needed": adiabatic.area_needed,
    "withstand": adiabatic.withstand,
    "time_to_damage": adiabatic.time_to_damage,
    "time_to_damage_ms": lambda area, current, k: 1000 * adiabatic.time_to_damage(area, current, k),
    "opening_least": lambda family, rating, current: _opening(family, rating, current)[0],
    "opening_most": lambda family, rating, current: _opening(family, rating, current)[1],
    "breaking": lambda family, voltage: breaking.breaking_capacity(family, voltage).amperes,
    "magnetic_from": lambda family, rating: _magnetic(family, rating, "from"),
    "magnetic_sure": lambda family, rating: _magnetic(family, rating, "sure"),
    "class_t_peak": lambda rating, prospective: families.class_t_limit(rating, prospective)[0],
    "interrupting": lambda cold_cranking, main: breaking.interrupting_least(cold_cranking, main).amperes,
    "peukert_time": energy.peukert_time,
    "peukert_charge": lambda capacity, current, exponent: current * energy.peukert_time(capacity, current, exponent),
    "peukert_rated_time": energy.peukert_rated_time,
    "cube_law": drive.cube_law,
    "charge_voltage": energy.charge_voltage,
    "rest_voltage": energy.rest_voltage,
    "behind_converter": energy.behind_converter,
    "behind_converter_ah": lambda energy_, efficiency, volts: energy.behind_converter(energy_, efficiency) / volts,
    "storage_needed": energy.storage_needed,
    "bank_energy_kwh": lambda series, capacity, volts: energy.bank_energy(series, capacity, volts) / 1000,
    "air_flow": lambda cells, capacity, kind: ventilation.air_flow(cells, capacity, ventilation.gas_current(kind)),
    "clamp_force_kn": lambda torque, diameter, nut_factor: mechanics.clamp_force(torque, diameter, nut_factor) / 1000,
    "clamp_torque": mechanics.clamp_torque,
    "bolt_stress_of_torque": _bolt_stress,
    "kilogram_force_kn": lambda kilograms: kilograms * mechanics.KILOGRAM_FORCE / 1000,
    "stud_torque": lambda size: mechanics.stud_torque(size).newton_metres,
    "crimp_pull": lambda gauge: mechanics.crimp_pull(_gauge_area(gauge)),
    "transformer_ka": lambda apparent, voltage, short_circuit: (
        ac_fault.transformer_fault(apparent, voltage, short_circuit) / 1000
    ),
    "drop_of_impedance": ac.drop_of_impedance,
    "drop_of_impedance_percent": lambda nominal, **given: drop.percent(ac.drop_of_impedance(**given), nominal),
    "hot_resistivity": lambda: ac.drop_ac(1, 1, 1, power_factor=1, three_phase=True),
    "residual_most": lambda multiple: ac.residual_time(multiple).most,
    "residual_delayed_least": lambda multiple: ac.residual_time(multiple, delayed=True).least,
    "residual_delayed_most": lambda multiple: ac.residual_time(multiple, delayed=True).most,
    "drop_limit_ac": ac.drop_limit_ac,
    "disconnection": ac.disconnection_time,
    "drop_ac": ac.drop_ac,
    "longest_loop": _loop_of_breaker,
    "largest_earth": ac.largest_earth,
    "residual_holds": lambda earth, residual: float(ac.residual_loop_holds(earth, residual)),
    "opens_within_ac": _opens_within,
    "generator_first": generators.first_current,
    "generator_at": _generator,
    "generator_instant": generators.largest_instant,
    "cycle_years": energy.cycle_years,
    "equal_share": lambda conductors: current_shares([resistance(50, 3)] * conductors)[0],
    "drive_hours": lambda speed: _practice_drive().endurance(speed, PRACTICE_CHARGE),
    "drive_exponent": lambda: _practice_drive().exponent,
    "usable_kwh": energy.usable_energy,
    "plate_force_kgf": _plate_force,
    "spread_balanced": lambda low, high: float(energy.cell_spread([low, high]).verdict == "well balanced"),
    "top_voltage": lambda chemistry, series: series * banks.cell_voltages(chemistry).charge,
    "full_least": lambda series: series * energy.FULL_CELL[0],
    "full_most": lambda series: series * energy.FULL_CELL[1],
    "rod_torque_kgf": lambda kilograms, rods, diameter: mechanics.rod_torque(
        kilograms * mechanics.KILOGRAM_FORCE, rods, diameter
    ),
    "rod_within": lambda kilograms, rods, diameter, proved: float(
        mechanics.rod_torque(kilograms * mechanics.KILOGRAM_FORCE, rods, diameter) <= proved
    ),
    "solar_share": lambda rated, hours: solar.solar_energy(rated, hours),
}
"""Name in the tables → function that computes the case from its inputs."""
