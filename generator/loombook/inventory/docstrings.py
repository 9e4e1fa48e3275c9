"""The sentences under the fields of the records, read from the source when somebody asks for them.

Pydantic collects them itself on request, but then reads every module's source at each start of every command.
"""

from __future__ import annotations

import ast
import inspect
import sys
from functools import cache
from itertools import pairwise

from pydantic import BaseModel


def sentences(model: type[BaseModel]) -> dict[str, str]:
    """Field → what the docstring under it says, on one line; those of the records that it builds on included."""
    found: dict[str, str] = {}
    for owner in reversed(model.__mro__):
        found |= _of_module(owner.__module__).get(owner.__name__, {})
    return {name: text for name, text in found.items() if name in model.model_fields}


@cache
def _of_module(module: str) -> dict[str, dict[str, str]]:
    """Class → attribute → the docstring under it."""
    if not module.startswith(f"{__package__}."):
        return {}
    tree = ast.parse(inspect.getsource(sys.modules[module]))
    found: dict[str, dict[str, str]] = {}
    for node in tree.body:
        for line, below in pairwise(node.body) if isinstance(node, ast.ClassDef) else ():
            if (
                isinstance(line, ast.AnnAssign)
                and isinstance(below, ast.Expr)
                and isinstance(below.value, ast.Constant)
            ):
                found.setdefault(node.name, {})[line.target.id] = " ".join(str(below.value.value).split())
    return found
