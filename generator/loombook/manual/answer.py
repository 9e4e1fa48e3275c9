"""The answer for one device: which fuse, where, is there a spare. Its page, the look-up and the pocket file say the same."""

from __future__ import annotations

from ..network import Consumer
from .book import Book
from .devices import Device
from .routes import Route
from .text import Inline, Marked, Strong
from .words import rated


def answer(book: Book, consumer: Consumer, found: Route) -> list[tuple[str, Inline]]:
    """Fuse, rating, place, spare and hidden fuses, before anything else."""
    rows: list[tuple[str, Inline]] = []
    if not found.path:
        rows.append(("Fuse", Marked("no way from any source to this device is written down", "missing")))
    elif not found.own:
        rows.append(("Fuse", Marked("none of its own: nothing near it protects this wire", "missing")))
        rows += [
            (
                f"Next {device.word.lower()} towards the source",
                (device_words(book, device), "; ", book.where_device(device)),
            )
            for device in found.met
        ]
    else:
        main, inline = found.own[-1], found.own[:-1]
        rows += [
            (main.word, device_words(book, main)),
            ("Where", book.where_device(main)),
            ("Spare", book.spare_words(main)),
        ]
        if not all(hop.needed for hop in found.path.out if hop.edge.id in main.edges):
            rows.append(
                (
                    f"Not by this {main.word.lower()} alone",
                    "another way goes round it: without it the device still is live",
                )
            )
        for device in inline:
            hidden = ", HIDDEN" if device.hidden else ""
            rows.append(
                (
                    f"{device.word} in the line too",
                    (device_words(book, device), hidden, "; ", book.where_device(device)),
                )
            )
            rows.append(("Its spare", book.spare_words(device)))
    rows.append(("The device itself", book.where(consumer.record.at)))
    works = consumer.id in book.works_after
    rows.append(("After the isolation card", "keeps working" if works else "goes dead"))
    return rows


def device_words(book: Book, device: Device) -> Inline:
    """`5 A blade fuse, way 7 of Main panel, labelled NAV LIGHTS`."""
    label = f", labelled {device.name}" if device.panel and not device.name.startswith("way ") else ""
    return (Strong(rated(device.rating)), " ", device.kind_words, ", ", book.named(device.id), label)
