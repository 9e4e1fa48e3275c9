"""Why a fault current of alternating current is what it is: at its sources, and where a consumer's line touches."""

from __future__ import annotations

from math import inf

from ..quantities import digits, in_unit
from ..study.ledger import told
from ..study.legs import EarthFault, LineFault
from ..study.mains import AcLimit, Inlet, Rotating
from ..study.model import Range, Why
from .book import Book


def seconds(time: float | None) -> str:
    """A time in a column of seconds."""
    return "never sure" if time is None or time == inf else digits(time, 2)


def _complex(value: complex) -> str:
    return f"R {_ohms(value.real)}, X {_ohms(value.imag)}"


def _ohms(value: float) -> str:
    return in_unit(value, "resistance")


def of_fault(book: Book, f: EarthFault, line: LineFault) -> Why:
    source = book.title(book.network.edges[f.source].item)
    inputs = [
        (
            f"impedance of {source} by itself, most",
            _ohms(f.before),
            "its least fault current; see mains",
        ),
        (
            "lead, line and protective conductor, hot",
            _complex(f.wiring),
            "why stands at each cable; X 0.08 mΩ/m from memory",
        ),
    ]
    if line.wiring is not None:
        inputs.append(("line and neutral without the lead, hot", _complex(line.wiring), "as above"))
    steps = []
    if f.loop is not None and f.amps is not None:
        steps += [
            ("loop", _ohms(f.loop)),
            ("fault current to earth, no more than the source gives", in_unit(f.amps, "current")),
        ]
    if line.amps:
        steps.append(
            (
                "fault current to neutral: hot, least and with 10 % for the arc; cold and most",
                told(line.amps, "current"),
            )
        )
    steps.append(
        ("overcurrent device opens within", f"{seconds(f.opens)} s" if f.opens not in (None, inf) else "never sure")
    )
    if f.residual:
        steps.append(
            (
                "residual-current device opens within, at five times its rating",
                f"{seconds(f.residual_opens)} s (IEC 61008, IEC 61009)",
            )
        )
    if f.limit is not None:
        steps.append(("time allowed", f"{digits(f.limit, 2)} s ({f.source_limit})"))
    return Why(
        "Z_s = U_0 / I_k,source + √(R² + X²); I_f = U_0 / Z_s, no more than the source's limit; Z_s allowed = U_0 / I_a",
        "IEC 60364-4-41, 411.4.4 (2005, edition from memory); reactance by IEC 60364-5-52 Annex G",
        tuple(inputs),
        tuple(steps),
        "computed",
    )


def of_inlet(book: Book, inlet: Inlet) -> Why:
    record = book.inventory.shore_inlets[inlet.id]
    declared = "stated" if inlet.declared else "trade practice by the voltage of the country, from memory"
    inputs = (
        ("voltage", str(record.voltage), record.voltage.how),
        ("fault current at the socket", told(inlet.socket, "current"), declared),
        ("country", record.country or "not said", "the inventory"),
        (
            "lead",
            f"{record.lead_length or 'length not known'}, {record.lead_area or 'area not known'}",
            "the inventory",
        ),
    )
    steps = (
        ("impedance of the shore, least and most", told(Range(record.voltage.value / inlet.socket.high, record.voltage.value / inlet.socket.low), "resistance")),
        ("lead out and back, warm", _complex(inlet.lead)),
        *((
            ("most, as if the lead had no length", in_unit(inlet.boat.high, "current")),
            ("least, through the lead, with 10 % for the arc", in_unit(inlet.boat.low, "current")),
        ) if inlet.boat else ()),
    )  # fmt: skip
    return Why(
        "I_k = U / (U / I_k,socket + √(R² + X²))",
        "Ohm's law; the angle of the shore is not known: in line with the lead for the least current, all R or all X for the most",
        inputs,
        steps,
        "computed",
    )


def of_generator(g: Rotating) -> Why:
    marks = ["stated" if d else "default; 0.2 and 0.3 seen secondary, the rest from memory" for d in g.declared]
    inputs = (
        ("rated current", in_unit(g.rated, "current"), "power over voltage"),
        ("rated impedance Z_N", _ohms(g.impedance), "U² / S"),
        ("x″d", told(g.reactances[0], "ratio"), marks[0]),
        ("x′d", told(g.reactances[1], "ratio"), marks[1]),
        ("lasting current", told(g.lasting, "current"), marks[2]),
    )
    steps = (
        ("first moment, I_n / x″d", told(g.first, "current")),
        ("after about 0.1 s, I_n / x′d", told(g.transient, "current")),
        (
            "highest fault current is worked with the first, the lowest and the disconnection with the least that lasts",
            told(g.lasting, "current"),
        ),
    )
    return Why(
        "I″k = I_n / x″d, I′k = I_n / x′d, all of it reactance",
        "machine theory, IEC 60034-4 (from memory)",
        inputs,
        steps,
        "computed",
    )


def of_inverter(found: AcLimit) -> Why:
    known = "stated" if found.declared else "1.1 to 2 times rated, from memory; see its own papers"
    return Why(
        "I_k = 1.1 to 2 · I_rated" if not found.declared else "as its papers say",
        "from memory" if not found.declared else "the inventory",
        (
            ("rated current", in_unit(found.rated, "current"), "power over output voltage"),
            ("limit", told(found.limit, "current"), known),
        ),
        (),
        "from memory" if not found.declared else "",
    )
