"""`mkdocs serve --dirty`: a save sets only the pages that it changes, and the site is the one a whole build makes."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from mkdocs.commands.build import build
from mkdocs.config import load_config

from tests.publish.site import project

LAUNCH = Path(__file__).parents[1] / "vessels" / "launch"
DOCS = {"words.md": "# Words\n\nThe [motor](item:M1).\n"}


class Preview:
    """A vessel's site that is built again and again, as `serve` does."""

    def __init__(self, folder: Path) -> None:
        self.config = project(folder, DOCS)
        shutil.copytree(LAUNCH, folder / "vessel", dirs_exist_ok=True)
        self.vessel, self.site = folder / "vessel", folder / "site"
        self._load().plugins.on_startup(command="serve", dirty=True)

    def _load(self):
        return load_config(str(self.config), site_dir=str(self.site))

    def build(self) -> frozenset[str]:
        """Build; returns the pages that were left as they were."""
        config = self._load()
        build(config, serve_url="http://127.0.0.1/", dirty=True)
        return config.plugins["loombook"].same

    def build_whole(self) -> None:
        """Build as `mkdocs build` does, in a process that knows of no other build."""
        subprocess.run([sys.executable, "-m", "mkdocs", "build", "--quiet", "-f", str(self.config)], check=True)

    def edit(self, old: str, new: str) -> None:
        (file,) = [f for f in self.vessel.rglob("*.yaml") if old in f.read_text(encoding="utf-8")]
        file.write_text(file.read_text(encoding="utf-8").replace(old, new, 1), encoding="utf-8")

    def files(self) -> dict[str, bytes]:
        return {str(f.relative_to(self.site)): f.read_bytes() for f in self.site.rglob("*") if f.is_file()}


def a_length(vessel: Path) -> str:
    """A cable's size and length as the inventory of the launch writes it, of the only such cable."""
    text = "\n".join(f.read_text(encoding="utf-8") for f in vessel.rglob("*.yaml"))
    found = re.findall(r"\d+ mm², \d+\.\d+ m\b", text)
    return next(size for size in found if found.count(size) == 1 and text.count(size) == 1)


@pytest.fixture(scope="module")
def after_an_edit(tmp_path_factory) -> tuple[frozenset[str], dict[str, bytes], dict[str, bytes]]:
    """Pages left alone by a save, the preview's files after it, after a slip and its mending, and those of a whole build."""
    preview = Preview(tmp_path_factory.mktemp("preview"))
    preview.build()
    length = a_length(preview.vessel)
    longer = length.split(",")[0] + ", 9.9 m"
    preview.edit(length, longer)
    left = preview.build()
    preview.edit(longer, longer + "?")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("loombook.publish.plugin.log.info", lambda message: None)
        assert preview.build() == frozenset()
    assert b"cannot be read" in preview.files()["index.html"]
    preview.edit(longer + "?", longer)
    assert preview.build() >= left

    whole = Preview(tmp_path_factory.mktemp("whole"))
    whole.edit(length, longer)
    whole.build_whole()
    return left, preview.files(), whole.files()


def test_a_longer_cable_leaves_most_pages_alone(after_an_edit):
    left, _, whole = after_an_edit

    assert len([path for path in whole if path.endswith(".html")]) / 2 < len(left)


def test_the_preview_is_the_site_of_a_whole_build_to_the_byte(after_an_edit):
    _, preview, whole = after_an_edit
    search = [path for path in whole if path.startswith("search/search_index")]

    assert [path for path in whole if path not in search and preview.get(path) != whole[path]] == []
    assert sorted(set(preview) - set(whole)) == []


def test_the_preview_finds_what_a_whole_build_finds(after_an_edit):
    _, preview, whole = after_an_edit

    assert _entries(preview) == _entries(whole)


def _entries(files: dict[str, bytes]) -> list[dict]:
    docs = json.loads(files["search/search_index.json"])["docs"]
    return sorted(docs, key=lambda entry: entry["location"].partition("#")[0])
