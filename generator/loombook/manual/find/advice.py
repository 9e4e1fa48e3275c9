"""What to look for in a part that has failed, what a crew may safely try, and when to stop. Common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ...network import Edge

PRACTICE = "Common practice, no source."


@dataclass(frozen=True)
class Advice:
    """Three answers, in the order in which they are needed."""

    look: str
    attempt: str
    stop: str


NEVER_LARGER = "Never fit a larger fuse, nor wire or foil: the cable would burn in its place."
MAINS = "Mains kills. Open nothing; a qualified electrician does the rest."

ADVICE: Mapping[str, Advice] = {
    "fuse": Advice(
        "Voltage on one side of it and none on the other, with the device switched on: it has blown, or its holder does not "
        "touch. Brown plastic, green metal and loose clips fail as a blown fuse does, and a glass fuse can look whole.",
        "Fit a spare of the same kind and the same rating. Bend nothing; clean the clips; push it home.",
        f"If the new one blows too, stop: there is a short circuit. Leave the fuse out. {NEVER_LARGER}",
    ),
    "breaker": Advice(
        "A tripped breaker may stand half way. Voltage on one side only, while it is ON, means that it has failed.",
        "Push it fully OFF, then ON, once.",
        "If it trips again, leave it off: there is a short circuit or an overload. Never hold it on.",
    ),
    "switch": Advice(
        "Voltage on one side only, while it is ON. Feel for heat and for a handle that turns without a click.",
        "Switch it off and on ten times: that cleans its contacts.",
        "A switch that is hot or smells stays off.",
    ),
    "conductor": Advice(
        "Its two ends first: most breaks are in the crimp or a hand's breadth from it. Pull gently. Look for green copper, a "
        "cable that feels soft, and places where it rubs on an edge.",
        "Until daylight: a spare cable beside it, of no less copper, behind the same fuse.",
        "Insulation that is warm, brown or smells: isolate, and leave it dead.",
    ),
    "negative": Advice(
        "The way back breaks as often as the way out. Look at its screw on the negative bar, then at the plug on the device. "
        "One bad screw on a bar makes several devices dim, or behave oddly, at once.",
        "Take the device's negative to another screw of the same bar, with a cable of no less copper.",
        "Insulation that is warm, brown or smells: isolate, and leave it dead.",
    ),
    "joint": Advice(
        "A loose nut, a washer between lug and bar, green or white crust, heat. It may read full voltage until current flows.",
        "Isolate it, take it apart, make it bright, tighten it, and load it again.",
        "A joint that gets hot again is not good enough to leave alone.",
    ),
    "device": Advice(
        "Voltage arrives at its terminals and it does nothing. Look for its own switch, its own fuse inside or behind it, and "
        "green pins in its plug.",
        "Pull the plug, look at it, and plug it in again. Then use what can stand in for it.",
        "If it is hot or smells, leave it unplugged.",
    ),
    "network": Advice(
        "A data network: no power to the backbone makes all its devices dead, a plug or an end resistor missing makes them silent.",
        "See that the backbone has its voltage, then follow it plug by plug: the first device that wakes tells which plug it was.",
        "If its fuse blows again with all devices unplugged, the backbone itself is hurt: leave it out.",
    ),
    "bms": Advice(
        "The battery's own guard has opened: cell too low, too full, too cold, or too much current. Look for its alarm and lamp.",
        "Switch heavy loads off and stop what charges. Close it again only as its own papers say.",
        "A battery that is hot, swollen, hisses or smells: leave its space shut, and go to the isolation card.",
    ),
    "battery": Advice(
        "Little or no voltage at its posts: flat, switched off, or opened by its guard. Look at the posts for crust and play.",
        "Switch off what is not needed. Charge it, or change over to another battery.",
        "A battery that is hot, swollen, hisses or smells: leave its space shut, and go to the isolation card.",
    ),
    "converter": Advice(
        "Voltage goes in and none comes out: it protects itself, or it has failed. Look for its lamp; feel whether it is hot.",
        "Switch it off for a minute, let it cool, switch it on again with its loads off.",
        "If it smells or trips again, leave it off and change over to its reserve, if there is one.",
    ),
    "mains": Advice(
        "Look only at what shows without opening anything: breakers, the residual-current device, lamps, the plug on the quay.",
        "A breaker or residual-current device that has tripped: fully OFF, then ON, once.",
        f"If it trips again, leave it off. {MAINS}",
    ),
    "other": Advice(
        "Voltage on one side and none on the other: it lies between the two.",
        "Make its ends clean and tight, with the power off.",
        "Heat or smell: isolate, and leave it dead.",
    ),
}
"""Kind of part, as the person who looks for it sees it → what to do."""

SIGNS = (
    ("One device is dead, its neighbours work", "its own fuse, switch, plug, or way back", "the load side of its fuse"),
    ("All that one fuse or panel feeds is dead", "the feed of that panel, its fuse or its switch", "the panel itself"),
    ("Two devices that have nothing in common are dead", "a negative bar or a hidden fuse that both share", "the negative bar"),
    ("Dim, or it goes off when a pump starts", "a poor joint on the way out or back; a low battery", "both legs, while the pump runs"),
    ("It comes and goes with the waves", "a fuse holder, a crimp at something that moves, chafe", "the holder: wiggle it under load"),
    ("Everything of one voltage is dead", "the converter: its input fuse, its switch, itself", "the converter, in and out"),
    ("Everything is dead", "the battery's guard has opened, or the main switch or main fuse", "the battery's posts"),
    ("Full voltage, and it breaks down when switched on", "a joint with high resistance", "half way, under load"),
    ("The new fuse blows at once", "a short circuit in the wire or the device", "none: unplug the device; try one more fuse; then stop"),
    ("The fuse blows after minutes", "too much current: a motor that is stuck, a bilge full of string", "feel the motor; listen to it"),
)  # fmt: skip
"""(what one sees, where it most likely is, where to measure first)."""


def kind_of(edge: Edge, pole: str) -> str:
    """The key of `ADVICE` for a part."""
    if edge.kind in ("fuse", "breaker", "switch", "bms", "battery"):
        return edge.kind
    if edge.kind in ("conductor", "bond"):
        return "negative" if pole == "-" else "conductor"
    if edge.kind in ("joint", "shunt"):
        return "joint"
    if edge.kind == "load":
        return "network" if getattr(edge.record, "network", False) else "device"
    if edge.kind in ("converter", "controller", "alternator", "solar array", "input"):
        return "converter"
    return "mains"
