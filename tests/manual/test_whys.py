"""Every computed figure in a table leads to its why: from its own cell, or from its row."""

from __future__ import annotations

import re

import pytest

from .boats import of_vessel

KINDS = ("drop", "flow-", "starting", "sharing", "mains", "fault", "carrying")
"""Pages of figures held to it here, by how their names begin; the place of the link itself is `test_links`'s."""
GIVEN = {
    "Current (A)", "Limit (%)", "At most (A)", "Efficiency (%)", "An even part (%)", "Allowed (s)", "Area", "Insulation", "Voltage (V)",
}  # fmt: skip
"""Columns of what the inventory or a standard says, and what follows from that by one division."""
_TABLE, _ROW = re.compile(r"<table.*?</table>", re.S), re.compile(r"<tr[^>]*>(.*?)</tr>", re.S)
_CELL, _TAG = re.compile(r"<(t[hd][^>]*)>(.*?)</t[hd]>", re.S), re.compile(r"<[^>]+>")


def _without(body: str) -> list[str]:
    """Computed figures without a link to a why: column and figure."""
    found = []
    for table in _TABLE.findall(body):
        rows = _ROW.findall(table)
        heads = [_TAG.sub("", cell) for _, cell in _CELL.findall(rows[0])]
        for row in rows[1:]:
            if "#why" in row or "cannot check" in row:
                continue
            for head, (tag, cell) in zip(heads, _CELL.findall(row)):
                if "lb-num" in tag and head not in GIVEN and re.search(r"\d", _TAG.sub("", cell)):
                    found.append(f"{head}: {_TAG.sub('', cell)}")
    return found


@pytest.mark.parametrize("vessel", ["demo", "everything", "launch"])
def test_every_computed_figure_leads_to_its_why(vessel: str) -> None:
    pages = [p for p in of_vessel(vessel).pages if p.path.removeprefix("figures/").startswith(KINDS) and p.path.startswith("figures/")]

    assert len(pages) >= 6
    assert {p.path: rows for p in pages if (rows := _without(p.body))} == {}


def test_a_figure_without_a_why_is_seen() -> None:
    table = '<table><tr><th>Consumer</th><th class="lb-num">Drop (V)</th></tr><tr><th>Lamp</th><td class="lb-num">0.3</td></tr></table>'

    assert ["Drop (V): 0.3"] == _without(table)
