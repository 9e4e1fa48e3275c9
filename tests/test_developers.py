"""DEVELOPERS.md says what is true: its module table is what the modules say of themselves.

`python -m tests.test_developers` writes the table anew.
"""

from __future__ import annotations

import ast
from pathlib import Path

import loombook

PACKAGE = Path(loombook.__file__).parent
GUIDE = Path(__file__).parent.parent / "DEVELOPERS.md"
BEGIN, END = "<!-- modules: begin -->", "<!-- modules: end -->"


def table() -> str:
    """One row a module: its path and the first line of its docstring."""
    rows = ["| module | what it is for |", "|---|---|"]
    for path in sorted(PACKAGE.rglob("*.py")):
        first = (ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or "").split("\n")[0]
        rows.append(f"| `{path.relative_to(PACKAGE).as_posix()}` | {first.replace('|', '/')} |")
    return "\n".join(rows)


def parts() -> tuple[str, str, str]:
    """The guide before the table, the table, and the guide after it."""
    before, rest = GUIDE.read_text(encoding="utf-8").split(BEGIN)
    shown, after = rest.split(END)
    return before, shown.strip(), after


def test_the_module_table_is_what_the_modules_say() -> None:
    assert parts()[1] == table(), "run `python -m tests.test_developers`"


if __name__ == "__main__":
    before, _, after = parts()
    GUIDE.write_text(f"{before}{BEGIN}\n{table()}\n{END}{after}", encoding="utf-8", newline="\n")
