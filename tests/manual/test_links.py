"""Every link of every page leads somewhere, and every thing has a page."""

from __future__ import annotations

import re
from urllib.parse import unquote

import pytest

from .boats import VESSELS, of_vessel, study_of
from .reading import anchors, links


@pytest.fixture(params=VESSELS, scope="module")
def vessel(request) -> str:
    return request.param


def test_no_two_pages_stand_at_one_path(vessel: str) -> None:
    paths = [page.path.casefold() for page in of_vessel(vessel).pages]

    assert sorted(set(paths)) == sorted(paths)


def test_every_link_leads_to_a_place_that_is_there(vessel: str) -> None:
    manual = of_vessel(vessel)
    places = {page.path: anchors(page.body) for page in manual.pages} | {path: set() for path in manual.files}
    dead = []
    for page in manual.pages:
        for scheme, name, anchor in links(page.body):
            path, own = unquote(name), anchor
            if scheme == "item":
                path, _, its = manual.links[unquote(name)][1].partition("#")
                own = anchor or its
            if path not in places or (own and own not in places[path]):
                dead.append(f"{page.path}: {scheme}:{name}#{anchor}")

    assert dead == []


def test_everything_with_an_id_has_a_place(vessel: str) -> None:
    manual, network = of_vessel(vessel), study_of(vessel).network
    ids = {item.id for item in network.inventory.items()} | set(network.consumers)
    ids |= {edge.item for edge in network.edges.values() if edge.path[:1] == ("runs",) and edge.cable}
    ids |= {f"{panel.id} way {number}" for panel in network.inventory.panels.values() for number in panel.ways}
    pages = {page.path: anchors(page.body) for page in manual.pages}
    homeless = []
    for id in ids:
        path, _, anchor = manual.links[id][1].partition("#") if id in manual.links else ("", "", "")
        if path not in pages or (anchor and anchor not in pages[path]):
            homeless.append(id)

    assert homeless == []


def test_no_anchor_stands_twice_on_a_page(vessel: str) -> None:
    twice = []
    for page in of_vessel(vessel).pages:
        found = re.findall(r'\bid="([^"]+)"', page.body) + re.findall(r"\{#([^}\s]+)\}\s*$", page.body, re.M)
        twice += [f"{page.path}#{name}" for name in set(found) if found.count(name) > 1]

    assert twice == []
