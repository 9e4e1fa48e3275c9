"""The supply strip, the panel front and the location plan."""

from __future__ import annotations

from loombook.drawings import strip
from loombook.drawings.drawset import scenes
from loombook.drawings.geometry import around
from loombook.drawings.model import Dot, DrawingSet, Front, Plan, Space, State, Stop, Strip, Way
from loombook.drawings.quality import faults
from loombook.drawings.scene import Scene, Shape, Symbol

from tests.drawings.samples import BLOCK, device
from tests.drawings.wholewords import cut_words


def one(sheet: Front | Plan) -> Scene:
    """The one scene of a sheet."""
    (scene,) = scenes(DrawingSet(BLOCK, (sheet,)))
    return scene


def test_a_strip_fits_a_phone_of_360_pixels(yacht: dict[str, Scene]) -> None:

    assert yacht["strip.E101"].width <= 344
    assert all(text.size >= 13 for item in yacht["strip.E101"].items for text in item.texts)


def test_stations_follow_the_current_from_source_to_load_and_back(yacht: dict[str, Scene]) -> None:
    stations = [item for item in yacht["strip.E101"].items if item.role == "device"]

    assert [item.key for item in stations] == ["G1", "F1", "Q1", "X1", "F15", "F101", "F60", "E101", "X12", "R1"]
    assert [item.box.top for item in stations] == sorted(item.box.top for item in stations)


def test_each_test_point_says_what_a_meter_shows(yacht: dict[str, Scene]) -> None:
    points = {item.key: [t.text for t in item.texts] for item in yacht["strip.E101"].items if item.role == "test"}

    assert points["test 4"] == ["4", "26.2 V"]
    assert len(points) == 7


def test_the_rail_leads_back_to_the_source(yacht: dict[str, Scene]) -> None:
    rail = next(item for item in yacht["strip.E101"].items if item.key == "~rail").parts[0]

    assert rail.ends == ("R1", "G1")


def test_a_strip_without_a_way_back_still_closes() -> None:
    short = Strip("s", "Short", Stop(device("solar", "G5")), (), Stop(device("lamp", "E1")), ())
    rail = next(item for item in strip.scene(short).items if item.key == "~rail").parts[0]

    assert rail.ends == ("E1", "G5")


def test_a_front_keeps_rows_and_ways_in_their_places(yacht: dict[str, Scene]) -> None:
    cells = [item.parts[0].box for item in yacht["front.P1"].items if item.role == "device"]
    grid = [(box.top, box.left) for box in cells]

    assert len(cells) == 18
    assert grid == sorted(grid)
    assert len({box.left for box in cells}) == 6


def test_a_spare_way_says_that_it_is_spare() -> None:
    front = Front("f", "Front", ((Way("1", kind="spare"), Way("2", kind="blank")),))
    said = [t.text for item in one(front).items if item.role == "device" for t in item.texts]

    assert said == ["1", "spare", "2", "blind cover"]


def test_a_panel_wider_than_the_paper_is_cut_between_ways() -> None:
    row = tuple(Way(f"{n}", f"LABEL {n}", f"F{n}", "breaker", "10 A") for n in range(1, 41))
    drawn = scenes(DrawingSet(BLOCK, (Front("wide", "Wide", (row,)),)))
    found = [item.key for scene in drawn for item in scene.items if item.role == "device"]

    assert len(drawn) > 1
    assert found == [f"F{n}" for n in range(1, 41)]


def test_a_panel_of_nineteen_rows_stands_on_one_sheet() -> None:
    rows = tuple((Way(f"{n}", f"LABEL {n}", kind="breaker", rating="10 A", feeds="A light"),) * 2 for n in range(1, 20))

    assert len(scenes(DrawingSet(BLOCK, (Front("tall", "Tall", rows),)))) == 1


def test_what_a_way_feeds_is_not_said_twice() -> None:
    front = Front("f", "Front", ((Way("1", "FREEZER", feeds="Freezer"), Way("2", "FANS", feeds="Saloon fans")),))
    said = [t.text for item in one(front).items if item.role == "device" for t in item.texts]

    assert said == ["1", "FREEZER", "2", "FANS", "Saloon fans"]


def dots(scene: Scene) -> dict[str, Shape]:
    """The dots on the plan by number."""
    return {item.key.removeprefix("dot "): item.parts[0] for item in scene.items if item.key.startswith("dot ")}


