"""The demo's manual as a reader has it: from a folder, without a network, on a phone, at night."""

from __future__ import annotations

import re
import string

import pytest

from tests.browser.conftest import DESK, PHONE, Site

KINDS = ["home", "consumer", "drawing", "card"]
COLOURS = """() => {
  const found = {};
  for (const element of document.querySelectorAll("body, body *")) {
    if (!element.checkVisibility({ opacityProperty: true, visibilityProperty: true })) continue;
    for (const part of [null, "::before", "::after"]) {
      const style = getComputedStyle(element, part);
      if (part && ["none", "normal"].includes(style.content)) continue;
      const seen = [style.color, style.backgroundColor];
      for (const side of ["Top", "Right", "Bottom", "Left"])
        if (parseFloat(style[`border${side}Width`])) seen.push(style[`border${side}Color`]);
      if (element instanceof SVGElement) seen.push(style.fill, style.stroke);
      for (const colour of seen) found[colour] ??= `${part ?? ""} ${element.outerHTML.slice(0, 120)}`;
    }
  }
  return found;
}"""
"""In the page: each colour in use → where it was first seen."""


def channels(colour: str) -> tuple[float, float, float] | None:
    """Red, green and blue of a computed colour, or None for one that shows nothing."""
    numbers = [float(number) for number in re.findall(r"[\d.]+", colour)] if colour.startswith("rgb") else []
    return None if not numbers or (len(numbers) == 4 and numbers[3] == 0) else tuple(numbers[:3])


def change_colours(page) -> None:
    page.locator("form[data-md-component=palette] label:not([hidden])").click()


def scheme(page) -> str:
    return page.evaluate("document.body.getAttribute('data-md-color-scheme')")


def in_red(open_page, path, **settings):
    """The page at night, after somebody chose red."""
    page = open_page(path, **settings)
    while scheme(page) != "red":
        change_colours(page)
    return page


def test_the_manual_opens_from_its_folder(demo: Site, open_page):
    page = open_page(demo.home)

    assert page.locator("h1").is_visible()
    assert page.locator(".lb-meta, .lb-demo").first.is_visible()


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_page_opens_without_network_or_complaint(kind, demo: Site, open_page):
    page = open_page(demo.kinds[kind])

    assert page.locator("h1").is_visible()


READY = "() => !document.querySelector('.md-search-result__meta').textContent.includes('Initializing')"
"""The search has read its index; the theme's own complains of letters typed before."""


def test_typing_echo_sounder_finds_the_depth_sounder(demo: Site, open_page):
    page = open_page(demo.home)
    page.locator("input.md-search__input").click()
    page.wait_for_function(READY)
    page.keyboard.type("echo sounder", delay=20)  # letter by letter: the search must stand each of them
    result = page.locator(".md-search-result__link").first
    result.wait_for(timeout=15_000)

    assert "Depth sounder" in result.inner_text()
    result.click()
    page.wait_for_url(re.compile(re.escape(demo.consumer.name)))
    assert "Depth sounder" in page.locator("h1").inner_text()


def test_the_search_answers_whatever_a_word_begins_with(demo: Site, open_page):
    """Ids and figures end in digits, which the theme's set of words as it comes takes for one another: `s` ended it."""
    page = open_page(demo.home)
    box = page.locator("input.md-search__input")
    box.click()
    page.wait_for_function(READY)
    said = page.locator(".md-search-result__meta")
    unanswered = []
    for letter in string.ascii_lowercase + string.digits:
        box.fill("")
        page.keyboard.press("Shift")  # the theme listens to keys
        page.wait_for_function("element => element.textContent.includes('Type')", arg=said.element_handle())
        page.keyboard.type(letter)
        page.wait_for_function("element => !element.textContent.includes('Type')", arg=said.element_handle())
        if "matching" not in said.inner_text() or said.inner_text().startswith("No"):
            unanswered.append(letter)

    assert not unanswered  # and the browser complained of nothing, which `open_page` asserts


def test_the_fuse_of_a_dead_consumer_stands_on_the_first_screen_of_a_phone(demo: Site, open_page):
    page = open_page(demo.consumer, viewport=PHONE)
    answer = page.locator(".lb-answer").bounding_box()

    assert answer["y"] < PHONE["height"] / 2


@pytest.mark.parametrize("kind", KINDS)
def test_a_phone_shows_no_page_wider_than_itself(kind, demo: Site, open_page):
    page = open_page(demo.kinds[kind], viewport=PHONE)
    too_wide = page.evaluate(
        """() => [...document.querySelectorAll(".md-content *")]
            .filter(e => !e.closest(".lb-drawing > *, .lb-table > *, pre > *") && e.checkVisibility())
            .filter(e => e.getBoundingClientRect().right > innerWidth + 1).map(e => e.outerHTML.slice(0, 120))"""
    )

    assert [] == too_wide
    assert PHONE["width"] == page.evaluate("document.documentElement.scrollWidth")


