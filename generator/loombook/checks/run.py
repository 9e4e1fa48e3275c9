"""All rules over one study, with the owner's waivers applied."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import replace

from ..inventory.vessel import Waiver
from ..study.model import Study
from .model import Accepted, Checked, Outcome, finding, not_applicable, passed
from .page import Rule
from .rules import RULES, WAIVERS, nearest
from .survey import Survey


def run_checks(study: Study, as_of: datetime.date) -> Checked:
    """Every outcome of every rule.

    Args:
        study: of the vessel
        as_of: the day for which due dates, waivers and ages are judged
    """
    survey = Survey(study, as_of)
    outcomes = [outcome for rule in RULES if rule.id != WAIVERS for outcome in outcomes_of(rule, survey)]
    accepted = []
    judged = []
    for i, waiver in enumerate(survey.inventory.waivers):
        met = [o for o in outcomes if o.is_finding and o.rule == waiver.rule and waiver.item in (o.item, *o.items[:1])]
        if waiver.until >= as_of:
            accepted += [Accepted(o, waiver) for o in met]
        among = [o for o in outcomes if o.is_finding and o.rule == waiver.rule and waiver.item in o.items]
        judged.append(_judge(survey, i, waiver, met, among))
    own = next(rule for rule in RULES if rule.id == WAIVERS)
    outcomes += _complete(own, survey, judged)
    order = {rule.id: i for i, rule in enumerate(RULES)}
    return Checked(tuple(sorted(outcomes, key=lambda o: order[o.rule])), tuple(accepted))


def outcomes_of(rule: Rule, survey: Survey) -> list[Outcome]:
    """What one rule says about one vessel; that it does not apply, where it says nothing."""
    return _complete(rule, survey, rule.check(survey))


def _complete(rule: Rule, survey: Survey, found: Iterable[Outcome]) -> list[Outcome]:
    rows = [_filled(rule, survey, outcome) for outcome in found]
    return rows or [_filled(rule, survey, not_applicable(survey.ship, "nothing aboard that the rule is about"))]


def _filled(rule: Rule, survey: Survey, outcome: Outcome) -> Outcome:
    """With what the rule's own page says where the outcome says nothing; what passes needs no place and no remedy."""
    page, names = rule.page, survey.names
    whole = {"rule": rule.id, "items": outcome.items or (outcome.item,), "source": outcome.source or page.source}
    if outcome.is_finding or outcome.outcome == "unknown":
        whole["where"] = outcome.where or names.where(outcome.item)
        whole["place"] = outcome.place or names.place_of(outcome.item)
        whole["why"] = outcome.why or page.why
        whole["clears"] = outcome.clears or page.clears
    return replace(outcome, **whole)


def _judge(survey: Survey, i: int, waiver: Waiver, met: list[Outcome], among: list[Outcome]) -> Outcome:
    """What M-08 says about one waiver: `met` are the findings that it accepts, `among` others that name its item."""
    names, called = survey.names, f"the waiver of {waiver.rule} for {survey.names.the(waiver.item)}"
    if waiver.rule not in {rule.id for rule in RULES}:
        help = nearest(waiver.rule)
        what = f"a waiver names the rule `{waiver.rule}`, which does not exist" + (f"; {help}" if help else "")
        return finding("C", waiver.item, what, waiver.rule, place=names.place("waivers", i, "rule"))
    if not met:
        what = f"{called} has nothing to accept: there is no such finding"
        if among:
            what = (
                f"{called} accepts nothing: that finding is about `{among[0].item}`, and the waiver has to name it so"
            )
        return finding("C", waiver.item, what, "no such finding", place=names.place("waivers", i, "rule"))
    if waiver.until < survey.as_of:
        what = f"{called} ended on {waiver.until}: what it accepted stands again"
        here = f"{waiver.until}, before {survey.as_of}"
        return finding("B", waiver.item, what, here, place=names.place("waivers", i, "until"))
    return passed(waiver.item, f"{called} holds until {waiver.until}, by {waiver.by}: {waiver.reason}")
