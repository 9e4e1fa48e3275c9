"""The fault finder as a crew uses it: a name typed, a device ticked, a meter held where the page says."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from loombook.publish.pocket import pocket
from tests.browser.conftest import PHONE, Site
from tests.manual.boats import DINGHY, HARM, LONG, RIGHT_TO_LEFT, hostile, of_text, of_vessel


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """Writes a pocket file once: of `dinghy`, of `hostile`, or of one of the repository's vessels."""
    folder = tmp_path_factory.mktemp("pocket")
    texts = {"dinghy": lambda: of_text(DINGHY), "hostile": lambda: of_text(hostile())}

    def written(name: str) -> Path:
        path = folder / f"{name}.html"
        if not path.exists():
            path.write_text(pocket(texts.get(name, lambda: of_vessel(name))()), encoding="utf-8")
        return path

    return written


@pytest.fixture
def dinghy(files, open_page):
    return open_page(files("dinghy"), viewport=PHONE)


def typed(page, words: str):
    """The page after these words were typed into the box."""
    page.get_by_role("searchbox").fill(words)
    return page


def dead(page, words: str):
    """The page after a device was looked for and said to be dead."""
    typed(page, words)
    page.get_by_role("button", name="It is dead: find out why").first.click()
    return page


def works(page, name: str) -> None:
    page.locator(".lb-find-questions").get_by_role("button", name=f"{name}: Works").click()


def test_typing_echo_sounder_tells_its_fuse_its_place_and_its_spare_first(dinghy):
    result = typed(dinghy, "echo sounder").locator(".lb-find-result").first.inner_text()

    assert "Depth sounder" in result.splitlines()[0]
    assert "3 A blade fuse" in result and "behind the flap" in result
    assert "4 in Cuddy: box under the thwart" in result
    assert "HIDDEN" in result and "behind the lining, cut the tie" in result


KEYBOARD = {"width": 360, "height": 400}
"""What is left of a phone's screen above its keyboard."""


def in_sight(page, term: str) -> bool:
    """Whether a row of the first result is on the screen as it stands, its words too."""
    box = (
        page.locator(".lb-find-result")
        .first.locator("dt", has_text=re.compile(f"^{term}$"))
        .locator("+ dd")
        .bounding_box()
    )
    return 0 <= box["y"] and box["y"] + box["height"] <= page.viewport_size["height"]


@pytest.mark.parametrize("carrier", ["find/index.html", "pocket.html"])
def test_on_a_phone_the_fuse_is_in_sight_while_its_name_is_typed(carrier, demo: Site, open_page):
    page = open_page(demo.root / carrier, viewport=PHONE)
    assert page.get_by_role("searchbox").bounding_box()["y"] < PHONE["height"] * 0.7
    page.set_viewport_size(KEYBOARD)
    typed(page, "echo sounder")

    assert in_sight(page, "Fuse")
    page.set_viewport_size(PHONE)

    assert in_sight(page, "Fuse") and in_sight(page, "Where") and in_sight(page, "Spare")


def test_a_fuse_that_is_to_be_looked_at_comes_with_the_warning_of_larger_ones(dinghy):
    assert (
        "Never fit a larger fuse" in dead(dinghy, "sounder").locator(".lb-find-fault > .lb-answer").first.inner_text()
    )


def test_an_unknown_word_is_answered_in_words(dinghy):
    assert "Nothing aboard is called that" in typed(dinghy, "quxyz").locator(".lb-find-results").inner_text()


def test_a_dead_device_shows_first_what_can_be_looked_at_without_a_meter(dinghy):
    first = dead(dinghy, "sounder").locator(".lb-find-parts > li").first.inner_text()

    assert first.startswith("3 A blade fuse, way 1 of Panel")
    assert "Cuddy: on the bulkhead" in first


def test_a_working_neighbour_clears_the_feed_of_the_panel(dinghy):
    everything = dead(dinghy, "sounder").locator(".lb-find-all")
    assert "Main fuse F1" in everything.text_content()

    works(dinghy, "Cabin light")

    assert "Main fuse F1" not in dinghy.locator(".lb-find-all").text_content()
    assert "Works: Cabin light" in dinghy.locator(".lb-find-marks").inner_text()


