"""Fault finding: what the look-up, the fault finder, its page and the steps on paper are made of."""

from .data import find_data

__all__ = ["find_data"]
