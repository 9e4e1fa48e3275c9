"""Rules P, thin wires on heavy ones: metering, sense and balance leads."""

from __future__ import annotations

from collections.abc import Iterator

from .model import Outcome, finding, passed, unknown
from .names import metres
from .survey import Survey


def sense_wires(survey: Survey) -> Iterator[Outcome]:
    """Metering and sense wires have their own fuse.

    What
        `sense fused` of each shunt.

    Why
        A sense wire is thin and joined to the heaviest conductor aboard; shorted, it glows along its whole length.

    Failing example
        shunts:
          B1: {name: Monitor shunt, rating: 300 A, drop: 50 mV, sense fused: no}
        runs:
          main negative: [G1 -, W4: "50 mm², 0.4 m", B1, W40: "50 mm², 0.2 m", X2]

    Passing example
        shunts:
          B1: {name: Monitor shunt, rating: 300 A, drop: 50 mV, sense fused: yes}
        runs:
          main negative: [G1 -, W4: "50 mm², 0.4 m", B1, W40: "50 mm², 0.2 m", X2]

    Source
        46 CFR 183.380(c) (seen); common practice for 1 to 3 A at the source.

    Clears
        A fuse of 1 to 3 A for each sense and supply wire, at the shunt or post.
    """
    for id, shunt in survey.inventory.shunts.items():
        called = survey.names.the(id)
        if shunt.sense_fused is None:
            yield unknown(
                id,
                f"nothing says whether the sense wires of {called} are fused",
                "sense fused",
                "whether a thin wire can burn",
            )
        elif not shunt.sense_fused:
            yield finding(
                "A",
                id,
                f"the sense wires of {called} have no fuse",
                "no fuse",
                place=survey.names.place_of(id, "sense fused"),
            )
        else:
            yield passed(id, f"the sense wires of {called} are fused")


def cell_leads(survey: Survey) -> Iterator[Outcome]:
    """Cell-sense leads are fused, or very short.

    What
        `sense leads` and `sense fused` of each BMS: leads longer than 300 mm must be fused each.

    Why
        A dozen thin wires leave the cells side by side, each able to burn the loom between two of them.

    Failing example
        batteries:
          G1: {chemistry: lfp, cells: {series: 4, capacity: 200 Ah}, bms: {sense leads: 0.9 m, sense fused: no}}

    Passing example
        batteries:
          G1: {chemistry: lfp, cells: {series: 4, capacity: 200 Ah}, bms: {sense leads: 0.9 m, sense fused: yes}}

    Source
        Common practice, no source.

    Clears
        A fuse in each lead at its cell, or leads shorter than 300 mm; by somebody qualified.
    """
    most = survey.limit("most_sense_lead").value
    for id, battery in survey.inventory.batteries.items():
        bms, called = battery.bms, survey.names.the(id)
        if bms is None:
            continue
        if bms.sense_fused or (bms.sense_leads and bms.sense_leads.high <= most):
            yield passed(id, f"the cell-sense leads of {called} are fused, or shorter than {metres(most)}")
        elif bms.sense_fused is False and bms.sense_leads:
            what = (
                f"the cell-sense leads of {called} are {bms.sense_leads} long and not fused; up to {metres(most)} is "
                "usual"
            )
            yield finding(
                "B",
                id,
                what,
                f"{bms.sense_leads} against {metres(most)}",
                place=survey.names.place_of(id, "bms", "sense leads"),
            )
        else:
            missing = "bms: sense fused" if bms.sense_fused is None else "bms: sense leads"
            yield unknown(
                id,
                f"whether the cell-sense leads of {called} can burn is not known",
                missing,
                "whether they need fuses",
            )
