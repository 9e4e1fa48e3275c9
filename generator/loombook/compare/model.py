"""What stands in a report of changes, as values: things, figures, verdicts, and what is to be done."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from ..checks.model import Checked
from ..inventory.records import Inventory
from ..inventory.vessel import PrintCopy, TestRecord
from ..study.model import Range, Study


@dataclass(frozen=True)
class Side:
    """The vessel as one revision has her. Both sides are judged for the same day, so that only she differs."""

    study: Study = field(repr=False)
    checked: Checked = field(repr=False)

    @property
    def inventory(self) -> Inventory:
        return self.study.network.inventory


@dataclass(frozen=True)
class Field:
    """One field of a record."""

    name: str
    """As the inventory writes it: `cells resistance`."""
    before: str
    """Empty where it was not written down."""
    after: str


@dataclass(frozen=True)
class Change:
    """One thing that was added, taken out or altered."""

    kind: str
    """`added`, `removed` or `changed`."""
    family: str
    """Key of the inventory: `fuses`, `cables`, `conditions`."""
    id: str
    """Id, or the name of what has none."""
    title: str
    """What it is called: now, or for what was removed, then."""
    fields: tuple[Field, ...] = ()
    """What differs; of something added or removed, all that is written down."""


@dataclass(frozen=True)
class Figure:
    """A kind of figure, and the rules whose verdict rests on it."""

    name: str
    """`highest fault current`."""
    unit: str
    """Kind of quantity."""
    rules: tuple[str, ...] = ()


@dataclass(frozen=True)
class Moved:
    """A figure that is another one now."""

    figure: Figure
    id: str
    """What it is about: an item, a device, a consumer, a bank's battery."""
    case: str
    """Operating condition, where there is one."""
    before: Range | None
    """In the base unit of its kind; None where there was no such figure."""
    after: Range | None
    verdict_before: str
    """Gravest outcome of the figure's rules about it; empty where none speaks of it."""
    verdict_after: str

    @property
    def turned(self) -> bool:
        """Whether the verdict is another one."""
        return self.verdict_before != self.verdict_after


@dataclass(frozen=True)
class Verdict:
    """What a rule said of an item then, and says now."""

    kind: str
    """`new`, `worse`, `less grave`, `closed`, `cannot be checked now`, `can be checked now`, `gone with the item`."""
    rule: str
    item: str
    before: str
    """Outcome; empty where the rule did not speak of it."""
    after: str
    what: str
    """The sentence of the finding that stands, or of the one that stood."""


@dataclass(frozen=True)
class Stale:
    """A test that was made before something that it rests on was changed."""

    test: TestRecord
    because: tuple[str, ...]
    """Ids of what was changed."""


@dataclass(frozen=True)
class Reprint:
    """A card that says something else now."""

    name: str
    kind: str
    """`new`, `changed` or `no longer`."""
    why: str
    """What differs, in words."""
    copies: tuple[PrintCopy, ...]
    """Copies of it that hang aboard, of the revision before."""


@dataclass(frozen=True)
class Stock:
    """A kind and rating of fuse that is used otherwise than before."""

    kind: str
    rating: str
    used_before: int
    used_after: int
    spares: int
    """Carried now."""


@dataclass(frozen=True)
class Revision:
    """Which one."""

    name: str
    date: datetime.date | None


@dataclass(frozen=True)
class Comparison:
    """Everything that differs between two revisions of one vessel."""

    vessel: str
    before: Revision
    after: Revision
    changes: tuple[Change, ...] = ()
    """Removed, added, changed; each in the order of the inventory."""
    moved: tuple[Moved, ...] = ()
    """Those whose verdict turned first, then what moved furthest."""
    verdicts: tuple[Verdict, ...] = ()
    """Gravest first."""
    failing: tuple[tuple[str, str, str], ...] = ()
    """(operating condition, item, what cannot be supplied and why) of what could be supplied before."""
    accepted: tuple[str, ...] = ()
    """What the owner accepts now and did not before, each in a sentence."""
    standing: int = 0
    """Findings that stood before and still stand alike."""
    stale: tuple[Stale, ...] = ()
    repeated: tuple[TestRecord, ...] = ()
    """Tests that were added."""
    reprints: tuple[Reprint, ...] = ()
    labels: tuple[str, ...] = ()
    """Ids of what is to have another label, or a first one."""
    stock: tuple[Stock, ...] = ()
    left: tuple[str, ...] = ()
    """Ids of removed circuits and cables: whether their wire is out or capped, nothing here says."""
    notify: tuple[tuple[str, str], ...] = ()
    """(whom to tell, why)."""

    @property
    def altered(self) -> Mapping[str, str]:
        """Id → `added` or `changed`, of what is aboard now."""
        return {change.id: change.kind for change in self.changes if change.kind != "removed"}

    @property
    def is_graver(self) -> bool:
        """Whether a finding of grade A stands that did not stand before."""
        return any(v.after == "A" and v.kind in ("new", "worse") for v in self.verdicts)
