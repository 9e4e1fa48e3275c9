"""The two orders of switching off: fast, where life comes first, and orderly, where nothing is harmed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from ...network.handles import Handle
from ...network.isolate import Isolator
from ...network.live import all_primary, alive, state
from .boat import Boat
from .model import Step
from .words import capital, listed, place


def fast(boat: Boat) -> list[Step]:
    """The smallest set of handles, life first: what turns, then what kills most, the sun, the fuses, the shore lead."""
    handles = list(boat.ship.handles)
    first = [h for h in handles if _turns(boat, h) or h.propulsion]
    first.sort(key=lambda h: h.kind != "stop")
    stopped = {source for h in first for source in h.sources}
    steps = [boat.stop_engine(e) for e in boat.engines if not stopped & set(e.alternators)]
    switches = [h for h in handles if h not in first and h.kind in ("switch", "breaker")]
    rest = [h for kind in ("stop", "fuse", "plug") for h in handles if h not in first and h.kind == kind]
    steps = [by_choice(step) for step in steps] + drives_stopped(boat)
    return [*steps, *boat.steps([*first, *most_first(boat.isolator, switches, first), *rest])]


def by_choice(step: Step) -> Step:
    """A stop that is good to make but is no part of the smallest set: it kills nothing more."""
    return replace(step, handles=())


def _turns(boat: Boat, handle: Handle) -> bool:
    return handle.kind == "stop" and any(source in boat.inventory.alternators for source in handle.sources)


def most_first(isolator: Isolator, handles: Sequence[Handle], before: Sequence[Handle]) -> list[Handle]:
    """At each point the handle that kills most next; where two kill as much, the one in the space one stands in."""
    left, done = list(handles), list(before)
    order: list[Handle] = []
    while left:
        here = order[-1].at.space if order and order[-1].at else None
        counts = {h: len(isolator.live_nodes([*done, h])) for h in left}
        best = min(left, key=lambda h: (counts[h], not (here and h.at and h.at.space == here), handles.index(h)))
        left.remove(best)
        done.append(best)
        order.append(best)
    return order


def drives_stopped(boat: Boat) -> list[Step]:
    """Electric drives stopped at their own control, where one is written down."""
    motors = [m for m in boat.inventory.motors.values() if m.kind == "drive"]
    return [Step(f"Stop {m.title}", capital(m.stop), "The propeller slows down", helm=True) for m in motors if m.stop]


def orderly(boat: Boat) -> list[Step]:
    """Shore, generators, sun, engine, drive, heavy loads; the batteries last."""
    loads = heavy_loads(boat)
    rest = [h for h in boat.ship.handles if h.kind not in ("plug", "stop") and h not in loads]
    rest.sort(key=lambda h: (h.kind == "fuse" and not boat.parted[h.id], boat.battery_rank(h)))
    before = sources(boat)
    early = {id for step in before for id in step.handles}
    return [*before, *drives(boat), *boat.steps(h for h in loads if h.id not in early), *_not_running(boat, loads),
            *boat.steps(h for h in rest if h.id not in early)]  # fmt: skip


def sources(boat: Boat) -> list[Step]:
    """What gives, in the order in which it is shut off: the shore, generators, the sun, the engine."""
    steps: list[Step] = []
    for plug in (h for h in boat.isolator.handles if h.kind == "plug"):
        steps += boat.steps([*_beside(boat, f"{plug.id} L", ("breaker", "switch")), plug])
    for generator in boat.inventory.generators:
        steps += boat.steps([h for h in boat.isolator.handles if generator in h.sources])
    for array in boat.inventory.solar_arrays.values():
        steps += sun_off(boat, array.id)
    return steps + [boat.stop_engine(e) for e in boat.engines]


def sun_off(boat: Boat, array: str) -> list[Step]:
    """The array's own stop; else a handle between it and its controller; else a cover."""
    stop = [h for h in boat.isolator.handles if array in h.sources]
    between = _beside(boat, f"{array} +", ("switch", "breaker"))
    return boat.steps(stop[:1] or between[:1]) or [boat.cover(array)]


def _beside(boat: Boat, node: str, kinds: Iterable[str]) -> list[Handle]:
    """The one handle at the end of a stretch of wiring; nothing where there are several, or a load on the stretch."""
    flow = boat.isolator.flow
    here = flow.cluster[node]
    numbers = {number for _, number in flow.links.get(here, ())}
    found = [flow.handles[number] for number in sorted(numbers) if flow.handles[number].kind in kinds]
    feeds = any(flow.cluster[c.plus] == here for c in boat.network.consumers.values()) or flow.inputs.get(here)
    return found if len(numbers) == 1 and not feeds else []


def heavy_loads(boat: Boat) -> list[Handle]:
    """The handles of motors, inverters and converters that take nothing else with them."""
    inventory, flow = boat.inventory, boat.isolator.flow
    core, on = state(boat.network), all_primary(boat.network)
    before, live = alive(core, on).consumers, flow.live(boat.isolator.off)
    found: dict[Handle, None] = {}
    for item in (*inventory.inverters.values(), *inventory.motors.values(), *inventory.converters.values()):
        post = f"{item.id} in +" if item.id in inventory.converters else f"{item.id} +"
        if item.id in inventory.motors:
            own = {item.id}
        else:
            own = before - alive(core, on, [item.id]).consumers
        here = flow.cluster[post]
        for number in sorted({number for _, number in flow.links.get(here, ())}):
            handle = flow.handles[number]
            if (
                handle.kind in ("switch", "breaker")
                and here in live
                and here not in flow.live({number})
                and boat.isolator.lost_by(handle) <= own
            ):
                found[handle] = None
                break
    return list(found)