def test_every_dot_lies_in_its_space(yacht: dict[str, Scene]) -> None:
    plan = yacht["plan"]
    spaces = {item.key: item.parts[0].box for item in plan.items if item.role == "space"}

    assert all(spaces["chart table"].holds(dots(plan)[number].box) for number in ("1", "3", "4", "6", "8"))
    assert spaces["forepeak"].holds(dots(plan)["9"].box)


def test_a_dot_with_a_place_lies_there() -> None:
    space = Space("saloon", "Saloon", ((0, -2), (6, -2), (6, 2), (0, 2)))
    plan = Plan("p", "Plan", (space,), (Dot("1", "F1", "saloon", at=(1.5, 1)), Dot("2", "F2", "saloon", at=(4.5, 1))))
    outline = next(item for item in one(plan).items if item.role == "space").parts[0].box
    first, second = (dots(one(plan))[number].box for number in "12")

    assert round((first.left + first.right) / 2 - outline.left) == round(outline.width / 4)
    assert round((second.left + second.right) / 2 - outline.left) == round(outline.width * 3 / 4)


def test_a_plan_without_outlines_says_that_it_is_not_to_scale(yacht: dict[str, Scene]) -> None:
    said = [t.text for item in yacht["plan.plain"].items for t in item.texts]

    assert any("Not to scale" in text for text in said)


def test_every_dot_is_in_the_list(yacht: dict[str, Scene]) -> None:
    listed = [item for item in yacht["plan"].items if item.key.startswith("list ")]

    assert [item.texts[0].text for item in listed] == [str(n) for n in range(1, 12)]


def test_isolators_are_told_from_other_things_by_shape() -> None:
    space = Space("s", "Space", ((0, 0), (4, 0), (4, 3), (0, 3)))
    plan = Plan("p", "Plan", (space,), (Dot("1", "Q1", "s", kind="isolator"), Dot("2", "F1", "s", kind="fuse")))
    square, round_ = (dots(one(plan))[number] for number in "12")

    assert (square.rounded, round_.rounded > 0) == (0, True)


def test_symbols_in_a_strip_are_those_of_the_sheets(yacht: dict[str, Scene]) -> None:
    kinds = [part.kind for item in yacht["strip.E101"].items for part in item.parts if isinstance(part, Symbol)]

    assert kinds[:3] == ["battery", "fuse", "isolator"]


def test_a_dot_without_a_name_keeps_its_line_in_the_list() -> None:
    dots = tuple(Dot(str(n), "", "") for n in range(1, 13))

    assert faults(one(Plan("p", "Plan", (Space("s", "Space"),), dots))) == []


NARROW = Space("lazarette", "Lazarette", ((0, -1.5), (0.6, -1.5), (0.6, 1.5), (0, 1.5)))
SALOON = Space("saloon", "Saloon", ((0.6, -1.5), (8, -1.5), (8, 1.5), (0.6, 1.5)))


def test_a_name_too_long_for_its_space_stands_whole_beside_the_hull_with_a_line_to_the_space() -> None:
    scene = one(Plan("p", "Plan", (NARROW, SALOON), (), 10.0, 3.6))
    items = {item.key: item for item in scene.items}
    space = items["lazarette"].parts[0].box
    line, end, name = items["callout lazarette"].parts

    assert [text.text for text in items["lazarette"].texts] == []
    assert name.text == "Lazarette"
    assert not space.meets(name.box) and not items["~hull"].box.grown(-20).holds(name.box)
    assert space.has(line.points[-1]) and space.holds(end.box)


def test_dots_without_room_in_their_space_stand_together_beside_the_hull_with_a_line_to_it() -> None:
    dots = tuple(Dot(str(n), f"Breaker {n}", "lazarette") for n in range(1, 16))
    scene = one(Plan("p", "Plan", (NARROW, SALOON), dots, 10.0, 3.6))
    items = {item.key: item for item in scene.items}
    space, line = items["lazarette"].parts[0].box, items["callout lazarette"].parts[0]
    outside = [item.box for n in range(1, 16) if not space.holds((item := items[f"dot {n}"]).box)]
    group = around(outside)

    assert outside and len(outside) < 15
    assert group.grown(40).has(line.points[0]) and space.has(line.points[-1])
    assert faults(scene) == []


def test_a_panel_front_has_cells_as_wide_as_its_longest_word() -> None:
    row = tuple(Way(str(n), "DEHUMIDIFIER", f"F{n}", "breaker", "10 A", state=State.REMOVED) for n in range(1, 9))
    sheet = Front("f", "Front", (row,))

    assert cut_words([sheet], [one(sheet)]) == []
