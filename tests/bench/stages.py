"""One synthetic vessel through every stage in a process of its own: processor seconds of the stages and of the study's
parts, and peak memory, as one line of JSON."""

from __future__ import annotations

import datetime
import gc
import json
import resource
import sys
import time
from collections.abc import Callable
from typing import Any

from tests.bench.many import vessel

PARTS = "loombook.study"
"""Where the parts of the study come from."""


def main(circuits: int) -> None:
    gc.disable()  # as the commands do, see `pipeline`
    rows: dict[str, tuple[float, float]] = {}

    def stage(name: str, work: Callable[[], Any]) -> Any:
        start = time.process_time()
        value = work()
        rows[name] = (time.process_time() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
        return value

    text = vessel(circuits)
    stage("imports", _imports)
    from loombook.checks import run_checks
    from loombook.drawings.sheets import draw
    from loombook.inventory import read_text
    from loombook.manual import build as write
    from loombook.network import build
    from loombook.study import run

    as_of = datetime.date(2026, 6, 1)
    inventory = stage("inventory", lambda: read_text(text))
    network = stage("network", lambda: build(inventory))
    parts = timed_parts(run)
    result = stage("study", lambda: run.study(network))
    checked = stage("checks", lambda: run_checks(result, as_of))
    drawings = stage("drawings", lambda: draw(result, checked))
    stage("manual", lambda: write(result, checked, as_of, drawings))
    print(json.dumps({"stages": rows, "study": parts}))


def timed_parts(run: Any) -> dict[str, float]:
    """Has every function that the study calls add its processor time [s] to what is returned, under its name."""
    spent: dict[str, float] = {}

    def timed(name: str, work: Callable[..., Any]) -> Callable[..., Any]:
        def timing(*given: Any) -> Any:
            start = time.process_time()
            try:
                return work(*given)
            finally:
                spent[name] = spent.get(name, 0.0) + time.process_time() - start

        return timing

    for name, work in list(vars(run).items()):
        if callable(work) and getattr(work, "__module__", "").startswith(PARTS) and name not in ("study", "Study"):
            setattr(run, name, timed(name, work))
    return spent


def _imports() -> None:
    import loombook.checks
    import loombook.drawings.sheets
    import loombook.manual
    import loombook.study.run  # noqa: F401


if __name__ == "__main__":
    main(int(sys.argv[1]))
