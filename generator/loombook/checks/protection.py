"""Rules P, the device itself: is there one, near enough, at each source, on the right pole."""

from __future__ import annotations

from collections.abc import Iterator

from ..calc.adiabatic import insulation_limit, k_of_insulation, time_to_damage
from ..calc.overcurrent import DistanceLimit, distance_limit
from ..network import Edge
from .cover import Gap, Lead
from .limits import cited
from .model import Outcome, finding, not_applicable, passed, unknown
from .names import amps, listed, metres, seconds, square
from .survey import Survey


def has_device(survey: Survey) -> Iterator[Outcome]:
    """Every live conductor has a fuse or breaker of its own.

    What
        Follows the positive to each circuit, motor, converter and charge source. Tapped off a post, bar or stud it
        must pass a fuse or breaker, unless what stands before the bar already protects the thinner conductor. The
        cable of a starter, 16 mm² or more straight from a start battery, is exempt; sources that limit themselves
        count with the current that they give.

    Why
        A short in a conductor without a fuse of its own ends when the copper melts or the boat burns.

    Failing example
        circuits:
          C9: {name: Rudder indicator, from: X1, back to: X2, cable: "1 mm², 6 m", load: 0.1 A}

    Passing example
        circuits:
          C9: {name: Rudder indicator, from: X1, back to: X2, cable: [F9, "1 mm², 6 m"], load: 0.1 A}
        fuses:
          F9: {name: Rudder indicator fuse, kind: gG, rating: 2 A, voltage: 110 V, at: "locker, on the bar"}

    Source
        33 CFR 183.455(a) (CGD 81-092, 1983); ISO 10133:2012, 8.1 (seen secondary; check your own copy).

    Clears
        A fuse or breaker for the conductor, at the bar or post, fitted by somebody qualified.
    """
    without = survey.cover.without
    ends = dict.fromkeys(consumer.circuit for consumer in survey.network.consumers.values())
    ends |= dict.fromkeys(e.item for e in survey.network.edges.values() if e.kind == "input")
    for id in ends:
        if id not in without:
            yield passed(id, f"every live conductor of {survey.names.the(id)} has its fuse or breaker")
    for id, gap in without.items():
        if id in ends or gap.feed.device:  # a charge source joined to a battery with nothing between is P-03's
            yield _without(survey, id, gap)


def _without(survey: Survey, id: str, gap: Gap) -> Outcome:
    names = survey.names
    thin = min(gap.edges, key=lambda e: e.cable.area.value if e.cable.area else 0.0)
    start = survey.network.nodes[_start(gap)].item
    before = survey.device_of.get(gap.feed.device)
    what = f"{names.the(id)} is joined to {names.the(start)} with no fuse or breaker of its own"
    what += f"; the next before it is {names.the(before.id)}, {before.rating}" if before else ", nor one before that"
    what += _short(survey, gap, thin)
    here = f"{before.rating if before else 'no device'} on {thin.cable.area or 'an unknown area'}"
    place = names.place_of_cable(thin, part=str(thin.cable.area or ""))
    return finding("A", id, what, here, place=place, items=(id, start))


def _start(gap: Gap) -> str:
    """The node from which the first bare conductor leaves."""
    first = gap.edges[0]
    return first.other(gap.feed.far(first))


def _short(survey: Survey, gap: Gap, thin: Edge) -> str:
    """What a short at the far end does to the thinnest conductor, in words; empty where that cannot be worked out."""
    fault = survey.study.faults.get(gap.feed.far(gap.edges[-1]))
    if fault is None or fault.highest is None or fault.missing or not thin.cable.area:
        return ""
    current, insulation = fault.highest.high, thin.cable.insulation or survey.inventory.defaults.insulation
    grade = insulation.value if insulation else None
    time = time_to_damage(thin.cable.area.value, current, k_of_insulation(grade), thin.cable.parallel)
    final = insulation_limit(grade).final
    area = square(thin.cable.area.value)
    return f"; a short at its end gives {amps(current)}, and {area} reaches {final:g} °C in {seconds(time)}"