def test_what_was_ticked_can_be_undone_and_begun_again(dinghy):
    dead(dinghy, "sounder")
    works(dinghy, "Cabin light")
    dinghy.get_by_role("button", name="undo: Cabin light").click()
    assert "Works" not in dinghy.locator(".lb-find-marks").inner_text()

    dinghy.get_by_role("button", name="Start again").click()

    assert dinghy.locator(".lb-find-fault").is_hidden()


def measure(page, reading: str) -> str:
    """What the page says after a reading."""
    page.get_by_label("Meter reads").fill(reading)
    page.get_by_role("button", name="Go on").click()
    return page.locator(".lb-find-measure").inner_text()


def block(page) -> dict:
    """The data that the page works with."""
    return page.evaluate("document.getElementById('lb-find').finder.data")


def way_of(page, device: str) -> tuple[list[str], list[str]]:
    """Names of the points and of the parts on the way of a device, in order."""
    data = block(page)
    loop = data["loops"][data["states"][0]["loops"][data["consumers"].index(device)]]
    return [data["points"][p]["name"] for p in loop["points"]], [data["parts"][p]["name"] for p in loop["parts"]]


@pytest.mark.parametrize(
    "part, advice",
    [
        ("3 A blade fuse, way 1 of Panel", "Never fit a larger fuse"),
        ("1 A glass fuse, Sounder tail fuse F9, HIDDEN", "Never fit a larger fuse"),
        ("Cable of Depth sounder C21: 1 mm²", "Its two ends first"),
        ("Depth sounder C21 itself", "Voltage arrives at its terminals"),
        ("Cable of Depth sounder C21 on the way back: 1.5 mm²", "The way back breaks as often"),
        ("Cable W4 on the way back", "The way back breaks as often"),
        ("Main switch Q1", "Switch it off and on ten times"),
    ],
)
def test_a_meter_leads_to_the_part_that_has_failed_and_to_what_to_do(part, advice, dinghy):
    """A meter that reads 12.4 V up to the break and nothing behind it."""
    points, parts = way_of(dinghy, "Depth sounder")
    broken = next(i for i, name in enumerate(parts) if name.startswith(part))
    said = dead(dinghy, "sounder").locator(".lb-find-measure").inner_text()
    for _ in range(8):
        if "It is here" not in said:
            head = said.splitlines()[0]
            at = next((i for i, name in enumerate(points) if head == f"Red lead on: {name}"), 0)
            said = measure(dinghy, "12.4" if at <= broken else "0")

    assert said.splitlines()[0] == "It is here", said
    assert part in said and advice in said


def test_a_reading_narrows_the_list_of_all_that_it_can_be(dinghy):
    """Volts at the sounder's positive: nothing before it is on the list any more, and what lies behind still is."""
    points, parts = way_of(dinghy, "Depth sounder")
    lists = [dead(dinghy, "sounder").locator(".lb-find-all").text_content()]
    said = dinghy.locator(".lb-find-measure").inner_text()
    for _ in range(8):
        if "It is" in said.splitlines()[0]:
            break
        said = measure(dinghy, "12.4")
        lists.append(dinghy.locator(".lb-find-all").text_content())
    kept = [[part for part in parts if part in words] for words in lists]

    assert len(lists) > 2
    assert all(set(fewer) <= set(more) for more, fewer in zip(kept, kept[1:]))
    assert [] != kept[-1] != kept[0] and "after these readings" in lists[-1]
    assert set(said.splitlines()) >= {part for part in kept[-1]}


def test_a_reading_can_be_taken_back(dinghy):
    dead(dinghy, "sounder")
    before = dinghy.locator(".lb-find-measure .lb-find-name").inner_text()
    measure(dinghy, "12.4")

    dinghy.get_by_role("button", name="Take the last reading back").click()

    assert before == dinghy.locator(".lb-find-measure .lb-find-name").inner_text()


def test_after_a_reading_the_next_step_is_on_top_and_has_the_focus(dinghy):
    """So that an eye sees it first and a screen reader speaks it, also when a reading is taken back."""
    dead(dinghy, "sounder")
    for step in (
        lambda: measure(dinghy, "12.4"),
        dinghy.get_by_role("button", name="Take the last reading back").click,
    ):
        step()
        head = dinghy.locator(".lb-find-measure .lb-find-name").first

        assert head.inner_text() == dinghy.evaluate("document.activeElement.textContent")
        assert 0 <= head.bounding_box()["y"] < PHONE["height"] / 3


