"""The SVG text: links, names, colours by variables, nothing of the inventory taken as markup, same bytes each time."""

from __future__ import annotations

import re
import subprocess
import sys
from xml.etree import ElementTree

import pytest
from loombook.drawings import strip
from loombook.drawings.drawset import draw
from loombook.drawings.model import Branch, Cable, DrawingSet, Element, Node, OneLine, TitleBlock
from loombook.drawings.scene import Scene
from loombook.drawings.svg import written

from tests.drawings import samples
from tests.drawings.random_sheets import HARD

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def texts(yacht: dict[str, Scene]) -> dict[str, str]:
    """All drawings of the yacht as SVG."""
    return {name: written(scene) for name, scene in yacht.items()}


def test_every_device_is_a_link_with_a_name(texts: dict[str, str]) -> None:
    links = [a for a in ElementTree.fromstring(texts["ship"]).iter(f"{SVG}a")]

    assert {a.get("href") for a in links} >= {"item:F1", "item:X1", "item:G1", "item:W1", "item:P1"}
    assert all(a[0].tag == f"{SVG}title" and a[0].text for a in links)


def test_the_root_tells_what_the_drawing_is(texts: dict[str, str]) -> None:
    for text in texts.values():
        root = ElementTree.fromstring(text)

        assert root.get("role") == "group"
        assert root.get("aria-label")
        assert root.get("viewBox") == f"0 0 {root.get('width')} {root.get('height')}"
        assert [child.tag for child in root][:2] == [f"{SVG}title", f"{SVG}desc"]


def test_every_colour_can_be_set_by_the_page(texts: dict[str, str]) -> None:
    for text in texts.values():
        bare = re.sub(r"var\(--lb-[a-z0-9]+,#[0-9a-f]+\)", "", text)

        assert not re.search(r"#[0-9a-f]{3,6}\b|rgb\(|black|white", bare)


def test_no_drawing_carries_ids_that_could_clash(texts: dict[str, str]) -> None:

    assert not any(re.search(r"\sid=", text) for text in texts.values())


def test_text_is_text_of_at_least_twelve_pixels(texts: dict[str, str]) -> None:
    sizes = [float(size) for text in texts.values() for size in re.findall(r"font-size:([\d.]+)px", text)]

    assert sizes
    assert min(sizes) >= 12


@pytest.mark.parametrize("name", HARD)
def test_nothing_of_the_inventory_is_taken_as_markup(name: str) -> None:
    sheet = OneLine(
        "hard",
        name,
        (Node(f"X {name}", (name,), name=name, href=f"item:{name}"),),
        (Branch("b", f"X {name}", Element("lamp", f"E {name}", (name,), name), (Cable(f"W {name}", (name,)),)),),
        name,
    )
    text = draw(DrawingSet(TitleBlock(name, name, name, name), (sheet,)))["hard"]
    root = ElementTree.fromstring(text)

    assert not list(root.iter(f"{SVG}script")) and "<script" not in text
    assert {part.tag for part in root.iter()} <= {
        SVG + tag for tag in ("svg", "title", "desc", "g", "a", "path", "rect", "text")
    }


def test_the_full_name_is_kept_where_the_label_is_cut() -> None:
    long = "A very long name that no label can hold " * 5
    sheet = OneLine("long", "Long", (Node("X1"),), (Branch("b", "X1", Element("lamp", "E1", (long,))),))
    text = draw(DrawingSet(samples.BLOCK, (sheet,)))["long"]

    assert "…" in text
    assert long.strip() in text


def test_the_same_yacht_gives_the_same_bytes_in_another_process() -> None:
    code = (
        "import hashlib; from tests.drawings import samples; from loombook.drawings import strip;"
        "from loombook.drawings.drawset import draw;"
        "text = ''.join(draw(samples.book()).values()) + strip.draw(samples.strip());"
        "print(hashlib.sha256(text.encode()).hexdigest())"
    )
    runs = {
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            text=True,
            check=True,
            env={"PYTHONHASHSEED": seed, "PATH": ""},
        ).stdout
        for seed in ("1", "2")
    }

    assert len(runs) == 1
    assert all(len(run.strip()) == 64 for run in runs)


def test_live_parts_are_heavier_and_dead_parts_dashed() -> None:
    text = draw(DrawingSet(samples.BLOCK, (samples.isolation(),)))["isolation"]

    assert "stroke-dasharray:6 4" in text
    assert "stroke-width:3.6" in text


def test_a_strip_needs_no_paper() -> None:

    assert "data-paper" not in strip.draw(samples.strip())
