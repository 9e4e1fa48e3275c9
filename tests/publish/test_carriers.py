"""Site, PDF and pocket file say the same of every consumer's fuse and place, and hold names of every kind as text."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from loombook.inventory import read_text
from tests.manual.boats import HARM, LONG, VESSELS, study_of, worked, worked_vessel
from tests.publish.carriers import Carriers, Elements, letters, published

NAMES = {
    "C1": HARM,
    "C2": "#panic() #[x] $x^2$ @fig *bold* _em_ `raw` <label> \\ // /* */ ~ -- = + [b] \"q\" 'q' ; #let",
    "C3": "<b onclick=alert(2)>bold</b> <img src=x onerror=alert(3)> </script> <!--find--> {{ page }} ${x} %s",
    "C4": "\u05d0\u05d5\u05e8 \u05e2\u05d5\u05d2\u05df 24 V",
    "C5": "\u0645\u0636\u062e\u0629 \u0622\u0633\u0646\u0629",
    "C6": "测深仪 回声",
    "C7": "गहराई मापक เครื่องวัด 수심계",
    "C8": LONG,
    "C9": "X" * 200,
    "C10": "Ωмега Éclairage été ß ﬁ 🚰",
    "C11": "| a | b | ::: !!! note --- ``` [x](javascript:alert(4)) &lt;i&gt; &#60;",
}
"""Id → what somebody might call a device."""

NASTY = """
vessel: {name: Nasty, invented: yes}
spaces: {bilge: {name: "<i>Bilge</i> #1 $ *"}}
batteries: {G1: {name: Battery, chemistry: agm lead-acid, cells: {series: 6, capacity: 100 Ah}}}
bars: {X1: {name: Main bar}, X5: {name: Bare bar}, X2: {name: "Far @ring `bar`"}, X3: {name: Negative}, X9: {name: Bar that nothing feeds}}
fuses:
  F1: {rating: 50 A, kind: maxi blade}
  F2: {rating: 50 A, kind: maxi blade}
  F3: {name: "Tail </dd> #fuse $x$", rating: 2 A, kind: glass, hidden: yes, at: {space: bilge, place: "<script>alert(5)</script> #h(1cm) \\\\ מתחת"}}
panels:
  X4: {name: "Panel | #4 <u>", kind: blade, negative: X3, at: {space: bilge, place: "`left` of the $door$, *up*"}, ways: {WAYS}}
runs:
  feed: [G1 +, W1: "16 mm², 1 m", X1]
  port side of the ring: [X1, F1, W2: "10 mm², 5 m", X2]
  starboard side of the ring: [X1, F2, W3: "10 mm², 7 m", X2]
  bare: [G1 +, W6: "1.5 mm², 1 m", X5]
  panel: [X2, W5: "10 mm², 1 m", X4]
  minus: [G1 -, W4: "16 mm², 1 m", X3]
