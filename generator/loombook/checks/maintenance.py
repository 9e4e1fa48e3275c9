"""Rules M: tests, spares and waivers, judged for the day that the manual is made for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import timedelta

from ..inventory.vessel import TestRecord
from .devices import Device
from .model import Outcome, finding, passed, unknown
from .names import listed
from .survey import Survey

INTERVALS = ("rcd", "torque", "thermal", "insulation", "capacity")
"""Words in a test's `what` for which there is an interval in `limits.py`."""


def tests_due(survey: Survey) -> Iterator[Outcome]:
    """No test is older than its interval, and none has failed.

    What
        Takes the latest test of each kind for each item and compares its age with the usual interval: residual-current
        device 3 months, torque and thermal 12 months, insulation 36, capacity 24. A failed latest test is a finding
        too. A residual-current device without any test is listed as not checked.

    Why
        A device that saves lives is only known to work on the day it was tested.

    Failing example
        tests:
          - {item: F51, what: RCD trip time, value: 24 ms, passed: yes, date: 2025-03-30}

    Passing example
        tests:
          - {item: F51, what: RCD trip time, value: 24 ms, passed: yes, date: 2026-05-01}

    Source
        UK boat safety scheme for residual-current devices (seen secondary); the other intervals are common practice
        (from memory).

    Clears
        The test made again, with value, date and name; tests on 230 V by a qualified person.
    """
    latest: dict[tuple[str, str], tuple[int, TestRecord]] = {}
    for i, test in enumerate(survey.inventory.tests):
        key = (test.item, test.what.casefold())
        if key not in latest or test.date >= latest[key][1].date:
            latest[key] = (i, test)
    for i, test in latest.values():
        yield from _test(survey, i, test)
    tested = {test.item for test in survey.inventory.tests if "rcd" in test.what.casefold()}
    for device in survey.devices:
        if getattr(device.record, "residual", None) and not {device.id, device.item} & tested:
            what = f"{survey.names.the(device.id)} is a residual-current device, and no test of it is on record"
            yield unknown(device.id, what, "tests", "whether it still trips", place=survey.names.place_of(device.id))


def _test(survey: Survey, i: int, test: TestRecord) -> Iterator[Outcome]:
    names, called = survey.names, f"the test `{test.what}` of {survey.names.the(test.item)}"
    if test.passed is False:
        what = f"{called} failed on {test.date}" + (
            f": {test.value}, limit {test.limit}" if test.value and test.limit else ""
        )
        yield finding("B", test.item, what, test.value or "failed", place=names.place("tests", i, "passed"))
        return
    word = next((word for word in INTERVALS if word in test.what.casefold()), None)
    if word is None:
        return
    interval = survey.limit(f"interval {word}")
    age = (survey.as_of - test.date).days
    if age > interval.value:
        what = f"{called} is {age} days old; it is due every {interval.value:.0f} days"
        here = f"{age} days against {interval.value:.0f}"
        yield finding("B", test.item, what, here, place=names.place("tests", i, "date"), source=interval.cited)
    else:
        due = test.date + timedelta(days=interval.value)
        yield passed(test.item, f"{called} is {age} days old, due again on {due}", f"{age} days", source=interval.cited)


def spares(survey: Survey) -> Iterator[Outcome]:
    """A spare is aboard for every kind and rating of fuse in use.

    What
        Counts the fuses in use by kind and rating, and the spares: two of each, one where the rating is 40 A or more
        or where one is in use.

    Why
        A blown fuse without its spare is an outage for the rest of the passage, or somebody fits a larger one.

    Failing example
        spares:
          - {kind: class T, rating: 150 A, count: 1}
          - {kind: blade, rating: 5 A, count: 4}

    Passing example
        spares:
          - {kind: class T, rating: 150 A, count: 1}
          - {kind: class T, rating: 80 A, count: 1}
          - {kind: class T, rating: 40 A, count: 1}
          - {kind: gG, rating: 10 A, count: 1}
          - {kind: blade, rating: 10 A, count: 1}
          - {kind: blade, rating: 5 A, count: 4}

    Source
        Common practice, no source.

    Clears
        The spares named, in a box that the manual names.
    """
    stock = _stock(survey)
    used: dict[tuple[str, float], list[Device]] = {}
    for device in survey.devices:
        if device.kind == "fuse" and device.rating:
            used.setdefault((device.family, device.rating.value), []).append(device)
    short = []
    for (kind, rating), rows in used.items():
        usual = survey.limit(
            "main_spares" if rating >= survey.limit("main_rating").value or len(rows) == 1 else "spares"
        )
        have = stock[kind, rating]
        if have < usual.value:
            short.append((f"{kind} {rating:g} A ({len(rows)} in use, {have} spare)", rows))
    if short:
        what = f"spare fuses are short: {listed([words for words, _ in short], 12)}"
        ids = tuple(d.id for _, rows in short for d in rows)
        here = f"{len(used) - len(short)} of {len(used)} kinds"
        place = survey.names.place("spares") if survey.inventory.spares else None
        yield finding("B", survey.ship, what, here, place=place, items=(survey.ship, *ids))
    elif used:
        yield passed(survey.ship, f"spares are aboard for all {len(used)} kinds and ratings of fuse in use")


