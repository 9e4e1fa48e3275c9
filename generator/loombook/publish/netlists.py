"""The network as SPICE netlists in a folder of their own, so that anybody can solve it again with another program."""

from __future__ import annotations

import re
from pathlib import Path

from loombook.study.model import Study
from loombook.study.netlist import fault_netlists, load_flow_netlist


def write_netlists(study: Study, out: Path) -> Path:
    """Write `out/netlists`: one file for each load flow and for each fault at a bar, panel or battery post.

    Returns:
        the folder written
    """
    folder = out / "netlists"
    folder.mkdir(exist_ok=True)
    for condition in study.flows:
        text = load_flow_netlist(study.network, study.resistances, condition)
        (folder / f"load-flow-{_word(condition)}.cir").write_text(text, encoding="utf-8", newline="\n")
    for case, place, text in fault_netlists(study.network, study.resistances):
        (folder / f"fault-{_word(case)}-{_word(place)}.cir").write_text(text, encoding="utf-8", newline="\n")
    return folder


def _word(name: str) -> str:
    """A name as part of a file name; poles are spelt, for `G1 +` and `G1 -` are two places."""
    spelt = name.replace("+", "plus").replace(" -", " minus")
    return re.sub(r"[^A-Za-z0-9]+", "-", spelt).strip("-")
