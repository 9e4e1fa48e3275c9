"""The arrows between the rooms point one way, and each outside library is known in one room only."""

from __future__ import annotations

import ast
from pathlib import Path

import loombook

ROOT = Path(loombook.__file__).parent

ROOMS = (
    "diagnostics",
    "quantities",
    "inventory",
    "network",
    "calc",
    "study",
    "checks",
    "compare",
    "drawings",
    "manual",
    "publish",
)

MAY_IMPORT = {
    "diagnostics": set(),
    "quantities": set(),
    "inventory": {"diagnostics", "quantities"},
    "network": {"inventory", "diagnostics", "quantities"},
    "calc": set(),
    "study": {"calc", "network", "inventory", "diagnostics", "quantities"},
    "checks": {"study", "calc", "network", "inventory", "diagnostics", "quantities"},
    "drawings": {"checks", "study", "calc", "network", "inventory", "diagnostics", "quantities"},
    "manual": {"compare", "checks", "study", "calc", "network", "inventory", "diagnostics", "quantities"},
    "compare": {"checks", "study", "calc", "network", "inventory", "diagnostics", "quantities"},
    "publish": {"manual", "drawings", "checks", "study", "pipeline", "diagnostics", "quantities"},
}
"""Room → the rooms whose values it may use."""

ONLY_IN = {
    "yaml": "inventory",
    "networkx": "network",
    "schemdraw": "drawings",
    "matplotlib": "drawings",
    "jinja2": "manual",
    "mkdocs": "publish",
    "typst": "publish",
    "pikepdf": "publish",
}
"""Library → the one room that knows it."""


def modules() -> list[tuple[str, Path]]:
    """(room, file) for every module inside a room."""
    found = []
    for path in sorted(ROOT.rglob("*.py")):
        room = path.relative_to(ROOT).parts[0].removesuffix(".py")
        if room in ROOMS:
            found.append((room, path))
    return found


def imports(path: Path) -> list[str]:
    """Full names of what a module imports; relative names are resolved inside the package."""
    package = ["loombook", *path.relative_to(ROOT).parent.parts]
    names = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.level:
            base = package[: len(package) - node.level + 1]
            names += [
                ".".join([*base, *((node.module or "").split(".") if node.module else [alias.name])])
                for alias in node.names
            ]
        elif isinstance(node, ast.ImportFrom):
            names.append(node.module)
    return names


def test_arrows_point_one_way() -> None:
    wrong = []
    for room, path in modules():
        for name in imports(path):
            parts = name.split(".")
            other = parts[1] if parts[0] == "loombook" and len(parts) > 1 else ""
            if other and other != room and other not in MAY_IMPORT[room]:
                wrong.append(f"{path.relative_to(ROOT)} imports {other}")

    assert wrong == []


def test_each_outside_library_is_known_in_one_room() -> None:
    wrong = []
    for path in sorted(ROOT.rglob("*.py")):
        room = path.relative_to(ROOT).parts[0].removesuffix(".py")
        for name in imports(path):
            library = name.split(".")[0]
            if ONLY_IN.get(library, room) != room:
                wrong.append(f"{path.relative_to(ROOT)} imports {library}")

    assert wrong == []


def test_every_module_says_what_it_is_for() -> None:
    silent = [
        str(p.relative_to(ROOT)) for p in sorted(ROOT.rglob("*.py")) if not ast.get_docstring(ast.parse(p.read_text()))
    ]

    assert silent == []
