"""Single-line sheets look like the boat: sources above, bars level, loads below, feeders in their order."""

from __future__ import annotations

from loombook.drawings.drawset import scenes
from loombook.drawings.model import Branch, DrawingSet, Element, Node, OneLine, Service, State
from loombook.drawings.scene import Item, Scene, Symbol, Wire

from tests.drawings import samples
from tests.drawings.samples import BLOCK, bar, cable, device
from tests.drawings.wholewords import cut_words


def drawn(sheet: OneLine) -> Scene:
    """The one scene of a sheet that fits its paper."""
    (scene,) = scenes(DrawingSet(BLOCK, (sheet,)))
    return scene


def item(scene: Scene, key: str) -> Item:
    """The item with this key."""
    return next(i for i in scene.items if i.key == key)


def symbol(scene: Scene, key: str) -> Symbol:
    """The symbol of this device."""
    return next(part for part in item(scene, key).parts if isinstance(part, Symbol))


def line(scene: Scene, key: str) -> Wire:
    """The heavy line of a bar."""
    return next(part for part in item(scene, key).parts if isinstance(part, Wire))


def test_sources_stand_over_their_bar_and_loads_under_it(yacht: dict[str, Scene]) -> None:
    ship = yacht["ship"]
    main = line(ship, "X1").points[0].y

    assert all(symbol(ship, source).box.bottom < main for source in ("G1", "G2", "G3", "G4", "G5", "X90"))
    assert all(symbol(ship, load).box.top > main for load in ("M1", "M2"))


def test_bars_lie_level(yacht: dict[str, Scene]) -> None:
    bars = [
        wire
        for scene in yacht.values()
        for i in scene.items
        if i.role == "node"
        for wire in i.parts
        if isinstance(wire, Wire) and wire.service is Service.BAR
    ]

    assert len(bars) >= 12
    assert all(wire.points[0].y == wire.points[-1].y for wire in bars)


def test_the_paralleling_switch_lies_between_its_two_bars(yacht: dict[str, Scene]) -> None:
    ship = yacht["ship"]
    house, start, switch = line(ship, "X1"), line(ship, "X2"), symbol(ship, "Q3")

    assert house.points[0].y == switch.at.y == start.points[0].y
    assert house.box.right < switch.box.left < switch.box.right < start.box.left


def test_the_change_over_switch_has_both_its_feeds_on_one_side(yacht: dict[str, Scene]) -> None:
    ship = yacht["ship"]
    leads = [part for part in item(ship, "Q9").parts if isinstance(part, Wire)]

    assert symbol(ship, "Q9").kind == "changeover"
    assert len({lead.points[0].y for lead in leads[:2]}) == 1


def test_two_strings_stand_side_by_side_over_their_bar(yacht: dict[str, Scene]) -> None:
    ship = yacht["ship"]

    assert symbol(ship, "G1").at.y == symbol(ship, "G2").at.y
    assert symbol(ship, "F1").at.y == symbol(ship, "F2").at.y


def test_a_panels_feeders_hang_in_the_panels_order_at_equal_pitch(yacht: dict[str, Scene]) -> None:
    places = [symbol(yacht["panel.P2"], f"F2{way:02}").at.x for way in range(1, 9)]
    steps = {round(b - a, 1) for a, b in zip(places, places[1:], strict=False)}

    assert places == sorted(places)
    assert len(steps) == 1


def test_a_long_panel_is_folded_into_rows_of_one_bar(yacht: dict[str, Scene]) -> None:
    panel = yacht["panel.P1"]
    rows = sorted({symbol(panel, f"F1{way:02}").at.y for way in range(1, 25)})
    joints = [
        w for i in panel.items if i.role == "wire" for w in i.parts if isinstance(w, Wire) and w.service is Service.BAR
    ]

    assert len({round(y / 50) for y in rows}) == 2
    assert len(joints) == 1


def test_feet_of_loads_stand_in_line(yacht: dict[str, Scene]) -> None:
    panel = yacht["panel.P2"]

    assert len({symbol(panel, f"E2{way:02}").at.y for way in range(1, 9)}) == 1


def test_the_sample_ship_has_no_crossing_on_one_sheet(yacht: dict[str, Scene]) -> None:
    from loombook.drawings.quality import pleasantness

    assert yacht["ship"].paper == "A3"
    assert pleasantness(yacht["ship"]).crossings == 0


def test_a_shunt_in_the_negative_lies_between_batteries_and_negative_bar(yacht: dict[str, Scene]) -> None:
    system = yacht["system.24"]

    assert line(system, "X3").points[0].y < symbol(system, "R1").at.y < line(system, "X2").points[0].y
    assert line(system, "X1").points[0].y < symbol(system, "G1").at.y < line(system, "X3").points[0].y


