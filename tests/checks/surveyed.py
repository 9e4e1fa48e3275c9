"""Boats under survey, for the tests of the checks."""

from __future__ import annotations

import datetime
from functools import cache, lru_cache
from pathlib import Path

from loombook.checks import Checked, Outcome, Rule, run_checks
from loombook.checks.example import complete
from loombook.checks.run import outcomes_of
from loombook.checks.survey import Survey
from loombook.inventory import read_inventory, read_text
from loombook.network import build
from loombook.study.model import Study
from loombook.study.run import study

ROOT = Path(__file__).parents[2]
AS_OF = datetime.date(2026, 6, 1)


@lru_cache(maxsize=256)
def study_of(example: str) -> Study:
    """The study of an example, completed by the sound little vessel."""
    return study(build(read_text(complete(example))))


def by_rule(rule: Rule, example: str) -> list[Outcome]:
    """What one rule says about an example."""
    if rule.id == "M-08":  # judged when all others have spoken
        return list(check(example).of_rule("M-08"))
    return outcomes_of(rule, Survey(study_of(example), AS_OF))


def check(example: str, as_of: datetime.date = AS_OF) -> Checked:
    """All rules over an example."""
    return run_checks(study_of(example), as_of)


@cache
def saltern() -> Checked:
    """All rules over the demo vessel."""
    return run_checks(study(build(read_inventory(ROOT / "vessel"))), AS_OF)