def test_letters_in_the_place_of_volts_are_not_taken_for_a_reading(dinghy):
    dead(dinghy, "sounder")
    before = dinghy.locator(".lb-find-measure").inner_text()

    assert before == measure(dinghy, "twelve")


def test_nobody_is_sent_to_measure_mains(files, open_page):
    page = open_page(files("demo"), viewport=PHONE)
    dead(page, "microwave")
    said = page.locator(".lb-find-fault").inner_text()
    assert "Nothing feeds it, as the switches stand" in said and "in harbour" in said

    page.locator(".lb-find-fault").get_by_role("button", name="in harbour").click()

    assert "Measure nothing here" in page.locator(".lb-find-measure").inner_text()


def test_two_unlike_dead_devices_are_explained_by_two_faults(files, open_page):
    page = open_page(files("demo"), viewport=PHONE)
    dead(page, "depth sounder")
    works(page, "Chart plotter")
    dead(page, "horn")
    page.locator(".lb-find-questions").get_by_role("button", name=": Works").first.click()

    assert "Two faults at once" in page.locator(".lb-find-fault").inner_text()


def test_dead_instruments_behind_one_tap_of_the_data_network_lead_to_that_tap(files, open_page):
    page = open_page(files("demo"), viewport=PHONE)
    for name in ("helm display", "paddle wheel", "anemometer"):
        dead(page, name)
    for name in ("heading sensor", "chart table display"):
        typed(page, name)
        page.get_by_role("button", name=": It works").first.click()
    page.locator(".lb-find-all > summary").click()
    (only,) = page.locator(".lb-find-all > ol > li").all_inner_texts()

    assert (
        "Cable of Speed and temperature sensor B12: 1 mm²" in only
        and "Cable of Speed and temperature sensor B12 on the way back" in only
    )
    assert "Red lead on: " in page.locator(".lb-find-measure").inner_text()


FIRST = """(data) => {
  const index = loombookFind.indexed(data.things), wrong = [];
  let asked = 0;
  const plain = (words) => words.toLowerCase();
  const isCalled = (thing, words) => thing.find.some((name) => plain(name) === plain(words));
  const fuse = (thing) => thing.answer.some(([term, words]) => words && /^(Fuse|Breaker|Next )/.test(term));
  for (const thing of data.things) for (const words of thing.find) {
    const [first] = loombookFind.lookUp(index, words);
    asked++;
    if (!first || !isCalled(first, words)) wrong.push([words, first && first.name]);
    else if (thing.consumer !== undefined && (first.consumer === undefined || !fuse(first))) wrong.push([words, first.name]);
  }
  for (const thing of data.things) for (const words of thing.more) {
    asked++;
    if (!loombookFind.lookUp(index, words).length) wrong.push([words, null]);
  }
  return [asked, wrong];
}"""
"""In the page: every name, label, id, place, wire number and colour aboard is typed in, one after the other."""


@pytest.mark.parametrize("name", ["dinghy", "minimal", "launch", "everything", "demo"])
def test_whatever_anybody_calls_a_thing_it_comes_first_and_a_device_with_its_fuse(name, files, open_page):
    page = open_page(files(name))
    asked, wrong = page.evaluate(FIRST, block(page))

    assert asked > 20
    assert [] == wrong


SEARCH = """(data) => {
  const wrong = [];
  let searched = 0;
  data.states[0].loops.forEach((number, consumer) => {
    if (number < 0 || data.loops[number].mains) return;
    const loop = data.loops[number];
    const suspected = new Map(loop.parts.concat(loop.sourcePart).map((part) => [part, 1]));
    loop.parts.forEach((part, broken) => {
      const answers = [{ source: true, volts: loop.volts[0] }];
      let now;
      for (;;) {
        now = loombookFind.follow(data, data.states[0], consumer, suspected, answers);
        if (now.ask !== "point") break;
        const reads = now.point <= broken ? loop.volts[0] : 0;
        answers.push({ point: now.point, further: loombookFind.isFurther(data, loop, now.point, reads, loop.volts[0]) });
      }
      searched++;
      const limit = Math.ceil(Math.log2(loop.parts.length)) + 4;
      if (now.ask !== "found" || now.parts.length !== 1 || now.parts[0] !== part || answers.length > limit) {
        wrong.push([consumer, broken, now.ask, now.parts, answers.length]);
      }
    });
  });
  return [searched, wrong];
}"""
"""In the page: every section of every device's way is broken in turn, and searched with a meter that reads full voltage
before the break and nothing behind it, on both legs."""


