"""The network as SPICE netlists in a folder of their own, so that anybody can solve it again with another program."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from zlib import crc32

from loombook.study.model import Study
from loombook.study.netlist import fault_netlists, load_flow_netlist


def write_netlists(study: Study, out: Path) -> Path:
    """Write `out/netlists`: one file for each load flow and for each fault at a bar, panel or battery post.

    Returns:
        the folder written
    """
    folder = out / "netlists"
    folder.mkdir(exist_ok=True)
    netlists = {
        f"load flow {condition}": load_flow_netlist(study.network, study.resistances, condition)
        for condition in study.flows
    }
    netlists |= {f"fault {c} {place}": text for c, place, text in fault_netlists(study.network, study.resistances)}
    names = file_names(netlists)
    for name, text in netlists.items():
        (folder / names[name]).write_text(text, encoding="utf-8", newline="\n")
    return folder


def file_names(names: Iterable[str]) -> dict[str, str]:
    """A file name for each name, unlike all others on any file system and the same in any order.

    Names that differ in signs, in foreign letters or in capitals alone come to the same words; each of them then has a
    checksum of itself behind it.

    >>> file_names(["fault G1 +", "fault G1 -"])
    {'fault G1 +': 'fault-G1-plus.cir', 'fault G1 -': 'fault-G1-minus.cir'}
    >>> file_names(["at sea", "at-sea"])
    {'at sea': 'at-sea-aa828c48.cir', 'at-sea': 'at-sea-58e85495.cir'}
    """
    words = {name: _words(name) for name in names}
    count = Counter(word.casefold() for word in words.values())
    return {
        name: f"{word}.cir" if count[word.casefold()] == 1 else f"{word}-{crc32(name.encode()):08x}.cir"
        for name, word in words.items()
    }


def _words(name: str) -> str:
    """The letters of a name as part of a file name; poles are spelt, for `G1 +` and `G1 -` are two places."""
    spelt = name.replace("+", "plus").replace(" -", " minus")
    return re.sub(r"[^A-Za-z0-9]+", "-", spelt).strip("-")
