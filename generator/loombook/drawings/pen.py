"""The pen: carries each branch's line from thing to thing and keeps what is drawn as items."""

from __future__ import annotations

from dataclasses import dataclass, field

from loombook.drawings.geometry import Point
from loombook.drawings.labels import full_name
from loombook.drawings.model import Branch, Cable, Element, Reference
from loombook.drawings.scene import Item, Part, Symbol, Text, Wire


@dataclass
class _Trail:
    """A line that still runs."""

    points: list[Point]
    came_from: str
    cable: Cable | None = None
    texts: tuple[Text, ...] = ()


@dataclass
class Pen:
    """What is drawn so far."""

    here: str = ""
    """Id of the item the page is about."""
    one_way: frozenset[str] = frozenset()
    """Ids of the branches that carry current downwards only."""
    wires: list[Item] = field(default_factory=list)
    things: list[Item] = field(default_factory=list)
    _trails: dict[str, _Trail] = field(default_factory=dict)
    _count: dict[str, int] = field(default_factory=dict)

    @property
    def items(self) -> tuple[Item, ...]:
        """Everything, lines first."""
        return (*self.wires, *self.things)

    def begin(self, branch: Branch, at: Point, came_from: str) -> None:
        """A branch's line leaves a thing."""
        self._trails[branch.id] = _Trail([at], came_from)

    def run(self, branch: Branch, *points: Point) -> None:
        """The line goes on to these points."""
        trail = self._trails[branch.id].points
        for point in points:
            if trail[-1] == point:
                continue
            level = len(trail) > 1 and trail[-2].y == trail[-1].y == point.y
            upright = len(trail) > 1 and trail[-2].x == trail[-1].x == point.x
            if level or upright:
                trail.pop()
            trail.append(point)

    def end(self, branch: Branch, at: Point, arrives: str) -> None:
        """The line arrives at a thing and is kept, as the cable met on the way if there was one."""
        self.run(branch, at)
        trail = self._trails.pop(branch.id)
        cable = trail.cable
        if len(trail.points) < 2 and not trail.texts:
            return
        number = self._count[branch.id] = self._count.get(branch.id, -1) + 1
        state = cable.state if cable else branch.state
        wires = (Wire(tuple(trail.points), branch.service, state, (trail.came_from, arrives)),)
        key = cable.id if cable and cable.id and not cable.id.startswith("~") else f"~wire {branch.id}.{number}"
        joins = tuple(end if isinstance(end, str) else "" for end in (branch.upper, branch.lower))
        self.wires.append(
            Item(
                key,
                "cable" if cable else "wire",
                (*(wires if len(trail.points) > 1 else ()), *trail.texts),
                full_name(cable) if cable else "",
                cable.href if cable else "",
                state,
                key == self.here,
                branch.id,
                joins,
                branch.id not in self.one_way,
            )
        )

    def cable(self, branch: Branch, cable: Cable, joint: Point, texts: tuple[Text, ...]) -> None:
        """A cable's label beside the running line; a second cable in one stretch begins at the joint."""
        earlier = self._trails[branch.id]
        if earlier.cable is not None and (earlier.texts or earlier.points != [joint]):
            name = f"{branch.id}+{self._count.get(branch.id, -1) + 1}"
            self.end(branch, joint, name)
            self.begin(branch, joint, name)
        trail = self._trails[branch.id]
        trail.cable, trail.texts = cable, texts

    def device(self, branch: Branch, device: Element, symbol: Symbol, texts: tuple[Text, ...]) -> None:
        """The line arrives at a device and leaves it on its other side."""
        self.end(branch, symbol.ports[0], device.id)
        self.thing(branch, device, (symbol, *texts))
        self.begin(branch, symbol.ports[1], device.id)

    def thing(self, branch: Branch, what: Element | Reference, parts: tuple[Part, ...]) -> None:
        """Keep a device, a source, a load or a reference."""
        role = "reference" if isinstance(what, Reference) else "device"
        here = bool(what.id) and what.id == self.here
        self.things.append(Item(what.id, role, parts, full_name(what), what.href, what.state, here, branch.id))