@pytest.mark.parametrize("name", ["dinghy", "launch", "everything", "demo"])
def test_every_break_on_every_way_is_found_by_halving_it(name, files, open_page):
    page = open_page(files(name))
    data = block(page)
    searched, wrong = page.evaluate(SEARCH, data)

    assert searched > 5
    assert [] == wrong


TOLD = """(data) => {
  const state = data.states[0], wrong = [];
  let asked = 0;
  state.loops.forEach((number, consumer) => {
    if (number < 0 || data.loops[number].mains) return;
    const { parts, sourcePart } = data.loops[number];
    parts.forEach((broken, at) => {
      const answers = [{ source: true }];
      for (const point of [1, Math.ceil(parts.length / 2), parts.length - 1]) answers.push({ point, further: point <= at });
      const readings = loombookFind.told(data, state, consumer, answers);
      const [group] = loombookFind.left([[sourcePart, ...parts]], readings);
      asked++;
      if (!group.includes(broken) || group.includes(sourcePart) || group.length >= parts.length) wrong.push([consumer, at, group]);
    });
    const [unfed] = loombookFind.left([[sourcePart, ...parts]], loombookFind.told(data, state, consumer, [{ source: false }]));
    if (unfed.join() !== String(sourcePart)) wrong.push([consumer, "source", unfed]);
  });
  return [asked, wrong];
}"""
"""In the page: what the answers on each device's way say of a break anywhere on it, and of a source that gives nothing."""


@pytest.mark.parametrize("name", ["dinghy", "launch", "everything", "demo"])
def test_what_the_answers_say_holds_the_break_and_leaves_less_than_the_way(name, files, open_page):
    page = open_page(files(name))
    asked, wrong = page.evaluate(TOLD, block(page))

    assert asked > 5
    assert [] == wrong


WAYS = """(data) => {
  const state = data.states[0], wrong = [];
  const fed = data.consumers.map((_, c) => c).filter((c) => state.loops[c] >= 0 && !data.loops[state.loops[c]].mains);
  let compared = 0;
  fed.forEach((one) => fed.filter((c) => c > one && (c + one) % 5 === 0).forEach((other) => {
    const explained = loombookFind.explain(state.suspects, [one, other], []);
    const best = explained.filter((e) => e.faults === explained[0].faults);
    const suspected = new Map(best.flatMap((e) => e.suspects).flatMap((i) => [...state.suspects[i].parts, ...(state.suspects[i].also || [])])
      .map((part) => [part, data.parts[part].weight]));
    const splits = (consumer) => { // point by point, hidden ones apart
      const { parts, points } = data.loops[state.loops[consumer]];
      const weight = (some) => some.reduce((sum, part) => sum + (suspected.get(part) || 0), 0);
      const rows = points.slice(1, -1).map((p, i) => [data.points[p].hidden, Math.min(weight(parts.slice(0, i + 1)), weight(parts.slice(i + 1)))]);
      const most = (hidden) => Math.max(0, ...rows.filter((row) => Boolean(row[0]) === hidden).map((row) => row[1]));
      return most(false) || most(true) / 1e6;
    };
    const chosen = loombookFind.wayToMeasure(data, state, [one, other], suspected);
    compared++;
    if (splits(chosen) < Math.max(splits(one), splits(other)) - 1e-9) wrong.push([one, other, chosen]);
  }));
  return [compared, wrong];
}"""
"""In the page: of two dead devices the finder measures along the way of the one where a reading tells more."""


@pytest.mark.parametrize("name", ["everything", "demo"])
def test_of_two_dead_devices_the_one_is_measured_where_a_reading_splits_the_suspicion_best(name, files, open_page):
    page = open_page(files(name))
    compared, wrong = page.evaluate(WAYS, block(page))

    assert compared > 10
    assert [] == wrong


HALF = """(data) => data.states[0].loops.flatMap((number) => {
  if (number < 0 || data.loops[number].mains) return [];
  const loop = data.loops[number], low = data.tolerance * loop.nominal;
  return loop.points.map((_, point) => {
    const healthy = loombookFind.isFurther(data, loop, point, loop.volts[point], loop.volts[0]);
    const flat = loombookFind.isFurther(data, loop, point, Math.max(loop.volts[point] - 0.8, 0), loop.volts[0] - 0.8);
    const poor = loombookFind.isFurther(data, loop, point, point < loop.turn ? loop.volts[point] - 2 * low : loop.volts[point] + 2 * low, loop.volts[0]);
    return [point >= loop.turn, healthy, flat, poor];
  });
})"""


