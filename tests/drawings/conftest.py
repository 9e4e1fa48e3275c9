"""The drawings that several tests look at, laid out once."""

from __future__ import annotations

import pytest
from loombook.drawings import strip
from loombook.drawings.drawset import scenes
from loombook.drawings.scene import Scene

from tests.drawings import samples


@pytest.fixture(scope="session")
def yacht() -> dict[str, Scene]:
    """All drawings of the sample yacht by name."""
    drawn = [*scenes(samples.book()), strip.scene(samples.strip())]
    return {scene.name: scene for scene in drawn}
