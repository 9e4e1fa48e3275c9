"""The table of all rules: a new rule is one function with its docstring, and one line here."""

from __future__ import annotations

import re

from ..diagnostics import did_you_mean
from . import (
    ac,
    availability,
    batteries,
    between,
    bms,
    bypass,
    cables,
    charging,
    clearing,
    conductors,
    converters,
    drop,
    environment,
    faults,
    isolation,
    labels,
    maintenance,
    negative,
    protection,
    ratings,
    residual,
    sense,
    setpoints,
    shore,
    terminations,
    voltage,
    window,
    wiring,
)
from .page import Rule, terminal_text

RULES = (
    Rule("P-01", protection.has_device),
    Rule("P-02", protection.near_source),
    Rule("P-03", between.both_ends),
    Rule("P-04", between.each_string),
    Rule("P-05", ratings.not_above_cable),
    Rule("P-06", ratings.smallest_governs),
    Rule("P-07", ratings.fits_load),
    Rule("P-08", protection.not_in_negative),
    Rule("P-10", sense.sense_wires),
    Rule("P-11", sense.cell_leads),
    Rule("P-13", protection.bypass),
    Rule("C-01", cables.carries),
    Rule("C-02", cables.insulation),
    Rule("C-03", conductors.smallest),
    Rule("C-04", conductors.boat_cable),
    Rule("C-05", conductors.parallel),
    Rule("C-08", cables.charge_cable),
    Rule("F-01", faults.main_breaks),
    Rule("F-03", faults.branch_breaks),
    Rule("F-04", faults.cascade),
    Rule("F-05", clearing.far_end),
    Rule("F-06", clearing.near_end),
    Rule("F-12", converters.converter_blows),
    Rule("V-01", voltage.devices_rated),
    Rule("V-02", voltage.switches_rated),
    Rule("V-03", voltage.ac_in_dc),
    Rule("V-04", window.in_window),
    Rule("V-05", window.solar_in_cold),
    Rule("D-01", drop.critical),
    Rule("D-02", drop.others),
    Rule("D-03", drop.in_sum),
    Rule("B-01", batteries.bms_fits),
    Rule("B-02", bms.carries_load),
    Rule("B-03", bms.limited_below),
    Rule("B-04", setpoints.voltage_order),
    Rule("B-05", bypass.no_way_round),
    Rule("B-06", bms.alarm),
    Rule("B-08", bms.opened_by_hand),
    Rule("B-09", batteries.as_declared),
    Rule("B-10", batteries.alike),
    Rule("B-14", batteries.restrained),
    Rule("G-01", setpoints.absorption),
    Rule("G-02", setpoints.no_equalising),
    Rule("G-03", setpoints.floats),
    Rule("G-04", charging.together),
    Rule("G-05", charging.survives_opening),
    Rule("I-01", isolation.every_source),
    Rule("I-02", isolation.reachable),
    Rule("I-03", residual.residual_live),
    Rule("I-04", isolation.not_in_battery_space),
    Rule("I-06", isolation.few_actions),
    Rule("I-07", residual.keeps_essential),
    Rule("I-09", residual.one_box),
    Rule("I-12", isolation.at_the_helm),
    Rule("S-01", availability.two_sources),
    Rule("S-02", availability.bms_opens),
    Rule("S-04", converters.converter_carries),
    Rule("S-05", availability.pumps_stay_on),
    Rule("N-01", negative.as_large),
    Rule("N-06", bypass.not_bridged),
    Rule("A-01", shore.residual_current),
    Rule("A-02", ac.one_at_a_time),
    Rule("A-03", ac.bond),
    Rule("A-04", shore.polarity),
    Rule("A-05", shore.galvanic),
    Rule("E-01", environment.petrol),
    Rule("E-02", environment.gas_locker),
    Rule("E-03", environment.lead_acid_air),
    Rule("E-04", environment.lithium_space),
    Rule("E-07", environment.chafe),
    Rule("T-02", terminations.solder),
    Rule("T-04", terminations.torque),
    Rule("T-05", terminations.covers),
    Rule("T-09", terminations.twisted),
    Rule("L-01", wiring.wired),
    Rule("L-04", labels.complete),
    Rule("L-05", labels.in_line),
    Rule("L-06", wiring.orphans),
    Rule("L-07", labels.everyday_names),
    Rule("L-08", labels.photographs),
    Rule("L-10", labels.printed),
    Rule("M-01", maintenance.tests_due),
    Rule("M-04", maintenance.spares),
    Rule("M-05", maintenance.oversize),
    Rule("M-08", maintenance.waivers),
)
"""Every rule, in the order in which outcomes are listed."""

WAIVERS = "M-08"
"""The rule that judges what the owner accepts, when every other has spoken."""


class UnknownRule(LookupError):
    """No rule has this id; the message says which is near."""


def rule(id: str) -> Rule:
    """The rule with this id; small letters will do.

    Raises:
        UnknownRule: there is none
    """
    known = {row.id: row for row in RULES}
    if id.upper() not in known:
        raise UnknownRule(f"there is no rule `{id}`; {nearest(id) or 'rules are ' + ', '.join(known)}")
    return known[id.upper()]


def nearest(id: str) -> str:
    """A help sentence for a misspelt rule: `P-1` and `p01` mean `P-01`; empty where nothing is near."""
    known = [row.id for row in RULES]
    parts = re.fullmatch(r"([A-Za-z])[-\s]?(\d{1,2})", id.strip())
    meant = f"{parts[1].upper()}-{int(parts[2]):02}" if parts else ""
    return f"did you mean `{meant}`?" if meant in known else did_you_mean(id, known)


def explain(id: str) -> str:
    """A rule's page for a terminal.

    Raises:
        UnknownRule: there is no such rule
    """
    return terminal_text(rule(id))
