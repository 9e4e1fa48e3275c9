"""Something is dead: the look-up and the fault finder, and for paper the signs, the method and every device with its fuse."""

from __future__ import annotations

from collections.abc import Iterator

from ...network import Consumer
from ..answer import device_words
from ..book import Book
from ..find.advice import NEVER_LARGER, PRACTICE, SIGNS
from ..routes import route
from ..sheet import EMERGENCY, Sheet
from ..text import Action, Column, Id, Inline, Marked, Raw

FINDER = Raw(
    '<div id="lb-find" class="lb-find">\n'
    "<p>Typing finds a thing only where scripts may run. Without them, use the list at the end of this page.</p>\n"
    "</div>\n\n<!--find-->\n"
)
"""Where the site's script shows itself; the publisher puts the data block in place of the comment."""

SEEN = [Column("What you see"), Column("Where it most likely is"), Column("Measure first at")]
FUSES = [Column("Device"), Column("Fuse or breaker"), Column("Where that is")]

METHOD = (
    Action(
        "Ask what else is dead", "", "One device: its own fuse, switch, plug or way back. Several: what they share."
    ),
    Action(
        "Measure at the source first",
        "",
        "A flat battery or a converter that has gone to sleep looks like many faults.",
    ),
    Action("Switch the device on before you measure", "", "A corroded joint shows full voltage until current flows."),
    Action(
        "Halve the way; do not walk along it",
        "",
        "Right half way: the fault lies further on. Wrong: it lies before. Four readings search sixteen places.",
    ),
    Action(
        "Measure the way back too",
        "",
        "Black lead on the source's negative, red lead on the device's negative: more than a few tenths of a volt is a fault.",
    ),
    Action(
        "Measure a fuse where it sits, on both sides", "", "Its looks prove nothing, and its holder fails as often."
    ),
    Action("Change one thing at a time, for something of the same kind", "", NEVER_LARGER),
    Action("Write down the time, the readings and what you did", "", "In daylight somebody has to make it good."),
)


def pages(book: Book) -> Iterator[Sheet]:
    consumers = sorted(book.network.consumers.values(), key=lambda c: (c.name.casefold(), c.id))
    values = {
        "finder": FINDER,
        "signs": (SEEN, SIGNS),
        "method": METHOD,
        "practice": PRACTICE,
        "fuses": (FUSES, [_row(book, consumer) for consumer in consumers], [c.id for c in consumers]),
    }
    tags = ("dead", "not working", "fault", "fault finding", "look up", "where is the fuse")
    yield Sheet("find/index.md", "Something is dead: find it, find out why", "find", values, EMERGENCY, tags)


def _row(book: Book, consumer: Consumer) -> list[Inline]:
    name = (book.link(consumer.id, consumer.name), " ", Id(consumer.id))
    own = route(book, consumer).own
    if not own:
        return [name, Marked("none of its own", "missing"), Marked("see its page", "missing")]
    hidden = [device for device in own[:-1] if device.hidden]
    more = (f"; and {len(hidden)} hidden, see its page",) if hidden else ()
    return [name, (device_words(book, own[-1]), *more), book.where_device(own[-1])]
