"""The rules that a vessel is judged by, each with its page and its test, and what they find."""

from .model import Accepted, Checked, Outcome, diagnostic
from .page import HEADINGS, Page, Rule
from .rules import RULES, UnknownRule, explain, rule
from .run import run_checks

__all__ = [
    "HEADINGS", "RULES", "Accepted", "Checked", "Outcome", "Page", "Rule", "UnknownRule", "diagnostic", "explain",
    "rule", "run_checks",
]  # fmt: skip
