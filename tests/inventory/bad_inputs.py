"""Every bad input of the tests: the files and folders of `cases/`, and what no text file can hold."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from loombook.diagnostics import InventoryError
from loombook.inventory import read_inventory, read_text
from loombook.network import build

CASES = Path(__file__).parent / "cases"

VESSEL = "vessel: {name: Little Tern}\n"
FUSE = "fuses:\n  F1: {name: Main fuse, ratting: 10 A, kind: blade}\n"

BYTES: Mapping[str, bytes] = {
    "control-character": (VESSEL + "fuses:\n  F1: {name: Main\afuse}\n").encode(),
    "escape-sequence-for-a-terminal": (VESSEL + "fuses:\n  F1: {name: \x1b[31mred}\n").encode(),
    "zero-byte": (VESSEL + "fuses:\n  F1: {name: Main\0fuse}\n").encode(),
    "latin-1": (VESSEL + "fuses:\n  F1: {name: Hauptsicherung für den Kühlschrank}\n").encode("latin-1"),
    "utf-16": (VESSEL + FUSE).encode("utf-16-le"),
    "utf-16-with-its-mark": (VESSEL + FUSE).encode("utf-16"),
    "byte-order-mark": b"\xef\xbb\xbf" + (VESSEL + FUSE).encode(),
    "second-byte-order-mark": (VESSEL + "\ufeff" + FUSE).encode(),
    "windows-line-ends": (VESSEL + FUSE).replace("\n", "\r\n").encode(),
    "line-ends-of-old-machines": (VESSEL + FUSE).replace("\n", "\r").encode(),
    "line-separator-in-a-text": (VESSEL.replace("Tern", "\u2028Tern") + FUSE).encode(),
    "cut-inside-a-letter": (VESSEL + "fuses:\n  F1: {name: Kühl").encode()[:-3],
    "ten-megabytes-of-brackets": b"[" * 10_000_000,
    "four-megabytes-of-brackets": b"[" * 3_999_999,
    "four-megabytes-of-braces": b"{a: " * 999_999,
    "four-megabytes-of-dashes": b"- " * 1_999_999,
    "million-values": b"[" + b"a," * 1_000_000 + b"]",
    "million-times-one-key": b"a: b\n" * 799_999,
    "text-without-end": (VESSEL + f"fuses:\n  F1: {{name: {'a' * 200_000}}}\n").encode(),
    "very-long-line": (VESSEL + f"fuses: {{{' ' * 200_000}F1: {{rating: 10 A, kind: blade, hiden: yes}}}}\n").encode(),
    "very-long-key": (VESSEL + f"fuses:\n  F1: {{rating: 10 A, kind: blade, {'a' * 1_000}: 1}}\n").encode(),
}


def _huge_photo(folder: Path) -> None:
    (folder / "vessel.yaml").write_text(
        VESSEL + "spaces:\n  saloon: {name: Saloon, photo: saloon.jpg}\n", encoding="utf-8"
    )
    with (folder / "saloon.jpg").open("wb") as file:
        file.truncate(25_000_001)


def _too_many_files(folder: Path) -> None:
    for number in range(501):
        (folder / f"{number}.yaml").touch()


def _hidden_file(folder: Path) -> None:
    (folder / ".vessel.yaml").write_text(VESSEL, encoding="utf-8")


FOLDERS: Mapping[str, Callable[[Path], None]] = {
    "no-folder": Path.rmdir,
    "file-in-place-of-the-folder": lambda folder: (folder.rmdir(), folder.touch()),
    "folder-without-a-yaml-file": lambda folder: (folder / "vessel.txt").touch(),
    "folder-with-a-hidden-file": _hidden_file,
    "folder-with-too-many-files": _too_many_files,
    "photo-that-is-huge": _huge_photo,
}

NAMES = tuple(sorted([*(path.stem for path in CASES.iterdir() if path.suffix != ".txt"), *BYTES, *FOLDERS]))


def said(name: str, empty: Path) -> str:
    """What is said of the bad input `name`; `empty` is a folder that it may fill."""
    try:
        if name in FOLDERS:
            folder = empty / name
            folder.mkdir()
            FOLDERS[name](folder)
            build(read_inventory(folder))
        elif name in BYTES:
            build(read_text(BYTES[name]))
        elif (CASES / name).is_dir():
            build(read_inventory(CASES / name))
        else:
            build(read_text((CASES / f"{name}.yaml").read_bytes()))
    except InventoryError as error:
        return error.text
    return "nothing is wrong with it\n"


def expected(name: str) -> Path:
    """The file with the message as it is to be."""
    return CASES / f"{name}.txt"
