"""Loombook: a vessel's electrical manual, generated from its inventory."""
