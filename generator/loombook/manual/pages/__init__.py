"""The kinds of page: one module and one template each, in the order in which the manual is read."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from ..book import Book
from ..sheet import Sheet
from . import (
    adiabatic, ashore, balance, bank, bms, cables, carrying, changes, charging, circuit, consumer, cover, drawing, drop, emergency, fault, find, findings, flow, fuses, index,
    item, language, ledger, legend, mains, mainsfault, overview, panel, protection, rules, running, selectivity, sharing, space,
    starting, stays_on, verification,
)  # fmt: skip

PAGES: Mapping[str, Callable[[Book], Iterator[Sheet]]] = MappingProxyType(
    {
        "cover": cover.pages,
        "emergency cards": emergency.pages,
        "sheets for others": ashore.pages,
        "something is dead": find.pages,
        "what stays on": stays_on.pages,
        "system": overview.pages,
        "drawing": drawing.pages,
        "panel": panel.pages,
        "space": space.pages,
        "legend": legend.pages,
        "index": index.pages,
        "fuses": fuses.pages,
        "cables": cables.pages,
        "bank": bank.pages,
        "battery management": bms.pages,
        "charging": charging.pages,
        "mains": mains.pages,
        "balance": balance.pages,
        "fault current": fault.pages,
        "protection": protection.pages,
        "let-through": adiabatic.pages,
        "selectivity": selectivity.pages,
        "carrying": carrying.pages,
        "drop": drop.pages,
        "load flow": flow.pages,
        "starting": starting.pages,
        "sharing": sharing.pages,
        "faults of AC": mainsfault.pages,
        "assumptions": ledger.pages,
        "verification": verification.pages,
        "findings": findings.pages,
        "changes": changes.pages,
        "rules": rules.pages,
        "running": running.pages,
        "language": language.pages,
        "consumer": consumer.pages,
        "circuit": circuit.pages,
        "item": item.pages,
    }
)
"""Kind of page → what yields its pages. A new kind is a module, a template and a line here."""
