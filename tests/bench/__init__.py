"""Measurements, not tests: `make bench` prints them."""
