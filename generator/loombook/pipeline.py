"""Read this first: the whole way from a folder of YAML to the finished manual, each stage one pure function.

    folder → inventory → network → study → checks → drawings → manual → (publish)

Every stage returns one frozen value and changes none before it. Publishing, the only stage that writes, stands apart
in `publish/`: a site by MkDocs, a plain folder, a PDF, a pocket file, all from the same `Manual`.
"""

from __future__ import annotations

import datetime
import gc
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from .inventory import Inventory, read_inventory
from .network import Network, build

if TYPE_CHECKING:
    from .checks import Checked
    from .compare import Comparison
    from .manual.model import Manual
    from .study.model import Study


@dataclass(frozen=True)
class Worked:
    """Everything known about the vessel before a page is written."""

    inventory: Inventory
    network: Network
    study: Study
    checked: Checked
    as_of: datetime.date


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Without the search for garbage: the stages keep what they make, and looking through it costs a fifth of the time."""
    searching = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if searching:
            gc.enable()


@_undisturbed()
def work_out(folder: Path, as_of: datetime.date) -> Worked:
    """Read, lay out, work out and check one vessel.

    Args:
        folder: the folder with the inventory's `.yaml` files
        as_of: the day for which due dates, waivers and ages are judged
    Raises:
        InventoryError: when the inventory cannot be used, with every message
    """
    # Imported here, so that a slip in the YAML is told before SciPy has been loaded.
    inventory = read_inventory(folder)
    network = build(inventory)

    from .checks import run_checks
    from .study.run import study

    result = study(network)
    return Worked(inventory, network, result, run_checks(result, as_of), as_of)


@_undisturbed()
def compared(before: Path, worked: Worked) -> Comparison:
    """What differs from an earlier revision in another folder, judged for the same day.

    Raises:
        InventoryError: as `work_out`, of the earlier inventory
    """
    from .compare import Side, compare

    earlier = work_out(before, worked.as_of)
    return compare(*(Side(side.study, side.checked) for side in (earlier, worked)))


@_undisturbed()
def manual_of(folder: Path, as_of: datetime.date, paper: bool = False, before: Path | None = None) -> Manual:
    """The finished manual of the vessel in a folder.

    Args:
        paper: whether it also holds its pages for the PDF
        before: the folder of an earlier revision; with it a page tells what was changed since
    Raises:
        InventoryError: as `work_out`
    """
    worked = work_out(folder, as_of)

    from .drawings.sheets import draw
    from .manual import build as write

    comparison = compared(before, worked) if before else None
    drawings = draw(worked.study, worked.checked, comparison.altered if comparison else {})
    return write(worked.study, worked.checked, as_of, drawings, paper=paper, comparison=comparison)