def test_what_a_reading_means_on_the_way_out_and_on_the_way_back(files, open_page):
    """On the way out right means further on; on the way back it means before. A flat battery is no fault, a poor joint is one."""
    page = open_page(files("demo"))
    data = block(page)
    rows = {tuple(row) for row in page.evaluate(HALF, data)}

    assert {(False, True, True, False), (True, False, False, True)} == rows


def test_the_first_look_up_answer_and_the_devices_own_page_say_the_same(demo: Site, open_page):
    page = typed(open_page(demo.root / "find/index.html"), "echo sounder")
    found = page.locator(".lb-find-result").first
    told = dict(zip(found.locator("dt").all_inner_texts(), found.locator("dd").all_inner_texts()))
    open_page(demo.consumer, page=page)
    box = page.locator(".lb-answer").first
    own = dict(zip(box.locator("dt").all_inner_texts(), box.locator("dd").all_inner_texts()))

    assert own == {term: told[term] for term in own}


def test_a_devices_page_leads_to_its_fault(demo: Site, open_page):
    page = open_page(demo.consumer)
    page.get_by_role("link", name="It is dead: find out why").click()
    page.wait_for_url("**/find/index.html#C41")

    assert "Dead: Depth sounder" in page.locator(".lb-find-marks").inner_text()


def test_the_home_page_leads_to_the_fault_finder_and_carries_the_pocket_file(demo: Site, open_page):
    page = open_page(demo.home)

    assert (demo.root / "pocket.html").is_file()
    assert page.locator("a[href='pocket.html']").is_visible()
    page.locator("a[href='find/index.html']").first.click()
    page.get_by_role("searchbox").wait_for()


def test_the_page_can_be_worked_with_the_keyboard_alone(dinghy):
    dinghy.get_by_role("searchbox").focus()
    dinghy.keyboard.type("sounder")
    for _ in range(12):
        dinghy.keyboard.press("Tab")
        if "It is dead" in dinghy.evaluate("document.activeElement.textContent"):
            break
    dinghy.keyboard.press("Enter")

    assert "lb-find-fault" == dinghy.evaluate("document.activeElement.id")
    assert "Dead: Depth sounder" in dinghy.locator(".lb-find-marks").inner_text()


def test_every_control_has_a_name_that_a_screen_reader_speaks(dinghy):
    dead(dinghy, "sounder")
    nameless = dinghy.evaluate(
        """() => [...document.querySelectorAll("button, input, select, summary, a[href]")]
            .filter((e) => !(e.getAttribute("aria-label") || e.textContent.trim() || e.labels?.length)).map((e) => e.outerHTML)"""
    )

    assert [] == nameless


def test_a_thumb_hits_every_button(dinghy):
    dead(dinghy, "sounder")
    heights = dinghy.evaluate(
        "() => [...document.querySelectorAll('.lb-find button, .lb-find input, .lb-find select')].map((e) => e.offsetHeight)"
    )

    assert min(heights) >= 44  # WCAG 2.2, 2.5.8 asks 24; a wet thumb wants more


@pytest.fixture
def alarms(files, open_page) -> Iterator[tuple]:
    """The file with harmful names, and what it managed to run."""
    page = open_page(files("hostile"), viewport=PHONE)
    heard: list[str] = []
    page.on("dialog", lambda dialog: (heard.append(dialog.message), dialog.dismiss()))
    yield page, heard


@pytest.mark.parametrize("words, name", [("script alert", HARM), (RIGHT_TO_LEFT, RIGHT_TO_LEFT), ("lamp lamp", LONG)])
def test_names_of_any_kind_stay_text(words, name, alarms):
    page, heard = alarms
    dead(page, words)
    page.locator(".lb-find-all > summary").click()
    shown = page.locator(".lb-find-marks").inner_text()

    assert " ".join(name.split()) in " ".join(shown.split())
    assert [] == heard
    assert 0 == page.locator("#lb-find script, #lb-find b").count()
    assert PHONE["width"] == page.evaluate("document.documentElement.scrollWidth")