def near_source(survey: Survey) -> Iterator[Outcome]:
    """The fuse or breaker is near where its conductor begins.

    What
        The length of conductor from a battery's post, or from where a thinner conductor is tapped off, to its fuse or
        breaker. Longer is allowed in a sheath, conduit or enclosure all the way, as the rule set says.

    Why
        Up to its fuse a conductor has no protection, so that piece has to be too short to be touched by anything.

    Failing example
        runs:
          main positive: [G1 +, W1: "50 mm², 0.9 m", F1, W2: "50 mm², 0.5 m", X3]

    Passing example
        runs:
          main positive: [G1 +, W1: "50 mm², 0.15 m", F1, W2: "50 mm², 0.5 m", X3]

    Source
        33 CFR 183.455(b) (CGD 81-092, 1983): 178 mm, 1.016 m sheathed; 183.460: 1.83 m sheathed from a battery (from
        memory). ISO 10133:2012, 8.1: 200 mm (seen secondary). Check your own copy.

    Clears
        The device moved to the conductor's beginning, or the piece before it put in a conduit; by somebody qualified.
    """
    groups: dict[tuple, list[Lead]] = {}
    for lead in survey.cover.leads:
        device = survey.device_of[lead.device.id]
        if lead.edges:
            groups.setdefault((device.item, *(e.id for e in lead.edges)), []).append(lead)
        elif device.path[0] != "panels":
            called = survey.names.the(device.id)
            yield passed(device.id, f"{called} stands where its conductor begins, or what is before it is protected")
    for leads in groups.values():
        yield _lead(survey, leads)


def _lead(survey: Survey, leads: list[Lead]) -> Outcome:
    """One outcome for the devices that hang on one lead: a fuse, or several ways of one panel."""
    names, lead = survey.names, leads[0]
    ids = [survey.device_of[one.device.id].id for one in leads]
    id = ids[0] if len(ids) == 1 else survey.device_of[lead.device.id].item
    called, cables = names.the(id), listed([names.cable(e) for e in lead.edges])
    first = lead.edges[0]
    start = names.the(survey.network.nodes[first.other(lead.feed.far(first))].item)
    longest = max(lead.edges, key=lambda e: e.cable.length.high if e.cable.length else 0.0)
    place = names.place_of_cable(longest, part=str(longest.cable.length or ""))
    items = tuple(dict.fromkeys((id, *ids, *(names.cable_id(e) for e in lead.edges))))
    if lead.length is None:
        what = f"how far {called} is from {start} is not known: {cables} has no length"
        unlocks = "whether the piece before the fuse is short enough"
        return unknown(id, what, "length", unlocks, place=place, items=items)
    limit, length = nearest(survey, lead), metres(lead.length)
    if limit.metres is None:
        return passed(id, f"{called} is {length} from {start}, in a sheath all the way", length, items=items)
    what = f"{called} is {length} from {start} along {cables}; the limit is {metres(limit.metres)}"
    what += "" if limit.case != "bare" else " for a conductor that is not sheathed"
    here, source = f"{length} against {metres(limit.metres)}", cited(limit.source, limit.mark)
    if lead.length <= limit.metres * 1.0001:
        return passed(id, what, here, source=source, items=items)
    grade = "A" if lead.length > survey.limit("far_device").value else "B"
    return finding(grade, id, what, here, source=source, place=place, items=items)


def nearest(survey: Survey, lead: Lead) -> DistanceLimit:
    """The distance limit, of two rule sets the shorter."""
    sheathed = all(_is_sheathed(survey, edge) for edge in lead.edges)
    limits = [distance_limit(rules, sheathed, sheathed and lead.at_battery) for rules in survey.rule_sets]
    return min(limits, key=lambda found: found.metres if found.metres is not None else 1e9)


def _is_sheathed(survey: Survey, edge: Edge) -> bool:
    cable, default = edge.cable, survey.inventory.defaults.sheathed
    return bool(cable.sheathed if cable.sheathed is not None else (cable.cores or 1) > 1 or default)


