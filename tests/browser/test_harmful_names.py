"""A name that would do harm is only read, in a browser too: on its page, in the list of results and in a drawing."""

from __future__ import annotations

import pytest

from tests.browser.conftest import Site
from tests.publish import fake
from tests.publish.site import build_site


@pytest.fixture(scope="module")
def fake_site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    return Site(build_site(fake.manual(), tmp_path_factory.mktemp("fake")))


def test_a_harmful_name_runs_nothing_and_is_shown_as_written(fake_site: Site, open_page):
    page = open_page(fake_site.root / "circuits/C99.html")

    assert fake.NASTY == page.locator("h1").inner_text().removesuffix("¶")
    assert page.title().startswith(fake.NASTY)


def test_a_harmful_name_is_found_by_the_search_and_runs_nothing(fake_site: Site, open_page):
    page = open_page(fake_site.home)
    alarms = []
    page.on("dialog", lambda dialog: alarms.append(dialog.message) or dialog.dismiss())
    page.locator("input.md-search__input").click()
    page.keyboard.type("C99", delay=20)
    page.locator(".md-search-result__link").first.wait_for(timeout=15_000)
    page.wait_for_timeout(300)

    assert [] == alarms
    assert '<script>alert("bilge")</script>' in page.locator(".md-search-result__link").first.inner_text()