def test_a_bar_fed_from_both_ends_is_fed_from_both_ends() -> None:
    sheet = OneLine(
        "ring",
        "Ring",
        (bar("X1"), bar("X2"), bar("X3")),
        (
            Branch("g1", device("battery", "G1"), "X1"),
            Branch("g2", device("battery", "G2"), "X2"),
            Branch("a", "X1", "X3", (device("fuse", "F1"),)),
            Branch("b", "X2", "X3", (device("fuse", "F2"),)),
            *(Branch(f"l{n}", "X3", device("lamp", f"E{n}"), (device("breaker", f"Q{n}"),)) for n in range(4)),
        ),
    )
    scene = drawn(sheet)
    fed = line(scene, "X3").box
    left, right = symbol(scene, "F1").at.x, symbol(scene, "F2").at.x

    assert fed.left <= left < right <= fed.right
    assert line(scene, "X1").box.right < line(scene, "X2").box.left


def test_two_cables_in_a_row_meet_at_a_point() -> None:
    sheet = OneLine(
        "joint",
        "Joint",
        (bar("X1"),),
        (Branch("l", "X1", device("lamp", "E1"), (cable("W1", "2.5 mm²"), cable("W2", "1.5 mm²"))),),
    )
    scene = drawn(sheet)
    first, second = (next(p for p in item(scene, key).parts if isinstance(p, Wire)) for key in ("W1", "W2"))

    assert first.points[-1] == second.points[0]


def test_what_is_live_says_so_in_words() -> None:
    scene = drawn(samples.isolation())
    said = {i.key: " ".join(t.text for t in i.texts) for i in scene.items}

    assert "LIVE" in said["X1"]
    assert "LIVE" in said["G5"]
    assert "OPEN" in said["Q1"]
    assert "LIVE" not in said["X5"]


def test_lines_of_dead_parts_are_dead() -> None:
    scene = drawn(samples.isolation())
    wires = {w.ends: w.state for i in scene.items for w in i.parts if isinstance(w, Wire) and any(w.ends)}

    assert wires["X5", "F3"] is State.DEAD
    assert wires["G1", "Q1"] is State.LIVE


def test_a_sheet_without_anything_is_a_frame_with_a_title() -> None:
    scene = drawn(OneLine("empty", "Nothing yet", (), ()))

    assert [i.role for i in scene.items] == ["frame", "note"]


def test_a_lone_bar_is_drawn() -> None:
    scene = drawn(OneLine("lone", "One bar", (Node("X1", ("spare bar",)),), ()))

    assert line(scene, "X1").box.width > 0


def test_here_marks_the_item_the_page_is_about() -> None:
    sheet = OneLine(
        "here", "Here", (bar("X1"),), (Branch("l", "X1", Element("lamp", "E1"), (device("fuse", "F1"),)),), here="F1"
    )

    assert [i.key for i in drawn(sheet).items if i.here] == ["F1"]


def feeders(*labels: str) -> OneLine:
    """A bar with a breaker for each label."""
    ways = [device("breaker", f"way {n}", "10 A", label) for n, label in enumerate(labels)]
    lines = tuple(Branch(f"l{n}", "X7", device("load", f"C{n}"), (way,)) for n, way in enumerate(ways))
    return OneLine("s", "S", (bar("X7", "Mains panel"),), lines)


def test_columns_are_as_far_apart_as_the_longest_word_asks() -> None:
    sheet = feeders(*["MICROWAVE", "DEHUMIDIFIER", "WORKBENCH"] * 3)

    assert cut_words([sheet], [drawn(sheet)]) == []


def test_a_row_of_feeders_that_asks_for_large_paper_stands_in_rows_on_small_paper() -> None:
    few, more, many = (drawn(feeders(*["DEHUMIDIFIER"] * count)) for count in (6, 12, 30))
    bars = [sum(isinstance(p, Wire) and p.service is Service.BAR for p in sheet_bar(scene)) for scene in (few, more)]

    assert ["A4", "A4", "A3"] == [few.paper, more.paper, many.paper]
    assert [1, 2] == bars


def sheet_bar(scene: Scene) -> list[object]:
    """The parts of the bar and of its further rows."""
    return [part for i in scene.items if i.role == "node" for part in i.parts]


def test_only_a_word_wider_than_the_paper_is_cut() -> None:
    sheet = feeders("x" * 200, "Donaudampfschifffahrtsgesellschaftskapitän", "LIGHTS")
    cut = cut_words([sheet], scenes(DrawingSet(BLOCK, (sheet,))))

    assert cut != []
    assert {word.partition(": ")[2].replace("x", "") for word in cut} == {""}
