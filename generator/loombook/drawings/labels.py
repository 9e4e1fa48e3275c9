"""What is written at an item: its id in bold, its facts wrapped to the room there is, and a word for its state."""

from __future__ import annotations

from loombook.drawings.metrics import ASCENT, PITCH, SIZE, clean, longest_word, width, wrap
from loombook.drawings.model import Cable, Element, Node, Reference, State
from loombook.drawings.scene import Text

Run = tuple[str, bool]
"""A piece of text, and whether it is bold."""
Line = tuple[Run, ...]
"""Pieces that stand side by side."""

WORDS = {
    State.LIVE: "LIVE",
    State.OPEN: "OPEN",
    State.ADDED: "ADDED",
    State.REMOVED: "REMOVED",
    State.CHANGED: "CHANGED",
}
"""States that are told by a word as well as by the line."""
ALTERED = (State.ADDED, State.REMOVED, State.CHANGED)
"""States that a cable says in words too. Live and open cables say theirs at the ends, or a picture would be full of it."""
GAP = 5
"""Between a bold id and the text that follows it on the same line [px]."""


def label_of(item: Element | Cable | Reference | Node, room: float, most: int = 5, joined: bool = True) -> list[Line]:
    """The lines of a label; what does not fit ends in an ellipsis and stands in full in the item's name.

    Args:
        item: what is labelled; an id that begins with ~ is not printed
        room: width [px]
        most: number of lines at most
        joined: the first fact begins beside the id, where there is room
    """
    told = not isinstance(item, Reference) and (not isinstance(item, Cable) or item.told)
    printed = clean(item.id) if told and not item.id.startswith("~") else ""
    bold = wrap(printed, room, bold=True, most=2)
    if item.state in WORDS and (not isinstance(item, Cable) or item.state in ALTERED):
        bold = [*bold[:-1], *_joined_or_below(bold[-1:], WORDS[item.state], room)]
    facts = [line for line in item.lines if clean(line)]
    if isinstance(item, Cable) and facts:  # short figures run on in one line, each kept whole
        facts = [", ".join(clean(fact).replace(" ", "\u00a0") for fact in facts)]
    if joined and len(bold) == 1 and facts:
        taken = width(bold[0], bold=True) + GAP
        spare = max(1, most - len(facts) + 1)
        first, *rest = wrap(facts[0], room, most=spare, taken=taken)
        head: Line = ((bold[0], True), (first, False)) if first else ((bold[0], True),)
        flown = [((line, False),) for line in rest]
        return [head, *flown, *_facts(facts[1:], room, most - 1 - len(flown))]
    return [((line, True),) for line in bold] + _facts(facts, room, most - len(bold))


def _joined_or_below(last: list[str], word: str, room: float) -> list[str]:
    """The state's word after the id, or on a line of its own."""
    if last and width(f"{last[0]} {word}", bold=True) <= room:
        return [f"{last[0]} {word}"]
    return [*last, word]


def _facts(facts: list[str], room: float, most: int) -> list[Line]:
    """Lines of plain text, wrapped; each keeps at least one line as long as there is room for it."""
    out: list[Line] = []
    for place, fact in enumerate(facts):
        spare = most - len(out) - (len(facts) - place - 1)
        if len(out) < most:
            out += [((part, False),) for part in wrap(fact, room, most=max(1, spare))]
    return out[:most]


def longest(item: Element | Cable | Reference | Node) -> float:
    """Width of the longest word of a label [px]."""
    told = not isinstance(item, Reference) and (not isinstance(item, Cable) or item.told)
    printed = longest_word(item.id, bold=True) if told and not item.id.startswith("~") else 0.0
    facts = item.lines[:-1] if isinstance(item, Cable) else ()  # run on with a comma
    words = (longest_word(line) for line in (*item.lines, *(f"{clean(fact)}," for fact in facts)))
    return max([printed, state_width(item), *words])


def state_width(item: Element | Cable | Reference | Node) -> float:
    """Width of the word for the state [px]; 0 where none is said."""
    return width(WORDS.get(item.state, ""), bold=True)


def height(lines: list[Line]) -> float:
    """Height of a block of lines [px]."""
    return len(lines) * PITCH


def widest(lines: list[Line]) -> float:
    """Width of the widest line [px]."""
    return max(
        (sum(width(text, bold=bold) for text, bold in line) + GAP * (len(line) - 1) for line in lines), default=0.0
    )


def block(x: float, top: float, lines: list[Line], muted: bool = False) -> tuple[Text, ...]:
    """The lines as texts, the first line's box beginning at the top."""
    out = []
    for row, line in enumerate(lines):
        at = x
        for text, bold in line:
            out.append(Text(round(at, 1), round(top + ASCENT * SIZE + row * PITCH, 1), text, bold=bold, muted=muted))
            at += width(text, bold=bold) + GAP
    return tuple(out)


def full_name(item: Element | Cable | Reference | Node) -> str:
    """What a screen reader says: the name, or the id and the facts."""
    facts = ", ".join(clean(line) for line in item.lines if clean(line))
    told = clean(item.name) or facts
    named = "" if isinstance(item, Reference) or item.id.startswith("~") else clean(item.id)
    state = f" ({WORDS[item.state].lower()})" if item.state in WORDS else ""
    return ": ".join(part for part in (named, told) if part) + state
