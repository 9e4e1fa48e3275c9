"""Drawings in the browser: as wide as the page, larger by wheel, keys and fingers, and the way of the current lit."""

from __future__ import annotations

import pytest

from tests.browser.conftest import DESK, PHONE, Site

FOCUS = """(key) => {
  const found = [...document.querySelectorAll(".lb-drawing a.lb-item")].find((item) => item.dataset.item === key);
  found.focus();
  return [...document.querySelectorAll(".lb-lit[data-item]")].map((item) => item.dataset.item)
    .filter((key) => !key.startsWith("~"));
}"""
"""Brings the keyboard to an item; returns what is lit then."""
WIDTH = "document.querySelector('.lb-drawing > svg').getBoundingClientRect().width"
PINCH = """([from, to]) => {
  const box = document.querySelector(".lb-drawing"), frame = box.getBoundingClientRect();
  const finger = (identifier, along) => new Touch(
    { identifier, target: box, clientX: frame.left + along * frame.width, clientY: frame.top + frame.height / 2 });
  const send = (kind, apart) => {
    const touches = [finger(0, 0.5 - apart / 2), finger(1, 0.5 + apart / 2)];
    const event = new TouchEvent(kind, { touches, targetTouches: touches, bubbles: true, cancelable: true });
    box.dispatchEvent(event);
    return event.defaultPrevented;
  };
  return [send("touchstart", from), send("touchmove", to)];
}"""
"""Two fingers on the drawing, so many times its width apart, then moved; whether the browser's own zoom was stopped."""
FINGER = {"viewport": PHONE, "has_touch": True, "is_mobile": True}


@pytest.fixture
def ship(demo: Site):
    return demo.root / "drawings" / "ship.html"


def strip(demo: Site):
    return demo.consumer


def test_focus_lights_the_way_from_each_source_to_a_charger_fuse_and_nothing_else(ship, open_page):
    lit = open_page(ship).evaluate(FOCUS, "F14")

    assert sorted(lit) == ["F14", "F51", "F52", "T2", "W37", "W90", "W91", "W93", "W94", "X8"]


def test_the_way_goes_on_over_a_reference_to_the_sheet_before(ship, open_page):
    """The windlass feeder hangs on a bar that the house bar feeds, and the start battery by its paralleling switch."""
    lit = open_page(ship).evaluate(FOCUS, "W65")

    assert {"W65", "X2", "Q1", "X1", "F1", "G1", "F2", "G2", "G4", "G6", "X8", "X16", "Q3", "G3"} <= set(lit)
    assert {"X17", "T5", "T4"}.isdisjoint(lit)


def test_an_item_without_the_keyboard_lights_nothing(ship, open_page):
    page = open_page(ship)
    page.evaluate(FOCUS, "F14")
    page.evaluate("document.activeElement.blur()")

    assert 0 == page.locator(".lb-lit, .lb-dim").count()


def test_a_mouse_over_an_item_lights_the_way_as_the_keyboard_does(ship, open_page):
    page = open_page(ship)
    page.locator(".lb-drawing a[data-item=F14] text").first.hover()

    assert 1 == page.locator(".lb-lit[data-item=X8]").count()
    page.locator("h1").hover()
    assert 0 == page.locator(".lb-lit").count()


def test_on_a_phone_the_first_tap_lights_the_way_and_the_second_opens_the_page(ship, open_page):
    page = open_page(ship, viewport=PHONE, has_touch=True, is_mobile=True)
    address = page.url
    page.evaluate(PINCH, [0.2, 0.7])
    link = page.locator(".lb-drawing a[data-item=F14] text").first
    link.tap()
    page.wait_for_timeout(100)

    assert address == page.url
    assert 1 == page.locator(".lb-lit[data-item=F51]").count()
    link.tap()
    page.wait_for_url("**/F14.html")


def test_on_a_phone_a_tap_on_another_item_lights_that_and_one_beside_them_nothing(ship, open_page):
    page = open_page(ship, viewport=PHONE, has_touch=True, is_mobile=True)
    page.evaluate(PINCH, [0.2, 0.7])
    lit = []
    for key in ("F14", "F18"):
        page.locator(f".lb-drawing a[data-item={key}] text").first.tap()
        lit.append([page.locator(f".lb-lit[data-item={key}]").count() for key in ("F14", "F18")])
    page.locator("h1").tap()

    assert [[1, 0], [0, 1]] == lit
    assert 0 == page.locator(".lb-lit").count()


