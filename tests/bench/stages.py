"""One synthetic vessel through every stage in a process of its own: seconds and peak memory, as one line of JSON."""

from __future__ import annotations

import datetime
import json
import resource
import sys
import time
from collections.abc import Callable
from typing import Any

from tests.bench.many import vessel


def main(circuits: int) -> None:
    rows: dict[str, tuple[float, float]] = {}

    def stage(name: str, work: Callable[[], Any]) -> Any:
        start = time.perf_counter()
        value = work()
        rows[name] = (time.perf_counter() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
        return value

    text = vessel(circuits)
    stage("imports", _imports)
    from loombook.checks import run_checks
    from loombook.drawings.sheets import draw
    from loombook.inventory import read_text
    from loombook.manual import build as write
    from loombook.network import build
    from loombook.study.run import study

    as_of = datetime.date(2026, 6, 1)
    inventory = stage("inventory", lambda: read_text(text))
    network = stage("network", lambda: build(inventory))
    result = stage("study", lambda: study(network))
    checked = stage("checks", lambda: run_checks(result, as_of))
    drawings = stage("drawings", lambda: draw(result, checked))
    stage("manual", lambda: write(result, checked, as_of, drawings))
    print(json.dumps(rows))


def _imports() -> None:
    import loombook.checks
    import loombook.drawings.sheets
    import loombook.manual
    import loombook.study.run  # noqa: F401


if __name__ == "__main__":
    main(int(sys.argv[1]))
