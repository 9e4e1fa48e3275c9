"""The manual as a folder: plain Markdown and SVG, whole or not at all, and never over somebody's own files."""

from __future__ import annotations

from pathlib import Path

import pytest

from loombook.manual.model import Page
from loombook.publish.folder import MARKER, FolderError, write_folder
from tests.publish import fake


def names(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def test_a_folder_holds_pages_drawings_files_and_says_whose_it_is(tmp_path):
    out = write_folder(fake.manual(), tmp_path / "deep" / "manual")

    pages = [page.path for page in fake.manual().pages]
    assert sorted([*pages, "drawings/ship.svg", "drawings/strip-C21.svg", "photos/locker.png", MARKER]) == names(out)


def test_a_drawing_is_an_image_with_its_title_for_words(tmp_path):
    page = (write_folder(fake.manual(), tmp_path / "m") / "circuits/C21.md").read_text(encoding="utf-8")

    assert "\n![Supply path](../drawings/strip-C21.svg)\n" in page
    assert "<!--figure" not in page


def test_a_drawing_within_html_is_an_html_image(tmp_path):
    page = Page("index.md", "T", "# T\n\n<figure>\n<!--figure:ship-->\n<figcaption>Ship</figcaption></figure>\n")
    manual = fake.manual(pages=(page,), drawings={"ship": "<svg><title>A &lt; B</title></svg>"}, links={})

    out = write_folder(manual, tmp_path / "m")

    assert '<figure>\n<img src="drawings/ship.svg" alt="A &#60; B">' in (out / "index.md").read_text()


def test_links_lead_from_page_to_page_and_from_drawing_to_page(tmp_path):
    out = write_folder(fake.manual(), tmp_path / "m")

    assert "[depth sounder](circuits/C21.md)" in (out / "index.md").read_text()
    assert '<a href="../panels/X4.md#F12">' in (out / "circuits/C21.md").read_text()
    assert 'xlink:href="../circuits/C21.md#path"' in (out / "drawings/ship.svg").read_text()


def test_a_drawing_alone_is_black_on_white_without_variables(tmp_path):
    assert "var(" not in (write_folder(fake.manual(), tmp_path / "m") / "drawings/ship.svg").read_text()


def test_a_folder_of_ours_is_replaced_whole(tmp_path):
    out = write_folder(fake.manual(), tmp_path / "m")
    (out / "left-over.md").write_text("old")

    write_folder(fake.manual(), out)

    assert "left-over.md" not in names(out)
    assert ["m"] == [path.name for path in tmp_path.iterdir()]


def test_an_empty_folder_may_be_filled(tmp_path):
    (tmp_path / "m").mkdir()

    assert MARKER in names(write_folder(fake.manual(), tmp_path / "m"))


def test_somebodys_own_folder_is_left_alone_until_told_otherwise(tmp_path):
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "home.txt").write_text("dear")

    with pytest.raises(FolderError, match="holds files that Loombook did not write"):
        write_folder(fake.manual(), tmp_path / "letters")

    assert ["home.txt"] == names(tmp_path / "letters")
    assert "home.txt" not in names(write_folder(fake.manual(), tmp_path / "letters", replace=True))


@pytest.mark.parametrize(
    "page, message",
    [
        (Page("a.md", "A", "# A\n\n<!--figure:nothing-->\n"), "a.md: no drawing `nothing` in the manual"),
        (Page("a.md", "A", "# A\n\n[x](item:F13)\n"), "a.md: no item `F13` in the inventory; did you mean `F12`?"),
        (Page("../a.md", "A", "# A\n"), "../a.md would be written outside the folder"),
    ],
)
def test_what_cannot_be_written_whole_is_not_written_at_all(page, message, tmp_path):
    with pytest.raises(FolderError) as refused:
        write_folder(fake.manual(pages=fake.manual().pages + (page,)), tmp_path / "m")

    assert message == str(refused.value)
    assert [] == list(tmp_path.iterdir())


def test_a_disk_that_fails_half_way_leaves_the_old_folder(tmp_path, monkeypatch):
    out = write_folder(fake.manual(), tmp_path / "m")
    before = names(out)
    monkeypatch.setattr(Path, "write_bytes", full)

    with pytest.raises(OSError, match="no space"):
        write_folder(fake.manual(), out)

    assert before == names(out)
    assert ["m"] == [path.name for path in tmp_path.iterdir()]


def full(self: Path, content: bytes) -> int:
    raise OSError("no space left")