def test_the_colours_turn_from_day_to_dark_to_red_and_are_remembered(demo: Site, open_page):
    page = open_page(demo.home)
    seen = [scheme(page)]
    for _ in range(3):
        change_colours(page)
        seen.append(scheme(page))
    change_colours(page)
    change_colours(page)
    open_page(demo.consumer, page=page)

    assert ["default", "slate", "red", "default"] == seen
    assert "red" == scheme(page)


@pytest.mark.parametrize("device, expected", [("light", "default"), ("dark", "slate")])
def test_the_first_look_follows_the_device(device, expected, demo: Site, open_page):
    assert expected == scheme(open_page(demo.home, color_scheme=device))


def test_day_colours_chosen_on_a_dark_device_stay(demo: Site, open_page):
    page = open_page(demo.home, color_scheme="dark")
    change_colours(page)
    change_colours(page)
    open_page(demo.consumer, page=page)

    assert "default" == scheme(page)


@pytest.mark.parametrize("kind", KINDS)
def test_red_night_shows_no_other_light_than_red(kind, demo: Site, open_page):
    page = in_red(open_page, demo.kinds[kind])
    page.locator("input.md-search__input").click()
    page.wait_for_timeout(500)  # colours fade over

    assert {} == {
        colour: where
        for colour, where in page.evaluate(COLOURS).items()
        if (parts := channels(colour)) and (parts[1], parts[2]) != (0, 0)
    }


def test_a_drawing_is_seen_and_its_links_lead_to_the_items(demo: Site, open_page):
    page = open_page(demo.drawing)
    drawing = page.locator(".lb-drawing svg").first
    link = drawing.locator("a:has(text)").first
    address = link.evaluate("a => a.href.baseVal || a.getAttribute('href')")

    assert drawing.bounding_box()["width"] > 100
    link.locator("text").first.click()
    page.wait_for_url(lambda url: url.split("#")[0].endswith(address.split("#")[0].replace("../", "")))
    assert page.locator("h1").is_visible()


def test_a_drawing_takes_the_colours_of_the_page(demo: Site, open_page):
    page = in_red(open_page, demo.drawing)
    colours = page.locator(".lb-drawing svg text").evaluate_all("all => all.map(text => getComputedStyle(text).fill)")

    assert "rgb(255, 0, 0)" in colours  # labels; what is of second rank is a darker red
    assert {colour for colour in colours if not re.fullmatch(r"rgb\(2\d\d, 0, 0\)", colour)} == set()


@pytest.mark.parametrize("kind", KINDS)
def test_paper_is_black_on_white_even_when_the_screen_is_red(kind, demo: Site, open_page):
    page = in_red(open_page, demo.kinds[kind])
    page.emulate_media(media="print")
    page.wait_for_timeout(500)

    assert {} == {
        colour: where
        for colour, where in page.evaluate(COLOURS).items()
        if (parts := channels(colour)) and len(set(parts)) != 1
    }
    assert "rgb(255, 255, 255)" == page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert page.locator(".md-header").is_hidden() and page.locator(".md-sidebar").first.is_hidden()


def pages_of(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height of each sheet [mm]."""
    boxes = re.findall(rb"/Type /Page\b(?!s).*?/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf, re.S)
    return [(round(float(w) * 25.4 / 72), round(float(h) * 25.4 / 72)) for w, h in boxes]


def test_the_isolation_card_prints_on_one_sheet_of_a4_front_and_back(demo: Site, open_page):
    page = open_page(demo.card)
    sides = pages_of(page.pdf(format="A4", prefer_css_page_size=True, print_background=False))

    assert [(210, 297)] * 2 == sides


def test_a_card_says_on_paper_which_vessel_and_which_day_it_is_for(demo: Site, open_page):
    page = open_page(demo.card)
    page.emulate_media(media="print")

    assert re.search(r"\d{4}-\d{2}-\d{2}", page.locator(".lb-card .lb-card-head").first.inner_text())


def test_what_is_folded_away_is_open_on_paper_and_folded_again_afterwards(demo: Site, open_page):
    page = open_page(demo.page_with("<details"))
    folded = "document.querySelectorAll('details:not([open])').length"
    before = page.evaluate(folded)
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    during = page.evaluate(folded)
    page.evaluate("dispatchEvent(new Event('afterprint'))")

    assert before > 0
    assert (0, before) == (during, page.evaluate(folded))


def test_a_drawing_and_a_table_can_be_reached_by_keyboard(demo: Site, open_page):
    page = open_page(demo.consumer, viewport=DESK)
    reached = page.evaluate(
        """() => [...document.querySelectorAll(".lb-drawing, .lb-table")]
            .map(e => { e.focus(); return document.activeElement === e; })"""
    )

    assert reached and all(reached)