def _not_running(boat: Boat, loads: Sequence[Handle]) -> list[Step]:
    """Heavy loads without a switch of their own are seen to stand still before their battery is opened."""
    live = boat.isolator.live_nodes(loads)
    names = [
        m.title
        for m in boat.inventory.motors.values()
        if m.kind != "drive" and m.use != "engine" and f"{m.id} +" in live
    ]
    return [Step("Check that nothing heavy runs", listed(names))] if names else []


def drives(boat: Boat) -> list[Step]:
    """Electric drives stopped, and their propellers held where the water would turn them."""
    steps: list[Step] = []
    for motor in boat.inventory.motors.values():
        if motor.kind != "drive" and not motor.regenerates:
            continue
        how = capital(motor.stop) if motor.stop else f"Throttle to zero. {place(boat.inventory, motor.at)}"
        steps.append(Step(f"Stop {motor.title}", how, "The propeller stands still"))
        if motor.regenerates:
            steps.append(
                Step(f"Lock the propeller of {motor.title}", "", "The shaft does not turn while the boat moves")
            )
    return steps


def partial(boat: Boat, handles: Sequence[Handle], space: str = "") -> list[Step]:
    """A part of the boat: what would lose its battery or turns in the space first, then loads, then batteries."""
    plugs = [h for h in handles if h.kind == "plug"]
    stops = [h for h in handles if h.kind == "stop"]
    lines = [h for h in handles if h not in plugs and h not in stops]
    lines.sort(
        key=lambda h: (
            not _before_controller(boat, h),
            h.kind == "fuse" and not boat.parted[h.id],
            boat.battery_rank(h),
        )
    )
    stopped = {source for h in stops for source in h.sources}
    steps = _spared(boat, handles, stopped, space)
    early = {id for step in steps for id in step.handles}
    return [*steps, *boat.steps(h for h in (*plugs, *stops, *lines) if h.id not in early)]


def _before_controller(boat: Boat, handle: Handle) -> bool:
    """Whether a handle shuts the sun off before the controller."""
    return any(boat.network.nodes[boat.network.edges[id].a].system == "solar array" for id in handle.edges)


def _spared(boat: Boat, handles: Sequence[Handle], stopped: set[str], space: str) -> list[Step]:
    """Stops for the sources that would lose their battery, and for what turns in the space."""
    steps: list[Step] = []
    orphans = boat.orphans(handles, stopped)
    here = [a.id for a in boat.inventory.alternators.values() if space and a.at and a.at.space == space]
    for engine in boat.engines:
        if ({*orphans, *here} - stopped) & set(engine.alternators):
            steps.append(boat.stop_engine(engine))
    for array in orphans:
        if array in boat.inventory.solar_arrays:
            steps += sun_off(boat, array)
    return steps


def back_on(boat: Boat, steps: Sequence[Step]) -> list[Step]:
    """The way back: the last switched off is the first switched on."""
    return [found for step in reversed(steps) if (found := _undone(boat, step))]


def _undone(boat: Boat, step: Step) -> Step | None:
    if step.handles:
        return _handle_undone(boat, step)
    if step.do.startswith("Cover"):
        return Step(f"Uncover {listed([boat.network.title(id) for id in step.stops])}", step.where)
    if step.stops:
        return Step("Start the engine, when it is wanted", "")
    if step.do.startswith("Lock"):
        return Step(step.do.replace("Lock", "Open the lock of", 1))
    return None


def _handle_undone(boat: Boat, step: Step) -> Step:
    handle = boat.named(step.handles[:1])[0]
    name = step.do
    if handle.kind == "stop":
        turned = all(id in boat.inventory.alternators for id in handle.sources)
        runs = all(id in boat.inventory.generators for id in handle.sources)
        again = f"Start {handle.name}, when it is wanted" if runs else f"Uncover {handle.name}"
        do = "Start the engine, when it is wanted" if turned else again
    elif handle.kind == "plug":
        do = "Plug the shore lead in, boat end first"
    elif handle.action == "put to OFF":
        normal = boat.network.normal.get(handle.id, "on")
        do = f"Put {handle.name} to {normal if normal != 'off' else 'the position that is wanted'}"
    else:
        verbs = {"Turn OFF": "Turn ON", "Switch OFF": "Switch ON", "Pull": "Put back"}
        verb = next(v for v in verbs if name.startswith(v))
        do = verbs[verb] + name[len(verb) :]
    where = "" if handle.kind == "stop" else step.where
    return Step(do, where, _precharge(boat, handle), step.handles, (), step.label, step.number)


def _precharge(boat: Boat, handle: Handle) -> str:
    """Controllers that fill their capacitors through a resistor first."""
    after = boat.isolator.joined([handle])
    near = {part for edge in (boat.network.edges[id] for id in handle.edges) for part in (after[edge.a], after[edge.b])}
    motors = [m.title for m in boat.inventory.motors.values() if m.precharge and after[f"{m.id} +"] in near]
    return capital(f"wait until {listed(motors)} has pre-charged, as its maker says") if motors else ""
