"""`mkdocs serve` beside an editor: a saved change is shown, a slip is shown where it is, and the mended file comes back."""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.publish.site import project

MINIMAL = Path(__file__).parents[1] / "vessels" / "minimal"
PATIENCE = 60
"""How long a page may take on a busy machine [s]; how long it should take is measured in the bench."""


def free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[Path, Callable[[str], str]]]:
    """The only file of a small vessel whose manual is being served, and a function that waits for words on the home page."""
    config = project(tmp_path)
    shutil.copytree(MINIMAL, tmp_path / "vessel", dirs_exist_ok=True)
    (file,) = (tmp_path / "vessel").glob("*.yaml")
    address = f"127.0.0.1:{free_port()}"
    command = [sys.executable, "-m", "mkdocs", "serve", "--livereload", "--dirty", "-f", str(config), "-a", address]
    with open(tmp_path / "log", "w") as log:
        server = subprocess.Popen(command, stdout=log, stderr=subprocess.STDOUT, cwd=tmp_path)

    def page_with(words: str) -> str:
        until = time.monotonic() + PATIENCE
        page = ""
        while time.monotonic() < until and server.poll() is None:
            try:
                page = urllib.request.urlopen(f"http://{address}/index.html", timeout=5).read().decode()
            except (urllib.error.URLError, OSError):
                page = ""
            if words in page:
                return page
            time.sleep(0.2)
        pytest.fail(f"{words!r} did not appear on:\n{page}\n{(tmp_path / 'log').read_text()}")

    yield file, page_with
    server.terminate()
    server.wait(timeout=10)


def test_a_save_is_followed_a_slip_is_shown_and_the_mended_file_comes_back(served):
    file, page_with = served
    sound = file.read_text(encoding="utf-8")
    name = next(line.split(":", 1)[1].strip() for line in sound.splitlines() if line.strip().startswith("name:"))
    page_with(name)

    file.write_text(sound.replace(name, "Renamed", 1), encoding="utf-8")
    page_with("Renamed")

    file.write_text(sound.replace("name:", "nmae:", 1), encoding="utf-8")
    broken = page_with("The inventory cannot be read")
    assert f"vessel/{file.name}:" in broken and "nmae" in broken

    file.write_text(sound, encoding="utf-8")
    assert "The inventory cannot be read" not in page_with(f"<title>{name} - ")  # the message quotes the name too
