"""The list under a location plan: what each numbered dot is, and where."""

from __future__ import annotations

from loombook.drawings.labels import WORDS, Line, block, height
from loombook.drawings.metrics import PITCH, clean, longest_word, width, wrap
from loombook.drawings.model import Plan
from loombook.drawings.scene import Item

COLUMN = 300
"""Least width of a column of the list [px]."""
BESIDE = 60
"""What a column needs beside its words [px]."""


def legend(plan: Plan, wide: float) -> tuple[list[Item], float]:
    """The list in as many columns as the paper holds, filled downwards."""
    if not plan.dots:
        return [], 0.0
    names = {space.id: clean(space.label) for space in plan.spaces}
    words = [longest_word(dot.label, bold=True) for dot in plan.dots]
    words += [longest_word(text) for dot in plan.dots for text in (names.get(dot.space, ""), f"{clean(dot.place)},")]
    least = max([COLUMN, *(word + BESIDE for word in words if word + BESIDE <= wide)])
    columns = max(1, min(int(wide // least), len(plan.dots)))
    each = wide / columns
    entries = []
    for dot in plan.dots:
        indent = max(30, width(clean(dot.number), bold=True) + 10)
        what = f"{clean(dot.label)} {WORDS.get(dot.state, '')}".strip()
        where = ", ".join(part for part in (names.get(dot.space, ""), clean(dot.place)) if part)
        room = each - indent - 16
        lines: list[Line] = [((text, True),) for text in wrap(what, room, bold=True, most=2)]
        lines += [((text, False),) for text in wrap(where, room, most=2)]
        entries.append((dot, indent, lines))
    heights = [
        max(height(lines), PITCH) + 6 for _, _, lines in entries
    ]  # the number takes a line, whatever stands beside it
    limit = sum(heights) / columns
    items, column, y, deepest = [], 0, 0.0, 0.0
    for (dot, indent, lines), tall in zip(entries, heights, strict=True):
        if y and y + tall / 2 > limit and column < columns - 1:
            column, y = column + 1, 0.0
        x = column * each
        texts = (*block(round(x + 4, 1), y, [((clean(dot.number), True),)]), *block(round(x + indent, 1), y, lines))
        items.append(Item(f"list {dot.number}", "device", texts, "", dot.href, dot.state, False))
        y += tall
        deepest = max(deepest, y)
    return items, deepest
