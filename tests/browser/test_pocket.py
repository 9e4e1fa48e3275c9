"""The pocket file on a phone at sea: one file, no network, script or none, in any colours."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from loombook.publish.pocket import pocket, write_pocket
from tests.browser.conftest import DESK, PHONE, Site
from tests.browser.test_reading import COLOURS, channels
from tests.manual.boats import DINGHY, hostile, of_text, of_vessel
from tests.manual.boats import page as body_of
from tests.manual.reading import answer


@pytest.fixture(scope="module")
def file(demo: Site) -> Path:
    """The demo's own, as the site carries it."""
    return demo.root / "pocket.html"


def test_the_demos_pocket_file_is_under_a_megabyte(file):
    assert file.stat().st_size < 1_000_000


def test_it_asks_for_nothing_but_itself(file, open_page, chromium):
    context = chromium.new_context(viewport=PHONE, offline=True)
    asked = []
    context.on("request", lambda request: asked.append(request.url))
    page = context.new_page()
    page.goto(file.as_uri(), wait_until="load")
    page.get_by_role("searchbox").fill("bilge")
    page.locator("summary").evaluate_all("rows => rows.forEach(row => row.click())")
    page.wait_for_timeout(200)
    context.close()

    assert [file.as_uri()] == asked


def test_no_link_in_it_leads_out_of_it(file):
    assert [] == re.findall(r'(?:href|src)="(?!#)[^"]*"', file.read_text(encoding="utf-8"))


def test_every_link_in_it_leads_to_a_place_in_it(file):
    text = file.read_text(encoding="utf-8")
    ids = set(re.findall(r'\sid="([^"]+)"', text))

    assert [] == [
        link for link in re.findall(r'href="#([^"]*)"', text) if not link.startswith("look=") and link not in ids
    ]


def test_no_id_stands_twice_in_it(file):
    ids = re.findall(r'\sid="([^"]+)"', file.read_text(encoding="utf-8"))

    assert sorted(set(ids)) == sorted(ids)


@pytest.mark.parametrize("name", ["dinghy", "demo"])
def test_without_script_every_device_has_its_fuse_and_place_as_its_page_says(name, tmp_path, open_page):
    manual = of_text(DINGHY) if name == "dinghy" else of_vessel(name)
    page = open_page(write_pocket(manual, tmp_path), viewport=PHONE, java_script_enabled=False)
    page.locator("#devices").scroll_into_view_if_needed()
    for thing in (thing for thing in manual.find["things"] if "consumer" in thing):
        row = page.locator(f"#{thing['id']}")
        told = dict(zip(row.locator("dt").all_text_contents(), row.locator("dd").all_text_contents()))
        own = answer(body_of(manual, f"circuits/{thing['id']}.md"))

        assert row.is_visible()
        assert own == {term: told[term] for term in own}


def test_without_script_the_isolation_card_stands_open_and_says_its_actions(file, open_page):
    page = open_page(file, viewport=PHONE, java_script_enabled=False)

    assert page.locator("#emergency-isolate .lb-steps > li").first.is_visible()
    assert "STILL LIVE" in page.locator("#emergency-isolate").inner_text()


@pytest.mark.parametrize("script", [True, False])
def test_no_phone_has_to_scroll_sideways(script, file, open_page):
    page = open_page(file, viewport=PHONE, java_script_enabled=script)
    page.locator("summary").first.click()

    assert PHONE["width"] == page.evaluate("document.documentElement.scrollWidth")


def test_the_colours_are_remembered(file, open_page):
    page = open_page(file, viewport=PHONE)
    page.get_by_label("red night").check()
    page.reload()

    assert page.get_by_label("red night").is_checked()
    assert "rgb(0, 0, 0)" == page.evaluate("getComputedStyle(document.body).backgroundColor")


def test_a_phone_that_keeps_nothing_still_changes_colours(file, open_page):
    page = open_page(file, viewport=PHONE)
    page.add_init_script("Object.defineProperty(window, 'localStorage', { get() { throw new Error('no store'); } })")
    page.reload()
    page.get_by_label("red night").check()

    assert "rgb(255, 0, 0)" == page.evaluate("getComputedStyle(document.body).color")
    assert page.get_by_role("searchbox").is_visible()


@pytest.mark.parametrize("script", [True, False])
@pytest.mark.parametrize(
    "choice, ground", [("day", "rgb(255, 255, 255)"), ("dark", "rgb(15, 20, 24)"), ("red night", "rgb(0, 0, 0)")]
)
def test_colours_change_with_and_without_script(choice, ground, script, file, open_page):
    page = open_page(file, viewport=PHONE, java_script_enabled=script)
    page.get_by_label(choice).check()

    assert ground == page.evaluate("getComputedStyle(document.body).backgroundColor")


@pytest.mark.parametrize("device, ground", [("light", "rgb(255, 255, 255)"), ("dark", "rgb(15, 20, 24)")])
def test_the_first_look_follows_the_device(device, ground, file, open_page):
    page = open_page(file, viewport=PHONE, color_scheme=device)

    assert ground == page.evaluate("getComputedStyle(document.body).backgroundColor")


def test_red_night_shows_no_other_light_than_red(file, open_page):
    page = open_page(file, viewport=PHONE)
    page.get_by_label("red night").check()
    page.get_by_role("searchbox").fill("sounder")
    page.get_by_role("button", name="It is dead").first.click()
    page.locator("summary").evaluate_all("rows => rows.forEach(row => row.click())")

    assert {} == {
        colour: where
        for colour, where in page.evaluate(COLOURS).items()
        if (parts := channels(colour)) and (parts[1], parts[2]) != (0, 0)
    }


def test_a_way_on_a_panels_front_leads_to_its_answer(file, open_page):
    page = open_page(file, viewport=DESK)
    front = page.locator("#panels details", has_text="Electronics panel").first
    front.locator("summary").click()
    front.locator("svg a").first.click()

    assert page.locator(".lb-find-result").first.is_visible()


def test_a_panels_front_shows_the_panel_and_not_an_empty_sheet(file, open_page):
    page = open_page(file, viewport=PHONE)
    front = page.locator("#panels details").first
    front.locator("summary").click()
    box = front.locator(".lb-drawing").bounding_box()
    way = front.locator("svg a").first.bounding_box()

    assert way["x"] < box["x"] + box["width"] / 2


def test_the_same_manual_gives_the_same_bytes():
    assert pocket(of_text(DINGHY)) == pocket(of_text(DINGHY))


def test_harmful_names_are_text_in_its_markup():
    text = pocket(of_text(hostile()))

    assert "<script>alert" not in text
    assert 2 == text.count("<script")  # the data block and its own


def test_it_is_written_whole_or_not_at_all(tmp_path, monkeypatch):
    kept = write_pocket(of_text(DINGHY), tmp_path)
    before = kept.read_bytes()
    monkeypatch.setattr(Path, "write_text", full)
    with pytest.raises(OSError, match="no space"):
        write_pocket(of_text(hostile()), tmp_path)

    assert before == kept.read_bytes()
    assert ["pocket.html"] == [path.name for path in tmp_path.iterdir()]


def full(self: Path, *args, **more) -> int:
    raise OSError("no space left")
