"""What every writer can say: the blocks that pages are made of, one method each, set for the site or for paper."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from ..study.model import Why, Whys
from .text import Action, Column, Inline, Raw

Body = Callable[[], str]
"""What stands between `{% call %}` and `{% endcall %}` in a template."""


class Writer(ABC):
    """Sets text for one target. Templates speak through nothing else, so a page is said once."""

    name: str

    def finish(self, value: Any) -> Raw:
        """What Jinja does with each `{{ expression }}`: text is escaped for the target, set text goes out as it is."""
        if value is None:
            raise TypeError("a template printed nothing known; say in words what is missing")
        return value if isinstance(value, Raw) else self.inline(value)

    @abstractmethod
    def inline(self, words: Inline) -> Raw:
        """Words in a line."""

    @abstractmethod
    def title(self, words: Inline) -> Raw:
        """The page's own heading."""

    @abstractmethod
    def heading(self, words: Inline, anchor: str = "", level: int = 2) -> Raw:
        """A heading below it, and the name by which a link finds it."""

    @abstractmethod
    def anchor(self, name: str) -> Raw:
        """A place that a link finds, with nothing to see."""

    @abstractmethod
    def paragraph(self, *words: Inline) -> Raw: ...

    @abstractmethod
    def small(self, *words: Inline) -> Raw:
        """A paragraph of second rank: sources, how a figure was made."""

    @abstractmethod
    def meta(self, words: Inline, invented: bool) -> Raw:
        """Which vessel and which revision this page speaks of, and whether she exists."""

    @abstractmethod
    def listing(self, items: Iterable[Inline]) -> Raw: ...

    @abstractmethod
    def index(self, items: Iterable[Inline]) -> Raw:
        """A long list, in columns where there is room."""

    @abstractmethod
    def facts(self, facts: Iterable[tuple[str, Inline]]) -> Raw:
        """Terms and what they are."""

    @abstractmethod
    def answer(self, facts: Iterable[tuple[str, Inline]], *more: Inline) -> Raw:
        """What the reader came for, first on the page and large."""

    @abstractmethod
    def table(self, caption: Inline, columns: Sequence[Column], rows: Iterable[Sequence[Inline]], stick: bool = False,
              anchors: Sequence[str] = ()) -> Raw:  # fmt: skip
        """A table. The first cell of a row is its header; `anchors` names the rows for links."""

    @abstractmethod
    def figure(self, name: str, caption: Inline) -> Raw:
        """A drawing of the manual."""

    @abstractmethod
    def photo(self, path: str, caption: Inline) -> Raw:
        """A picture among the manual's files."""

    @abstractmethod
    def steps(self, actions: Iterable[Action]) -> Raw:
        """Numbered actions, each whole on one sheet."""

    @abstractmethod
    def path(self, points: Iterable[Inline]) -> Raw:
        """Things in the order in which the current meets them."""

    @abstractmethod
    def caution(self, *paragraphs: Inline, danger: bool = False) -> Raw:
        """Where harm is possible; `danger` where life is."""

    @abstractmethod
    def note(self, *paragraphs: Inline) -> Raw:
        """A plain box."""

    @abstractmethod
    def buttons(self, links: Iterable[Inline]) -> Raw:
        """Large links for a thumb."""

    @abstractmethod
    def why(self, summary: Inline, why: Why, anchor: str = "", table: str = "") -> Raw:
        """How a figure came about, folded away on a screen; with a table that is set already below it."""

    def whys(self, summary: Inline, whys: Whys, anchors: Sequence[str], anchor: str = "") -> Raw:
        """How many figures of one kind came about: what they share, then a row for each, which `anchors` names."""
        columns = [Column(head) for head in whys.heads]
        return self.why(summary, whys.shared, anchor, self.table(summary, columns, whys.rows, anchors=anchors))

    @abstractmethod
    def finding(self, rank: str, head: Inline, facts: Iterable[tuple[str, Inline]], anchor: str = "") -> Raw:
        """One finding, whole."""

    @abstractmethod
    def card(self, head: Inline, aside: Inline, foot: Inline, caller: Body) -> Raw:
        """One sheet that hangs on a wall."""

    @abstractmethod
    def boxes(self, live: Sequence[Inline], working: Sequence[Inline], lost: Sequence[Inline]) -> Raw:
        """STILL LIVE and STILL WORKING, side by side."""

    @abstractmethod
    def code(self, text: str) -> Raw:
        """Lines of an inventory, as written."""

    def apart(self, caller: Body) -> Raw:
        """What repeats the names of other things so often that a search for them had better not find it here."""
        return Raw(caller())

    def drawn_too(self, drawings: Sequence[str], caller: Body) -> Raw:
        """What `drawings` say too, for who cannot see them. The bound manual leaves it to the drawing, if there is one."""
        return Raw(caller())

    def downloads(self) -> Raw:
        """Where whoever publishes puts what can be taken along, the PDF and the pocket file; nowhere on paper."""
        return Raw("")

    @abstractmethod
    def screen_only(self, caller: Body) -> Raw:
        """What makes no sense on paper."""
