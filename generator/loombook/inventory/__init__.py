"""YAML to checked records: a strict located reader, the records by family, the errors in plain words."""

from .load import read_inventory, read_text
from .records import Inventory

__all__ = ["Inventory", "read_inventory", "read_text"]
