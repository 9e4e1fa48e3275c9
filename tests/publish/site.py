"""Builds a site from a manual the way `mkdocs build` does, in a folder of the test's own."""

from __future__ import annotations

import logging
from pathlib import Path

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config

import loombook.publish.plugin as plugin
from loombook.manual.model import Manual

MKDOCS_YML = Path(__file__).parents[2] / "mkdocs.yml"


def project(folder: Path, docs: dict[str, str] = {}) -> Path:
    """A project as a user has it: mkdocs.yml, an empty vessel/ and hand-written pages; returns mkdocs.yml."""
    (folder / "vessel").mkdir(parents=True)
    (folder / "docs").mkdir()
    for name, text in docs.items():
        (folder / "docs" / name).write_text(text, encoding="utf-8")
    config = folder / "mkdocs.yml"
    config.write_text(MKDOCS_YML.read_text(encoding="utf-8"), encoding="utf-8")
    return config


def build_site(manual: Manual, folder: Path, docs: dict[str, str] = {}, *, strict: bool = True) -> Path:
    """The folder of the built site."""
    config = project(folder, docs)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plugin, "manual_of", lambda *_: manual)
        loaded = load_config(str(config), strict=strict)
        loaded.plugins.on_startup(command="build", dirty=False)
        build(loaded)
    return folder / "site"


def warnings_of(manual: Manual, folder: Path, caplog: pytest.LogCaptureFixture, docs: dict[str, str] = {}) -> list[str]:
    """What a strict build would stop for."""
    with caplog.at_level(logging.WARNING, logger="mkdocs"):
        build_site(manual, folder, docs, strict=False)
    return [record.getMessage() for record in caplog.records if record.levelno >= logging.WARNING]