def test_on_a_phone_what_has_no_way_opens_at_once(demo: Site, open_page):
    page = open_page(demo.root / "orientation" / "places.html", viewport=PHONE, has_touch=True, is_mobile=True)
    page.locator(".lb-drawing a[data-item='dot 1']").first.tap()
    page.wait_for_url("**/Q1.html")


@pytest.mark.parametrize(
    "hand, path, said",
    [
        ({"viewport": DESK}, "drawings/ship.html", "Ctrl and wheel, or + − 0"),
        (FINGER, "drawings/ship.html", "Tap: the way of the current. Again: its page. Two fingers: larger."),
        (FINGER, "orientation/places.html", "Tap: its page. Two fingers: larger."),
    ],
)
def test_a_drawing_says_only_what_the_hand_at_it_can_do(hand, path, said, demo: Site, open_page):
    hints = open_page(demo.root / path, **hand).locator(".lb-zoom").first.locator("span")
    told = hints.evaluate_all("all => all.filter(e => e.offsetWidth).map(e => e.textContent)")

    assert [said] == told


def test_on_a_strip_what_feeds_an_item_lies_above_it(demo: Site, open_page):
    page = open_page(strip(demo))
    keys = (
        page.locator(".lb-drawing > svg")
        .first.locator("a.lb-device")
        .evaluate_all("all => all.map(e => e.dataset.item)")
    )
    fuse = next(key for key in keys[2:] if key.startswith("F"))
    lit = [key for key in page.evaluate(FOCUS, fuse) if key in keys]

    assert keys[: keys.index(fuse) + 1] == lit


def test_what_is_lit_is_told_by_its_width_and_not_by_its_colour_alone(ship, open_page):
    page = open_page(ship)
    line = page.locator(".lb-drawing a[data-item=W93] > path").first
    before = line.evaluate("e => getComputedStyle(e).strokeWidth")
    page.evaluate(FOCUS, "F14")

    assert ("2px", "4px") == (before, line.evaluate("e => getComputedStyle(e).strokeWidth"))


def test_nothing_is_lit_or_faded_on_paper(ship, open_page):
    page = open_page(ship)
    page.evaluate(FOCUS, "F14")
    page.get_by_role("button", name="Larger").first.click()
    page.emulate_media(media="print")
    faded = page.locator(".lb-item").evaluate_all("all => all.filter(e => getComputedStyle(e).opacity !== '1').length")

    assert 0 == faded
    assert 420 == round(page.evaluate(WIDTH) * 25.4 / 96)  # A3 [mm]
    assert page.locator(".lb-zoom").first.is_hidden()


@pytest.mark.parametrize("kind", ["ship", "24-V-DC", "negative"])
def test_each_item_of_a_sheet_is_reached_by_keyboard_and_has_a_name(kind, demo: Site, open_page):
    page = open_page(demo.root / "drawings" / f"{kind}.html")
    nameless = page.evaluate(
        """() => [...document.querySelectorAll(".lb-item:is(.lb-device, .lb-cable, .lb-node, .lb-reference)")].filter((item) => {
             item.focus();
             const name = item.querySelector(":scope > title")?.textContent || item.textContent;
             return document.activeElement !== item || !name.trim();
           }).map((item) => item.outerHTML.slice(0, 100))"""
    )

    assert [] == nameless