circuits:
"""


def nasty() -> str:
    """A boat with such names, a ring, a consumer with no way to it, one with no fuse and several with no place."""
    quoted = {id: '"' + name.replace("\\", "\\\\").replace('"', '\\"') + '"' for id, name in NAMES.items()}
    ways = ", ".join(f"{n}: {{rating: 5 A, label: {name}}}" for n, name in enumerate(quoted.values(), 1))
    rows = [
        f'  {id}: {{name: {name}, from: X4 way {n}, cable: "1.5 mm², 2 m", load: 1 A}}'
        for n, (id, name) in enumerate(quoted.items(), 1)
    ]
    rows += [
        '  C20: {name: No way to it, from: X9, back to: X3, cable: "1.5 mm², 2 m", load: 1 A, at: "bilge, under <b>it</b>"}',
        '  C21: {name: On the ring, from: X2, back to: X3, cable: ["1.5 mm², 2 m", F3, "1.5 mm², 1 m"], load: 1 A}',
        "  C22: {name: Without a load or a cable, from: X5, back to: X3}",
        '  C23: {name: Straight from the ring, from: X2, back to: X3, cable: "10 mm², 1 m", load: 1 A}',
    ]
    return NASTY.replace("WAYS", ways) + "\n".join(rows) + "\n"


@pytest.fixture(scope="module")
def carriers(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Carriers]:
    """Publishes a vessel of the repository, or `nasty`, once."""
    made: dict[str, Carriers] = {}

    def of(name: str) -> Carriers:
        if name not in made:
            vessel = worked(read_text(nasty())) if name == "nasty" else worked_vessel(name)
            made[name] = published(*vessel, tmp_path_factory.mktemp(name), whole=name == "nasty")
        return made[name]

    return of


@pytest.mark.parametrize("name", [*VESSELS, "nasty"])
def test_site_and_pocket_file_and_pdf_say_the_same_of_every_consumer(name, carriers):
    """Fuse, place, spare, every fuse in the line, its own place: whatever stands first on its page stands in all three."""
    found: Carriers = carriers(name)
    site, pocket, paper = found.on_site(), found.in_pocket(), found.on_paper()
    unlike = [
        (id, term, words, pocket[id].get(term), paper[id].get(term))
        for id in found.consumers
        for term, words in site[id].items()
        if not words or not letters(words) == letters(pocket[id].get(term, "")) == letters(paper[id].get(term, ""))
    ]

    assert [] == unlike
    assert set(found.consumers) == set(site) == set(pocket) == set(paper)
    assert {id: list(terms) for id, terms in site.items()} == {id: list(terms) for id, terms in paper.items()}


@pytest.mark.parametrize("name", [*VESSELS, "nasty"])
def test_the_list_from_a_to_z_has_the_fuse_and_the_place_of_the_page(name, carriers):
    found: Carriers = carriers(name)
    site, listed = found.on_site(), found.in_the_list()

    assert set(found.consumers) == set(listed)
    for id, (fuse, place) in listed.items():
        own = site[id]
        if fuse == "none of its own":
            assert "none of its own" in own["Fuse"] or "no way from any source" in own["Fuse"]
        else:
            assert fuse.partition("; and ")[0] == own.get("Fuse", own.get("Breaker")), id
            assert place == own["Where"], id


def test_the_fuse_of_every_consumer_is_one_of_the_inventory(carriers):
    """So that three carriers which agree do not agree on something empty."""
    network = study_of("demo").network
    ratings = {
        f"{edge.record.rating}"
        for edge in network.edges.values()
        if edge.kind in ("fuse", "breaker") and edge.record.rating
    }
    told = [
        words
        for answer in carriers("demo").on_paper().values()
        for term, words in answer.items()
        if term in ("Fuse", "Breaker")
    ]
    with_one = [words for words in told if not words.startswith(("none of its own", "no way"))]

    assert len(with_one) > 50
    assert [] == [words for words in with_one if not any(words.startswith(f"{rating} ") for rating in ratings)]


def test_a_consumer_without_a_way_or_a_place_or_a_fuse_says_so_in_all_three(carriers):
    found: Carriers = carriers("nasty")
    for answers in (found.on_site(), found.in_pocket(), found.on_paper()):
        assert "no way from any source to this device is written down" in answers["C20"]["Fuse"]
        assert (
            answers["C21"]["Fuse"].startswith("2 A glass fuse")
            and "place not written down" in answers["C21"]["The device itself"]
        )
        assert "none of its own" in answers["C22"]["Fuse"]
        assert (
            answers["C23"]["Fuse"].startswith("50 A maxi blade fuse")
            and "still is live" in answers["C23"]["Not by this fuse alone"]
        )


@pytest.mark.parametrize("id", NAMES)
def test_a_name_of_any_kind_is_read_as_written_in_all_three(id, carriers):
    """As a device's name, as the label of its fuse, and in the name and the place of its panel."""
    found: Carriers = carriers("nasty")
    fuse = f"5 A blade fuse, way {id[1:]} of Panel | #4 <u>, labelled {NAMES[id]}"
    where = "<i>Bilge</i> #1 $ *: `left` of the $door$, *up*"

    heads = (found.heads_on_site(), found.heads_in_pocket(), found.heads_on_paper())
    for named, answers in zip(heads, (found.on_site(), found.in_pocket(), found.on_paper())):
        assert letters(NAMES[id]) == letters(named[id])
        assert letters(fuse) == letters(answers[id]["Fuse"])
        assert letters(where) in letters(answers[id]["Where"])


def test_no_name_becomes_an_element_or_an_address(carriers):
    found: Carriers = carriers("nasty")
    for path in (*sorted(found.site.glob("circuits/*.html")), found.site / "find/index.html", found.pocket):
        elements = Elements(path.read_text(encoding="utf-8")).found

        assert {"b", "i", "u", "img"}.isdisjoint(tag for tag, _ in elements), path.name
        assert [] == [name for _, attributes in elements for name in attributes if name.startswith("on")], path.name
        assert [] == [
            words
            for _, attributes in elements
            for words in attributes.values()
            if (words or "").startswith("javascript:")
        ], path.name


def test_no_name_runs_in_a_browser(carriers, chromium):
    """Also when it is looked up, ticked and searched for."""
    found: Carriers = carriers("nasty")
    page, alarms = chromium.new_page(), []
    page.on("dialog", lambda dialog: (alarms.append(dialog.message), dialog.dismiss()))
    for path in (found.site / "circuits/C3.html", found.site / "find/index.html", found.pocket):
        page.goto(path.as_uri())
        if path.stem != "C3":
            page.get_by_role("searchbox").fill("bold alert")
            page.get_by_role("button", name="It is dead: find out why").first.click()
            page.locator(".lb-find-all > summary").click()

            assert NAMES["C3"] in page.locator(".lb-find-marks").inner_text()
    page.close()

    assert [] == alarms
