"""Tests of the checks: each rule's own examples, and whole boats."""