@pytest.mark.parametrize("viewport", [DESK, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("script", [True, False])
def test_a_sheet_is_as_wide_as_its_page(viewport, script, ship, open_page):
    page = open_page(ship, viewport=viewport, java_script_enabled=script)
    box = page.locator(".lb-drawing").first.bounding_box()
    sheet = page.locator(".lb-drawing > svg").first.bounding_box()

    assert abs(box["width"] - sheet["width"]) <= 2  # its border
    assert box["width"] > (0.7 if viewport is DESK else 0.85) * viewport["width"]


def test_ctrl_and_wheel_make_it_larger_and_the_wheel_alone_scrolls_the_page(ship, open_page):
    page = open_page(ship)
    fit = page.evaluate(WIDTH)
    box = page.locator(".lb-drawing").first.bounding_box()
    page.mouse.move(box["x"] + 200, box["y"] + 200)
    page.mouse.wheel(0, 100)
    page.wait_for_function("scrollY > 50")
    assert fit == page.evaluate(WIDTH)
    page.keyboard.down("Control")
    page.mouse.wheel(0, -300)
    page.keyboard.up("Control")
    page.wait_for_function(f"{WIDTH} > {fit * 1.5}")


def test_the_point_under_the_wheel_stays_under_it(ship, open_page):
    page = open_page(ship)
    text = page.locator(".lb-drawing a[data-item=F14] text").first
    at = text.bounding_box()
    page.mouse.move(at["x"] + 2, at["y"] + 2)
    page.keyboard.down("Control")
    page.mouse.wheel(0, -200)
    page.keyboard.up("Control")
    page.wait_for_function("document.querySelector('.lb-zoomed')")
    now = text.bounding_box()

    assert abs(now["x"] - at["x"]) < 6 and abs(now["y"] - at["y"]) < 6


def test_keys_make_it_larger_smaller_and_whole_again(ship, open_page):
    page = open_page(ship)
    page.locator(".lb-drawing").first.focus()
    seen = []
    for key in ("+", "+", "-", "0"):
        page.keyboard.press(key)
        seen.append(page.evaluate("document.querySelector('.lb-drawing').style.getPropertyValue('--lb-zoom')"))

    assert ["1.25", "1.5625", "1.25", "1"] == seen


def test_buttons_do_what_the_keys_do_and_have_names(ship, open_page):
    page = open_page(ship)
    fit = page.evaluate(WIDTH)
    group = page.get_by_role("group", name="Size of: Single-line diagram of the ship")
    group.get_by_role("button", name="Larger").click()
    larger = page.evaluate(WIDTH)
    group.get_by_role("button", name="Whole sheet").click()

    assert larger > 1.2 * fit
    assert fit == page.evaluate(WIDTH)
    assert group.get_by_role("button", name="Whole sheet").is_disabled()


def test_two_fingers_make_it_larger_and_smaller(ship, open_page):
    page = open_page(ship, viewport=PHONE, has_touch=True)
    fit = page.evaluate(WIDTH)

    assert [True, True] == page.evaluate(PINCH, [0.2, 0.6])
    assert abs(page.evaluate(WIDTH) / fit - 3) < 0.05
    page.evaluate(PINCH, [0.6, 0.1])
    assert fit == page.evaluate(WIDTH)


def test_a_larger_drawing_scrolls_in_its_box_and_leaves_the_page_as_wide_as_it_was(ship, open_page):
    page = open_page(ship, viewport=PHONE, has_touch=True)
    page.evaluate(PINCH, [0.2, 0.9])

    assert PHONE["width"] == page.evaluate("document.documentElement.scrollWidth")
    assert page.locator(".lb-drawing").first.bounding_box()["height"] < PHONE["height"]


def test_a_drag_moves_a_larger_drawing_and_opens_no_link(ship, open_page):
    page = open_page(ship)
    for _ in range(4):
        page.get_by_role("button", name="Larger").first.click()
    address = page.url
    link = page.locator(".lb-drawing a[data-item=X1] text").first
    link.scroll_into_view_if_needed()
    at = link.bounding_box()
    before = page.evaluate("document.querySelector('.lb-drawing').scrollLeft")
    page.mouse.move(at["x"] + 3, at["y"] + 3)
    page.mouse.down()
    page.mouse.move(at["x"] - 97, at["y"] + 3, steps=4)
    page.mouse.up()

    assert before + 100 == page.evaluate("document.querySelector('.lb-drawing').scrollLeft")
    assert address == page.url


@pytest.mark.parametrize("path", ["drawings/ship.html", "panels/X4.html"])
def test_red_night_stays_red_while_a_way_is_lit(path, demo: Site, open_page):
    page = open_page(demo.root / path)
    page.evaluate("document.body.setAttribute('data-md-color-scheme', 'red')")
    page.locator(".lb-drawing a.lb-item").first.focus()
    page.wait_for_timeout(500)  # colours fade over
    drawn = ".lb-zoom button, .lb-drawing .lb-item, .lb-drawing .lb-item > path"
    colours = page.locator(drawn).evaluate_all(
        "all => [...new Set(all.flatMap(e => [getComputedStyle(e).stroke, getComputedStyle(e).color]))]"
    )

    assert [] == [c for c in colours if c != "none" and not c.endswith(", 0, 0)")]
