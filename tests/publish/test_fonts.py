"""Letters on paper: the fonts that come with the program, and a font of the machine's own only where these lack a letter."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from click.testing import CliRunner
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

from loombook.cli import main
from loombook.diagnostics import Place
from loombook.manual.model import Manual, Page
from loombook.publish import fonts, lettering, pdf
from tests.manual.boats import DINGHY, of_vessel
from tests.publish.test_pdf import said

NAME = "测深仪"


@dataclass(frozen=True)
class Installed:
    """A font as Typst lists those of the machine."""

    family: str
    path: str


def font(path: Path, family: str, letters: str) -> Installed:
    """A font file in which each of these letters is a box."""
    pen = TTGlyphPen(None)
    pen.moveTo((0, 0)), pen.lineTo((0, 700)), pen.lineTo((700, 700)), pen.lineTo((700, 0)), pen.closePath()
    names = [".notdef", *(f"u{ord(letter):X}" for letter in letters)]
    made = FontBuilder(1000, isTTF=True)
    made.setupGlyphOrder(names)
    made.setupCharacterMap({ord(letter): name for letter, name in zip(letters, names[1:])})
    made.setupGlyf(dict.fromkeys(names, pen.glyph()))
    made.setupHorizontalMetrics(dict.fromkeys(names, (800, 0)))
    made.setupHorizontalHeader(ascent=800, descent=-200)
    made.setupNameTable({"familyName": family, "styleName": "Regular", "psName": family})
    made.setupOS2(sTypoAscender=800, usWinAscent=800, usWinDescent=200)
    made.setupPost()
    path.parent.mkdir(exist_ok=True)
    made.save(path)
    return Installed(family, str(path))


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A machine with fonts that hold these letters: family → letters."""
    fonts._with_the_machines.cache_clear()

    def with_fonts(**families: str) -> None:
        installed = [font(tmp_path / name / "font.ttf", name, letters) for name, letters in families.items()]
        monkeypatch.setattr(fonts, "_machines", lambda: installed)

    yield with_fonts
    fonts._with_the_machines.cache_clear()


def set_in(text: str) -> tuple[str, list[str]]:
    """A sheet's words, and the fonts in it."""
    (made,) = pdf._set([f'#import "sheets.typ": *\n#show: body => lb-manual("t", [e], none, body)\n{text}'], {})
    book = pikepdf.open(BytesIO(made))
    found = {
        str(f.BaseFont).partition("+")[2]
        for page in book.pages
        for f in dict(page.obj.Resources.get("/Font", {})).values()
    }
    return "".join(said(page) for page in book.pages), sorted(found)


def test_letters_that_come_with_the_program_are_not_sought_on_the_machine(machine):
    machine(Han=NAME + "abcΩ")

    assert () == fonts.chosen([DINGHY, "Ω ² – → Ж ß א ع ½"]).families
    assert () == fonts.chosen(page.body for page in of_vessel("everything").pages).families


def test_a_name_in_other_letters_is_set_in_a_font_of_the_machine_that_has_them(machine):
    machine(Latin="abc", Han=NAME)
    words, used = set_in(NAME)

    assert NAME in words
    assert any(name.startswith("Han") for name in used) and not any("Last" in name for name in used)


def test_a_machine_without_such_a_font_shows_a_box_and_keeps_the_words(machine):
    machine(Latin="abc")
    words, used = set_in(NAME)

    assert NAME in words
    assert any("Last" in name for name in used)


def test_as_few_fonts_as_show_all_the_letters_and_always_the_same(machine):
    machine(A=NAME[:1], B=NAME, C=NAME + "คक", D="क")

    assert ("C",) == fonts.chosen([NAME, "คक"]).families
    machine(E=NAME[:2], F=NAME[1:], G=NAME[:1])
    fonts._with_the_machines.cache_clear()
    assert ("E", "F") == fonts.chosen([NAME]).families


WRITTEN = f"circuits:\n  C21:\n    name: {NAME}\n  C22:\n    name: क sounder\n"


def two_names() -> Manual:
    """A manual whose paper shows names in two scripts."""
    return Manual("Tern", (), paper=(Page("C21", "", f"{NAME} क Ж"),), sources={"vessel/circuits.yaml": WRITTEN})


def test_letters_that_no_font_has_are_warned_of_where_they_were_written(machine):
    machine(Latin="abc")
    han, indic = sorted(lettering.boxes_on_paper(two_names()), key=lambda warning: warning.order)

    assert (Place("vessel/circuits.yaml", 3, 11, 3), Place("vessel/circuits.yaml", 5, 11)) == (han.place, indic.place)
    assert all(letter in han.message for letter in NAME) and "क" in indic.message
    assert {"warning"} == {han.level, indic.level}


def test_letters_that_a_font_of_the_machine_has_are_not_warned_of(machine):
    machine(Han=NAME)

    (warning,) = lettering.boxes_on_paper(two_names())

    assert ["क"] == [letter for letter in NAME + "क" if letter in warning.message]


def test_no_box_is_warned_of_where_no_letter_is_rare():

    assert () == lettering.boxes_on_paper(Manual("Tern", (), paper=(Page("C21", "", DINGHY),)))


def test_write_with_a_pdf_tells_of_boxes_and_ends_well(machine, tmp_path, monkeypatch):
    machine(Latin="abc")
    vessel = tmp_path / "vessel"
    vessel.mkdir()
    (vessel / "boat.yaml").write_text(DINGHY.replace("name: ", f"name: {NAME} ", 1), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(main, ["write", "out", "--pdf", "--as-of", "2026-06-01"])

    assert 0 == result.exit_code, result.output
    assert "warning  paper" in result.stderr and f"{NAME}" in result.stderr and "vessel/boat.yaml:" in result.stderr
    assert "Traceback" not in result.output
    assert (tmp_path / "out" / "manual.pdf").exists()
