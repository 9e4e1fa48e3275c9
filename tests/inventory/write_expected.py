"""Writes the messages of the cases named, or of those that have none: read each as a tired owner would, then commit.

python -m tests.inventory.write_expected [NAME …]
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.inventory.bad_inputs import NAMES, expected, said


def main(names: list[str]) -> None:
    for name in names or [name for name in NAMES if not expected(name).exists()]:
        with tempfile.TemporaryDirectory() as folder:
            text = said(name, Path(folder))
        expected(name).write_text(text, encoding="utf-8", newline="\n")
        print(f"===== {name}\n{text}")


if __name__ == "__main__":
    main(sys.argv[1:])
