"""The site that the plugin makes: whole, linked, harmless and always the same."""

from __future__ import annotations

import datetime
import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from mkdocs.__main__ import cli
from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort

from loombook.diagnostics import Diagnostic, InventoryError, Place
from loombook.manual.model import Manual, Page
from loombook.publish import plugin
from tests.publish import fake
from tests.publish.site import build_site, project, warnings_of

UNREADABLE = InventoryError(
    [Diagnostic("error", "key", "unknown key", Place("vessel/a.yaml", 1, 3, 7))], {"vessel/a.yaml": "  ratting: 3 A\n"}
)


def everything(site: Path) -> dict[str, bytes]:
    return {path.relative_to(site).as_posix(): path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_site(fake.manual(), tmp_path_factory.mktemp("site"))


def test_every_page_drawing_and_file_of_the_manual_is_in_the_site(site):
    for page in fake.manual().pages:
        assert (site / page.path).with_suffix(".html").is_file()
    assert fake.PIXEL == (site / "photos/locker.png").read_bytes()


def test_nothing_of_the_theme_lies_in_the_site_that_only_a_web_server_could_use(site):
    assert [] == [name for name, content in everything(site).items() if b"{%" in content and not name.endswith(".js")]
    assert not (site / "404.html").exists()


def test_a_build_writes_nothing_under_docs(site):
    assert [] == list((site.parent / "docs").iterdir())


def test_the_same_manual_gives_the_same_bytes_in_another_folder(site, tmp_path):
    elsewhere = build_site(fake.manual(), tmp_path / "elsewhere")

    assert everything(site) == everything(elsewhere)


def test_no_page_names_the_machine_it_was_built_on(site):
    for name, content in everything(site).items():
        assert str(site.parent).encode() not in content, name


def test_a_harmful_name_stays_text_on_every_page_and_in_the_search(site):
    for name, content in everything(site).items():
        assert b"<script>alert" not in content, name
        assert b"</title><script" not in content, name
    entries = json.loads((site / "search/search_index.json").read_bytes())["docs"]
    (entry,) = [entry for entry in entries if entry["location"].startswith("circuits/C99")]
    assert "<script>" not in json.dumps(entry)


def test_the_search_knows_a_page_by_its_everyday_names(site):
    entries = json.loads((site / "search/search_index.json").read_bytes())["docs"]

    (entry,) = [entry for entry in entries if entry["location"] == "circuits/C21.html"]

    assert ["C21", "depth sounder", "echo sounder", "fish finder"] == entry["tags"]


def test_circuits_stay_out_of_the_navigation_and_chapters_are_in_it(site):
    navigation = re.search(r'<nav class="md-nav md-nav--primary".*?</nav>\s*</div>', home(site), re.S)[0]

    assert "Emergency" in navigation and "Look-up" in navigation
    assert "C21" not in navigation and "C99" not in navigation


def home(site: Path) -> str:
    return (site / "index.html").read_text(encoding="utf-8")


def test_no_id_stands_twice_on_a_page_with_several_drawings(site):
    page = (site / "drawings/ship.html").read_text(encoding="utf-8")
    ids = re.findall(r'\sid="([^"]+)"', page)

    assert 3 == page.count('class="lb-drawing"')
    assert sorted(set(ids)) == sorted(ids)
    assert 'clip-path="url(#ship-2-frame)"' in page


def test_a_link_in_a_drawing_leads_to_the_items_page(site):
    page = (site / "drawings/ship.html").read_text(encoding="utf-8")

    assert '<a href="../panels/X4.html#F12" data-item="F12"><text' in page
    assert '<a xlink:href="../circuits/C21.html#path"><text' in page


def test_the_manuals_title_names_the_site(site):
    assert "<title>Tern - Tern: electrical manual</title>" in home(site)


def test_a_hand_written_page_refers_to_items_by_id_and_joins_the_chapter_it_names(tmp_path):
    text = "# Winter\n\nPull [[F12]], then [[C21|the sounder]]. Write `[[F99]]`.\n\n```\n[[F98]]\n```\n"

    site = build_site(fake.manual(), tmp_path, {"winter.md": f"---\nchapter: Look-up\n---\n{text}"})

    page = (site / "winter.html").read_text(encoding="utf-8")
    assert '<a href="panels/X4.html#F12">Depth sounder fuse &#40;F12&#41;</a>' in page
    assert '<a href="circuits/C21.html">the sounder</a>' in page
    assert "<code>[[F99]]</code>" in page and "[[F98]]" in page
    assert "Notes" not in home(site)


def test_an_unknown_id_on_a_hand_written_page_is_named_with_file_line_and_what_is_near(tmp_path, caplog):
    text = "---\nchapter: Look-up\n---\n# Winter\n\nPull [[F12]],\nthen [[C22]].\n"

    assert ["loombook: docs/winter.md:7: no item `C22` in the inventory; did you mean `C21`?"] == warnings_of(
        fake.manual(), tmp_path, caplog, {"winter.md": text}
    )


@pytest.mark.parametrize(
    "body, expected",
    [
        ("[a](item:F13)", "no item `F13` in the inventory; did you mean `F12`?"),
        ('<a href="page:circuits/C11.md">x</a>', "no page or file `circuits/C11.md` in the manual; did you mean `circ"),
        ("[a](page:panels/X4.md#F13)", "a link leads to `panels/X4.html#F13`, and that page has no such place"),
        ("<!--figure:ships-->", "no drawing `ships` in the manual"),
    ],
)
def test_a_page_of_the_manual_that_leads_nowhere_is_a_warning(body, expected, tmp_path, caplog):
    manual = fake.manual()
    manual = fake.manual(pages=manual.pages + (Page("odd.md", "Odd", f"# Odd\n\n{body}\n"),))

    (warning,) = warnings_of(manual, tmp_path, caplog)
    assert warning.startswith(f"loombook: odd.md: {expected}")


def test_a_hand_written_page_cannot_take_the_place_of_a_generated_one(tmp_path, caplog):
    with pytest.raises(Abort):
        build_site(fake.manual(), tmp_path, {"index.md": "# Mine\n"})

    assert "docs/index.md stands where the manual has a file of its own; rename it" == caplog.messages[-1]


def test_a_body_that_begins_like_a_field_is_not_taken_for_one(tmp_path):
    site = build_site(Manual("Tern", (Page("index.md", "Tern", "Note: the key hangs left.\n"),)), tmp_path)

    assert "Note: the key hangs left." in home(site)


def test_an_unreadable_inventory_ends_the_build_with_its_message_and_leaves_the_last_site_whole(tmp_path, monkeypatch):
    site = build_site(fake.manual(), tmp_path)
    before = everything(site)
    monkeypatch.setattr(plugin, "manual_of", unreadable)

    result = CliRunner().invoke(cli, ["build", "--strict", "-f", str(tmp_path / "mkdocs.yml")])

    assert 2 == result.exit_code
    assert "vessel/a.yaml:1:3" in result.output and "1 error in the inventory" in result.output
    assert "Traceback" not in result.output
    assert before == everything(site)


def unreadable(*_: object) -> Manual:
    raise UNREADABLE


def test_serve_shows_the_message_on_every_page_until_the_inventory_can_be_read_again(tmp_path, monkeypatch):
    config = project(tmp_path, {"winter.md": "# Winter\n\n[[F12]]\n"})

    def page_after(read, path: str) -> str:
        monkeypatch.setattr(plugin, "manual_of", read)
        loaded = load_config(str(config), strict=True)
        loaded.plugins.on_startup(command="serve", dirty=False)
        build(loaded)
        return (tmp_path / "site" / path).read_text(encoding="utf-8")

    assert "Depth sounder" in page_after(lambda *_: fake.manual(), "circuits/C21.html")
    for path in ("circuits/C21.html", "winter.html", "index.html"):
        broken = page_after(unreadable, path)
        assert "The inventory cannot be read" in broken and "ratting: 3 A" in broken
    assert "ratting" not in page_after(lambda *_: fake.manual(), "circuits/C21.html")


MIDSUMMER = datetime.date(2025, 6, 24)


@pytest.mark.parametrize(
    "written, day", [("2025-06-24", MIDSUMMER), ("'2025-06-24'", MIDSUMMER), ("today", datetime.date.today())]
)
def test_the_manual_speaks_from_the_day_that_mkdocs_yml_names(written, day, tmp_path, monkeypatch):
    config = project(tmp_path)
    config.write_text(config.read_text().replace("as_of: today", f"as_of: {written}"))
    heard = []
    monkeypatch.setattr(plugin, "manual_of", lambda vessel, as_of, *_: heard.append(as_of) or fake.manual())

    build(load_config(str(config)))

    assert [day] == heard


def test_a_day_that_is_none_is_refused_in_plain_words(tmp_path):
    config = project(tmp_path)
    config.write_text(config.read_text().replace("as_of: today", "as_of: midsummer"))

    result = CliRunner().invoke(cli, ["build", "-f", str(config)])

    assert 0 != result.exit_code
    assert "as_of is `today` or a date like 2025-06-30, not `midsummer`" in result.output
