"""The netlists stand in a folder of their own, one for each case, and another program reads them."""

from __future__ import annotations

import datetime
import subprocess
from pathlib import Path

from loombook.pipeline import work_out
from loombook.publish.netlists import write_netlists

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
