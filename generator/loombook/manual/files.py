"""Photos and papers that stand beside the inventory, read to go with the manual."""

from __future__ import annotations

from ..network import Network

PICTURES = (".png", ".jpg", ".jpeg", ".webp", ".gif")
ACTIVE = (".md", ".markdown", ".html", ".htm", ".xhtml", ".svg", ".js")


def path_of(name: str) -> str:
    """Where a file beside the inventory stands in the manual; what a browser would run is plain text there."""
    path = f"files/{name.replace(chr(92), '/')}"
    return path + ".txt" if path.lower().endswith(ACTIVE) else path


def is_picture(name: str) -> bool:
    return name.lower().endswith(PICTURES)


def named(network: Network) -> list[str]:
    """Every file that an item, consumer or cable names, sorted."""
    things = [*network.inventory.items(), *(c.record for c in network.consumers.values())]
    names = {name for thing in things for name in (*thing.photo, *thing.papers)}
    return sorted(names | {name for edge in network.edges.values() if edge.cable for name in edge.cable.photo})


def files(network: Network) -> dict[str, bytes]:
    """Path in the manual → content. The inventory's reader has seen to it that the files are of a fair size."""
    folder = network.inventory.folder
    if folder is None:
        return {}
    return {path_of(name): (folder / name).read_bytes() for name in named(network) if (folder / name).is_file()}
