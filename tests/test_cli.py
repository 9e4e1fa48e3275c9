"""The commands as a user meets them: what they print, where, and with which exit status."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from loombook import cli, pipeline
from loombook.checks.rules import RULES
from loombook.inventory.schema import json_schema
from tests.publish import fake

MINIMAL = Path(__file__).parent / "vessels" / "minimal"
SLIP = "vessel: {name: Little Tern}\nfuses:\n  F1: {ratting: 10 A, kind: blade}\n"
UNFUSED = """
vessel: {name: Little Tern}
batteries:
  G1: {name: House battery, chemistry: agm lead-acid, cells: {series: 6, capacity: 90 Ah}}
circuits:
  C1: {name: Bilge pump, from: G1 +, back to: G1 -, cable: "1.5 mm², 3 m", load: 4 A}
"""


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(cli.main, [str(word) for word in words])


@pytest.fixture
def vessel(tmp_path: Path) -> Path:
    """An empty folder for a vessel."""
    folder = tmp_path / "vessel"
    folder.mkdir()
    return folder


COMMANDS = [("loombook", cli.main), *cli.main.commands.items()]


@pytest.mark.parametrize(("name", "command"), COMMANDS)
def test_every_command_and_every_option_says_what_it_is_for(name: str, command: click.Command) -> None:
    options = [param for param in command.params if isinstance(param, click.Option)]

    assert command.help
    assert [] == [option.name for option in options if not option.help]


@pytest.mark.parametrize(("name", "command"), COMMANDS)
def test_every_argument_is_spoken_of_in_the_help(name: str, command: click.Command) -> None:
    arguments = [param for param in command.params if isinstance(param, click.Argument)]

    assert [] == [argument.name for argument in arguments if argument.name.upper() not in (command.help or "")]


def test_compare_tells_what_changed_and_what_follows(vessel: Path, tmp_path: Path) -> None:
    earlier = tmp_path / "earlier"
    earlier.mkdir()
    fused = (
        UNFUSED.replace('cable: "1.5 mm², 3 m"', 'cable: [F1, "1.5 mm², 3 m"]')
        + "fuses: {F1: {rating: 10 A, kind: blade}}\n"
    )
    (earlier / "boat.yaml").write_text(fused, encoding="utf-8")
    (vessel / "boat.yaml").write_text(UNFUSED, encoding="utf-8")

    told, strict, back = (run("compare", *words) for words in (
        (earlier, "--vessel", vessel), (earlier, "--vessel", vessel, "--strict"), (vessel, "--vessel", earlier, "--strict")
    ))  # fmt: skip

    assert (told.exit_code, strict.exit_code, back.exit_code) == (0, 1, 0)
    assert "F1 · removed" in told.output and "C1 · new · P-01" in told.output


def test_compare_names_the_inventory_that_cannot_be_used(vessel: Path, tmp_path: Path) -> None:
    (vessel / "boat.yaml").write_text(UNFUSED, encoding="utf-8")
    slip = tmp_path / "earlier"
    slip.mkdir()
    (slip / "boat.yaml").write_text(SLIP, encoding="utf-8")

    for earlier, said in ((slip, "did you mean `rating`"), (tmp_path / "none", "does not exist")):
        result = run("compare", earlier, "--vessel", vessel)

        assert result.exit_code == 2 and said in result.output
        assert earlier.name in result.output and "Traceback" not in result.output


def test_check_prints_the_findings_and_counts_them(vessel: Path) -> None:
    (vessel / "vessel.yaml").write_text(UNFUSED, encoding="utf-8")
    result = run("check", "--vessel", vessel, "--as-of", "2026-06-01")

    assert 0 == result.exit_code
    assert "A  P-01  " in result.stdout
    assert "  --> vessel/vessel.yaml:6:" in result.stdout
    assert result.stdout.splitlines()[-1].startswith("findings: ")


def test_check_with_strict_fails_while_a_finding_of_grade_a_stands(vessel: Path) -> None:
    (vessel / "vessel.yaml").write_text(UNFUSED, encoding="utf-8")

    assert 1 == run("check", "--vessel", vessel, "--strict").exit_code
    assert 0 == run("check", "--vessel", vessel).exit_code


def test_check_as_json_is_a_list_of_located_messages(vessel: Path) -> None:
    (vessel / "vessel.yaml").write_text(UNFUSED, encoding="utf-8")
    rows = json.loads(run("check", "--vessel", vessel, "--format", "json").stdout)

    assert {"level", "rule", "message", "place", "here", "notes"} == set(rows[0])
    assert {"vessel/vessel.yaml"} == {row["place"]["file"] for row in rows if row["place"]}


def test_check_as_annotations_marks_lines_of_the_files(vessel: Path) -> None:
    (vessel / "vessel.yaml").write_text(UNFUSED, encoding="utf-8")
    lines = run("check", "--vessel", vessel, "--format", "annotations").stdout.splitlines()

    assert any(line.startswith("::error file=vessel/vessel.yaml,line=6,col=") for line in lines)
    assert all(line.startswith(("::error ", "::warning ", "::notice ")) for line in lines)


def test_the_same_day_gives_the_same_words() -> None:
    first = run("check", "--vessel", MINIMAL, "--as-of", "2026-06-01").stdout

    assert first == run("check", "--vessel", MINIMAL, "--as-of", "2026-06-01").stdout


def test_an_inventory_that_cannot_be_used_is_told_on_stderr_with_status_2(vessel: Path) -> None:
    (vessel / "vessel.yaml").write_text(SLIP, encoding="utf-8")
    result = run("check", "--vessel", vessel)

    assert 2 == result.exit_code
    assert "" == result.stdout
    assert "did you mean `rating`?" in result.stderr
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize("form", ["json", "annotations"])
def test_a_program_gets_the_errors_in_the_form_it_asked_for(vessel: Path, form: str) -> None:
    (vessel / "vessel.yaml").write_text(SLIP, encoding="utf-8")
    result = run("check", "--vessel", vessel, "--format", form)

    assert 2 == result.exit_code
    assert "unknown-key" in result.stdout
    assert result.stdout.startswith("[" if form == "json" else "::error file=vessel/vessel.yaml,line=3,col=8::")


@pytest.mark.parametrize("words", [("check",), ("write", "out")])
def test_a_folder_that_is_not_there_is_told_with_status_2(tmp_path: Path, words: tuple[str, ...]) -> None:
    result = run(*words, "--vessel", tmp_path / "nowhere")

    assert 2 == result.exit_code
    assert "the folder `nowhere` does not exist" in result.stderr


def test_a_date_that_is_none_is_told_with_status_2() -> None:
    result = run("check", "--vessel", MINIMAL, "--as-of", "31.12.2026")

    assert 2 == result.exit_code
    assert "`31.12.2026` is not a date; write it like 2026-05-01" in result.stderr


def test_an_error_of_our_own_is_not_hidden(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(folder: Path, as_of: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(pipeline, "work_out", broken)

    assert isinstance(run("check", "--vessel", MINIMAL).exception, ZeroDivisionError)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_every_rule_can_be_explained(rule: object) -> None:
    result = run("explain", rule.id)

    assert 0 == result.exit_code
    assert result.stdout.startswith(f"{rule.id}  {rule.title}\n")


def test_explain_without_a_rule_names_them_all() -> None:
    lines = run("explain").stdout.splitlines()

    assert [rule.id for rule in RULES] == [line.split("  ")[0] for line in lines]


def test_explain_forgives_small_letters() -> None:
    assert run("explain", "p-01").stdout == run("explain", "P-01").stdout


def test_explain_of_an_unknown_rule_names_the_nearest() -> None:
    result = run("explain", "PP-01")

    assert 2 == result.exit_code
    assert result.stderr.startswith("there is no rule `PP-01`; did you mean `P-01`")


def test_schema_prints_the_schema() -> None:
    assert json_schema() == json.loads(run("schema").stdout)


def test_write_writes_the_whole_manual(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipeline, "manual_of", lambda folder, as_of, paper: fake.manual())
    result = run("write", tmp_path / "out", "--vessel", MINIMAL)

    assert (0, f"written: {tmp_path / 'out'}\n") == (result.exit_code, result.stdout)
    assert (tmp_path / "out" / "index.md").is_file()


def test_write_refuses_a_folder_with_files_of_others_and_leaves_it_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pipeline, "manual_of", lambda folder, as_of, paper: fake.manual())
    (tmp_path / "diary.txt").write_text("mine", encoding="utf-8")
    result = run("write", tmp_path, "--vessel", MINIMAL)

    assert 2 == result.exit_code
    assert "holds files that Loombook did not write" in result.stderr
    assert ["diary.txt"] == [path.name for path in tmp_path.iterdir()]


def test_a_pdf_that_cannot_be_set_leaves_nothing_new_and_nothing_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("write", tmp_path / "earlier", "--vessel", MINIMAL)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    monkeypatch.setattr(
        "loombook.publish.pdf._style", lambda families: {"blocks.typ": b"#nothing-like-this()", "sheets.typ": b""}
    )
    results = [run("write", tmp_path / name, "--vessel", MINIMAL, "--pdf") for name in ("earlier", "fresh")]

    assert [2, 2] == [result.exit_code for result in results]
    assert all("the PDF cannot be set" in result.stderr for result in results)
    assert before == {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    assert ["earlier"] == [path.name for path in tmp_path.iterdir()]


def test_write_pocket_adds_the_one_file_that_a_phone_needs(tmp_path: Path) -> None:
    result = run("write", tmp_path / "out", "--vessel", MINIMAL, "--as-of", "2026-06-01", "--pocket")
    file = tmp_path / "out" / "pocket.html"
    text = file.read_text(encoding="utf-8")

    assert (0, f"written: {tmp_path / 'out'}\nwritten: {file}\n") == (result.exit_code, result.stdout)
    assert "5 A blade fuse, way 1 of Panel, labelled CABIN LIGHT" in text
    assert "default-src 'none'" in text and "http:" not in text.replace("http://www.w3.org/", "")
    assert 500_000 > len(text.encode())


def test_without_being_asked_write_makes_no_pocket_file(tmp_path: Path) -> None:
    run("write", tmp_path / "out", "--vessel", MINIMAL)

    assert not (tmp_path / "out" / "pocket.html").exists()


def test_write_into_a_place_that_is_a_file_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pipeline, "manual_of", lambda folder, as_of, paper: fake.manual())
    (tmp_path / "file").touch()
    result = run("write", tmp_path / "file" / "out", "--vessel", MINIMAL)

    assert 2 == result.exit_code
    assert "cannot be written" in result.stderr


def test_a_slip_in_the_yaml_is_told_before_the_slow_libraries_are_loaded(vessel: Path) -> None:
    (vessel / "vessel.yaml").write_text(SLIP, encoding="utf-8")

    assert [] == loaded_by("check", "--vessel", str(vessel))


def test_the_schema_needs_no_slow_library() -> None:
    assert [] == loaded_by("schema")


def loaded_by(*words: str) -> list[str]:
    """The slow libraries that a command has loaded when it ends."""
    program = (
        "import sys\nfrom loombook.cli import main\n"
        "try: main(sys.argv[1:])\nexcept SystemExit: pass\n"
        "slow = ('scipy', 'numpy', 'matplotlib', 'schemdraw', 'mkdocs', 'typst')\n"
        "print([name for name in slow if name in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", program, *words], capture_output=True, text=True, encoding="utf-8")
    return json.loads(done.stderr.splitlines()[-1].replace("'", '"'))


def test_explain_knows_a_rule_whose_nought_was_left_out() -> None:
    result = run("explain", "P-1")

    assert "did you mean `P-01`?" in result.stderr
    assert 2 == result.exit_code
