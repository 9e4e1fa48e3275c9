"""Statements about boats, and about the book that describes them."""
