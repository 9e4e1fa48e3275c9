"""The fault finder's script reckons as the network does: the same explanations and the same points, fault by fault."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest

from loombook.network.explain import Explanation, explain
from loombook.network.loops import Loop, best_point, loops_of, narrowed
from loombook.network.suspects import likely
from loombook.publish import assets
from tests.network.faults import Boat, Fault, boat, faults, names
from tests.network.test_metered import explained, measured


@pytest.fixture(scope="module")
def script(chromium) -> Iterator:
    """A blank page that knows the script."""
    page = chromium.new_page()
    page.add_script_tag(content=assets.text("find-reckon.js"))
    yield page
    page.close()


def suspects_as_data(aboard: Boat) -> list[dict]:
    """As in the data block: consumers by number, and what fails by number too."""
    number = {c: i for i, c in enumerate(aboard.network.consumers)}
    part = {e: i for i, e in enumerate(aboard.network.edges)}
    rows = []
    for suspect in aboard.suspects:
        row = {
            "parts": [part[e] for e in suspect.edges],
            "lost": [number[c] for c in suspect.lost],
            "weight": suspect.weight,
        }
        rows.append(row | ({"also": [part[e] for e in suspect.also]} if suspect.also else {}))
    return rows


def by_boat(count: int) -> dict[int, list[Fault]]:
    found: dict[int, list[Fault]] = {}
    for fault in faults(count):
        found.setdefault(id(fault.boat), []).append(fault)
    return found


def test_a_thousand_faults_are_explained_alike_in_the_browser(script):
    unlike = []
    for aboard in by_boat(1000).values():
        number = {c: i for i, c in enumerate(aboard[0].boat.network.consumers)}
        looked_at = [([number[c] for c in f.dead], [number[c] for c in f.working]) for f in aboard]
        looked_at += [(dead[:2], working[::3]) for dead, working in looked_at]  # and when only some have been looked at
        told = script.evaluate(
            "([suspects, rows]) => rows.map(([dead, works]) => loombookFind.explain(suspects, dead, works))",
            [suspects_as_data(aboard[0].boat), looked_at],
        )
        names = list(number)
        for (dead, working), found in zip(looked_at, told, strict=True):
            expected = explain(aboard[0].boat.suspects, [names[i] for i in dead], [names[i] for i in working])
            rows = [told_of(e, aboard[0].boat) for e in expected]
            if rows != found:
                unlike.append((dead, rows[:3], found[:3]))

    assert [] == unlike


def told_of(explanation: Explanation, aboard: Boat) -> dict:
    """An explanation as the script gives it."""
    part = {e: i for i, e in enumerate(aboard.network.edges)}
    groups = [[part[e] for e in group] for group in explanation.left]
    return {
        "suspects": list(explanation.suspects), "faults": explanation.faults, "untold": explanation.untold,
        "weight": explanation.weight, "left": groups,
    }  # fmt: skip


def test_readings_narrow_a_thousand_faults_alike_in_the_browser(script):
    """A meter along the way of a dead device, as tests/network/test_metered.py judges it by what has failed."""
    unlike, asked, narrower = [], 0, 0
    rows: dict[int, list] = {}
    for fault, readings in measured(1000):
        rows.setdefault(id(fault.boat), []).append((fault, readings))
    for faults_aboard in rows.values():
        aboard = faults_aboard[0][0].boat
        number = {c: i for i, c in enumerate(aboard.network.consumers)}
        part = {e: i for i, e in enumerate(aboard.network.edges)}
        weights = [likely(edge) for edge in aboard.network.edges.values()]
        told = script.evaluate(
            "([suspects, weights, rows]) => rows.map(([dead, works, read]) => loombookFind.explain(suspects, dead, works, read, weights))",
            [suspects_as_data(aboard), weights, [
                ([number[c] for c in f.dead], [number[c] for c in f.working],
                 [{"parts": sorted(part[e] for e in r.parts), "among": r.among} for r in readings])
                for f, readings in faults_aboard
            ]],
        )  # fmt: skip
        for (fault, readings), found in zip(faults_aboard, told, strict=True):
            expected = [told_of(e, aboard) for e in explained(fault, readings)]
            asked += 1
            narrower += bool(found) and len(found[0]["left"][0]) < len(aboard.suspects[found[0]["suspects"][0]].edges)
            if expected != found:
                unlike.append((fault.failed, expected[:2], found[:2]))

    assert [] == unlike
    assert asked > 900 and narrower > 500


def test_of_a_thousand_faults_the_script_names_all_and_nine_in_ten_first(script):
    """Every consumer ticked, dead or alive. Judged by what has failed, not by what Python says of it."""
    first, missed, asked = 0, [], 0
    for aboard in by_boat(1000).values():
        number = {c: i for i, c in enumerate(aboard[0].boat.network.consumers)}
        told = script.evaluate(
            "([suspects, rows]) => rows.map(([dead, works]) => loombookFind.explain(suspects, dead, works))",
            [
                suspects_as_data(aboard[0].boat),
                [([number[c] for c in f.dead], [number[c] for c in f.working]) for f in aboard],
            ],
        )
        for fault, found in zip(aboard, told, strict=True):
            rows = [Explanation(tuple(e["suspects"]), e["faults"], e["untold"], e["weight"]) for e in found]
            asked += 1
            first += bool(rows) and names(rows[0], fault)
            if not any(names(row, fault) for row in rows):
                missed.append(fault.failed)

    assert (1000, []) == (asked, missed)
    assert first >= 900


def halved(loop: Loop, weights: dict[str, float], broken: int) -> list[int]:
    """The points at which the loop is measured, one after the other, until no point tells more."""
    points = []
    while (point := best_point(loop, weights)) is not None:
        points.append(point)
        weights = narrowed(loop, weights, point, further=point <= broken)
    return points


HALVED = """(loops) => loops.map(({ parts, hidden, weights }) => parts.map((_, broken) => {
  const points = [];
  let left = new Map(weights);
  for (let point; (point = loombookFind.bestPoint(parts, hidden, left)) !== null;) {
    points.push(point);
    left = loombookFind.narrowed(parts, left, point, point <= broken);
  }
  return points;
}))"""


def test_every_loop_is_halved_alike_in_the_browser(script):
    for seed in range(20):
        aboard = boat(seed)
        edges = {id: i for i, id in enumerate(aboard.network.edges)}
        loops = [loop for loop in loops_of(aboard.core, aboard.on).values()]
        weights = [{id: likely(aboard.network.edges[id]) for id in loop.edges} for loop in loops]
        expected = [
            [halved(loop, weight, broken) for broken in range(len(loop.edges))] for loop, weight in zip(loops, weights)
        ]
        data = [
            {
                "parts": [edges[id] for id in loop.edges],
                "hidden": list(loop.hidden),
                "weights": [[edges[id], w] for id, w in weight.items()],
            }
            for loop, weight in zip(loops, weights)
        ]

        assert expected == script.evaluate(HALVED, data), seed


LOOK_UP = "([things, typed]) => loombookFind.lookUp(loombookFind.indexed(things), typed).map((thing) => thing.name)"
THINGS = [
    {"name": "Sounder fuse", "find": ["Sounder fuse", "F12"], "more": ["chart table"]},
    {
        "name": "Depth sounder",
        "find": ["Depth sounder", "echo sounder", "fish finder", "C21"],
        "more": ["cockpit", "W44", "red wire"],
        "consumer": 0,
    },
    {"name": "Éclairage", "find": ["Éclairage", "C22"], "more": ["sauna"], "consumer": 1},
    {"name": "测深仪", "find": ["测深仪", "C23"], "more": [], "consumer": 2},
    {"name": "\u2068مضخة\u2069", "find": ["مضخة", "C24"], "more": [], "consumer": 3},
    {"name": "X" * 200, "find": ["X" * 200], "more": []},
]


@pytest.mark.parametrize(
    "typed, first",
    [
        ("echo sounder", "Depth sounder"),
        ("ECHO", "Depth sounder"),
        ("finder fish", "Depth sounder"),
        ("c21", "Depth sounder"),
        ("f12", "Sounder fuse"),
        ("sounder", "Depth sounder"),
        ("sounder fuse", "Sounder fuse"),
        ("ecko sounder", "Depth sounder"),
        ("ehco sounder", "Depth sounder"),
        ("red with W44 on it", "Depth sounder"),
        ("cockpit", "Depth sounder"),
        ("eclairage", "Éclairage"),
        ("深", "测深仪"),
        ("مضخة", "\u2068مضخة\u2069"),
        ("x" * 200, "X" * 200),
    ],
)
def test_a_thing_is_found_by_any_of_its_names_also_mistyped(typed, first, script):
    assert first == script.evaluate(LOOK_UP, [json.loads(json.dumps(THINGS)), typed])[0]


@pytest.mark.parametrize("typed", ["", "   ", "zzzzz"])
def test_nothing_is_found_where_nothing_fits(typed, script):
    assert [] == script.evaluate(LOOK_UP, [THINGS, typed])


@pytest.mark.parametrize(
    "one, other, expected",
    [
        ("bilge", "bilg", True),
        ("bilge", "bilgee", True),
        ("bilge", "bulge", True),
        ("bilge", "iblge", True),
        ("bilge", "bidgf", False),
        ("a", "abc", False),
    ],
)
def test_one_slip_of_the_thumb_is_forgiven(one, other, expected, script):
    assert expected == script.evaluate("([a, b]) => loombookFind.isOneOff(a, b)", [one, other])