def not_in_negative(survey: Survey) -> Iterator[Outcome]:
    """No fuse stands in an earthed negative; with an insulated negative both poles open.

    What
        Where the DC negative is joined to earth, a fuse or single-pole breaker in a negative is a finding. Where the
        system is insulated, one that opens a single pole of a circuit is.

    Why
        When a fuse in the negative blows, the device is dead and still live: every wire in it stands at full voltage.

    Failing example
        fuses:
          F9: {name: Old negative fuse, kind: gG, rating: 63 A, voltage: 110 V, at: "locker, lower"}
        runs:
          panel negative: [X5, W6: "16 mm², 4 m", F9, W60: "16 mm², 0.2 m", X2]

    Passing example
        runs:
          panel negative: [X5, W6: "16 mm², 4 m", X2]

    Source
        IMO small-craft code, 8.2.2 to 8.2.3 (seen); 46 CFR 183.380(b) (seen).

    Clears
        The fuse taken out of the negative and put in the positive, by somebody qualified.
    """
    nodes, names = survey.network.nodes, survey.names
    insulated = survey.inventory.vessel.earth == "insulated"
    for device in survey.devices:
        poles = {nodes[n].pole for e in device.edges for n in (e.a, e.b)}
        if device.ac:
            continue
        called = names.the(device.id)
        if insulated and device.kind == "breaker" and poles == {"+"} and device.path[0] == "panels":
            yield finding("A", device.id, f"{called} opens one pole of an insulated system", "one pole")
        elif not insulated and "-" in poles and "+" not in poles:
            yield finding(
                "A",
                device.id,
                f"{called} stands in the negative, which is earthed: when it opens, the circuit stays live",
                "in the negative",
            )
        else:
            yield passed(device.id, f"{called} opens the right poles")


def bypass(survey: Survey) -> Iterator[Outcome]:
    """What bypasses the main switch has its own device near the source.

    What
        Circuits that are meant to stay on pass a fuse or breaker on their way from the battery, and the first one is
        within the distance limit.

    Why
        Nobody can switch such a wire off: its fuse is the only thing that ever opens it.

    Failing example
        circuits:
          C4: {name: Bilge pump, from: G1 +, back to: X2, cable: "4 mm², 3 m", load: 4 A, stays on: yes}

    Passing example
        circuits:
          C4: {name: Bilge pump, from: X3, back to: X2, cable: [F5, "4 mm², 3 m"], load: 4 A, stays on: yes}

    Source
        UK boat safety scheme, 3.5 (seen secondary; check your own copy).

    Clears
        A fuse for the circuit at the battery, fitted by somebody qualified.
    """
    far = {lead.device.id: lead for lead in survey.cover.leads}
    for consumer in survey.network.consumers.values():
        if not survey.stays_on(consumer) or consumer.id != _first_of(survey, consumer.circuit):
            continue
        paths = [
            p for p in survey.study.supply.get(consumer.id, ()) if survey.network.edges[p.source].kind == "battery"
        ]
        for path in paths[:1]:
            devices = [h.edge for h in path.out if h.edge.id in survey.device_of]
            called = survey.names.name(consumer.circuit)
            if not devices:
                what = f"{called} bypasses the main switch and has no fuse or breaker"
                yield finding("A", consumer.circuit, what, "no device")
                continue
            first, lead = survey.device_of[devices[0].id], far.get(devices[0].id)
            limit = nearest(survey, lead).metres if lead and lead.edges else None
            if limit is not None and lead.length is not None and lead.length > limit * 1.0001:
                what = (
                    f"{called} bypasses the main switch; its first device, {survey.names.the(first.id)}, is "
                    f"{metres(lead.length)} from the source"
                )
                yield finding(
                    "A",
                    consumer.circuit,
                    what,
                    f"{metres(lead.length)} against {metres(limit)}",
                    items=(consumer.circuit, first.id),
                )
            else:
                yield passed(
                    consumer.circuit,
                    f"{called} bypasses the main switch and has {survey.names.the(first.id)} at its source",
                )
    if not any(survey.stays_on(c) for c in survey.network.consumers.values()):
        yield not_applicable(survey.ship, "no circuit is meant to stay on when the main switch is off")


def _first_of(survey: Survey, circuit: str) -> str:
    record = survey.inventory.circuits.get(circuit)
    return next(iter(record.loads), circuit) if record is not None and record.loads else circuit
