"""The netlists stand in a folder of their own, one for each case, and another program reads them."""

from __future__ import annotations

import datetime
import re
import subprocess
from pathlib import Path

from loombook.pipeline import work_out
from loombook.publish.netlists import file_names, write_netlists

MINIMAL = Path(__file__).parents[1] / "vessels" / "minimal"


def written(out: Path) -> Path:
    return write_netlists(work_out(MINIMAL, datetime.date(2026, 6, 1)).study, out)


def test_each_load_flow_and_each_fault_case_has_its_file(tmp_path: Path) -> None:
    names = {path.name for path in written(tmp_path).iterdir()}

    assert any(name.startswith("load-flow-") for name in names)
    assert any(name.startswith("fault-highest-") and name.endswith("-X4.cir") for name in names)
    assert any(name.startswith("fault-lowest-") for name in names)


def test_another_program_solves_what_is_written(tmp_path: Path, ngspice: str) -> None:
    for path in sorted(written(tmp_path).glob("*.cir")):
        done = subprocess.run([ngspice, "-b", str(path)], capture_output=True, text=True, timeout=60)

        assert "error" not in (done.stdout + done.stderr).lower(), path.name


ALIKE = ("at sea", "at-sea", "At sea", "at sea!", "at sea (2)", "at sea 2", "νύχτα", "ημέρα", "+", "-")
"""Names of operating conditions that an owner may well give, and that come to the same letters."""


def test_names_that_differ_in_signs_letters_or_capitals_alone_get_files_of_their_own() -> None:
    names = file_names(f"load flow {name}" for name in ALIKE)

    assert len(ALIKE) == len({name.casefold() for name in names.values()})
    assert all(re.fullmatch(r"[A-Za-z0-9-]+\.cir", name) for name in names.values())


def test_a_file_keeps_its_name_whatever_the_order() -> None:
    assert file_names(ALIKE) == file_names(reversed(ALIKE))


def test_every_condition_of_a_vessel_is_written_however_alike_they_are_called(tmp_path: Path) -> None:
    text = (MINIMAL / "vessel.yaml").read_text() + "conditions:\n" + "".join(
        f'  "{name}": {{hours: 2 h}}\n' for name in ALIKE
    )  # fmt: skip
    (tmp_path / "vessel").mkdir()
    (tmp_path / "vessel" / "vessel.yaml").write_text(text)
    folder = write_netlists(work_out(tmp_path / "vessel", datetime.date(2026, 6, 1)).study, tmp_path)

    assert len(ALIKE) == len(list(folder.glob("load-flow-*.cir")))