def _stock(survey: Survey) -> Counter[tuple[str, float]]:
    """(kind, rating) → spares carried."""
    stock: Counter[tuple[str, float]] = Counter()
    for spare in survey.inventory.spares:
        if spare.amps is not None:
            stock[spare.kind, spare.amps] += spare.count
    return stock


def oversize(survey: Survey) -> Iterator[Outcome]:
    """No spare fuse is larger than every fuse of its kind aboard.

    What
        Looks for spares of a kind in use whose rating is above the largest of that kind in use: they fit the holders,
        and nothing aboard needs them.

    Why
        At night the large one goes in where the small one keeps blowing, and then the cable is the fuse.

    Failing example
        spares:
          - {kind: blade, rating: 30 A, count: 4}

    Passing example
        spares:
          - {kind: blade, rating: 10 A, count: 4}

    Source
        Common practice, no source.

    Clears
        Take the larger ones off the boat, or mark the box. Never fit a larger fuse to stop one from blowing.
    """
    largest: dict[str, float] = {}
    for device in survey.devices:
        if device.kind == "fuse" and device.rating:
            largest[device.family] = max(device.rating.value, largest.get(device.family, 0.0))
    for i, spare in enumerate(survey.inventory.spares):
        rating, top = spare.rating, largest.get(spare.kind)
        if spare.amps is None or top is None:
            continue
        if spare.amps > top:
            what = (
                f"spare {spare.kind} fuses of {rating} fit the holders of smaller ones; the largest in use is {top:g} A"
            )
            here, place = f"{rating} against {top:g} A", survey.names.place("spares", i, "rating")
            yield finding("C", survey.ship, what, here, place=place)
        else:
            yield passed(survey.ship, f"spare {spare.kind} fuses of {rating} are of a size in use or smaller")


def waivers(survey: Survey) -> Iterator[Outcome]:
    """Every waiver still holds, and still has something to accept.

    What
        A waiver past its date is a finding, and what it accepted stands again. So is one that names a rule that does
        not exist, or a finding that is gone.

    Why
        A risk accepted for a time must not be accepted for ever by forgetting it.

    Failing example
        junctions:
          X9: {name: Mast foot joint, at: "cabin, mast post", joint: soldered}
        circuits:
          C1: {name: Navigation lights, from: X4 way 1, cable: ["2.5 mm², 5 m", X9, "2.5 mm², 8 m"], load: 12 W}
        waivers:
          - {rule: T-02, item: X9, reason: Mast comes down in spring, by: The owner, until: 2025-10-01}

    Passing example
        junctions:
          X9: {name: Mast foot joint, at: "cabin, mast post", joint: soldered}
        circuits:
          C1: {name: Navigation lights, from: X4 way 1, cable: ["2.5 mm², 5 m", X9, "2.5 mm², 8 m"], load: 12 W}
        waivers:
          - {rule: T-02, item: X9, reason: Mast comes down in spring, by: The owner, until: 2027-04-30}

    Source
        Practice of surveys: a recommendation is met, or its acceptance is renewed (from memory).

    Clears
        The finding cleared, or the waiver renewed with a new date and name, or deleted where the finding is gone.
    """
    # which findings each waiver meets is known only when every other rule has run: run.py judges them
    return iter(())
