"""Electric drive: power over speed as measured aboard, and how long and how far one charge goes at each speed."""

from __future__ import annotations

from collections.abc import Iterator

from ...quantities import digits, in_unit
from ...study import energy_whys as whys
from ...study.drive import Drive, Run
from ..book import Book
from ..figures import cannot
from ..lasting import banks_by_name, guesses
from ..reasons import leading
from ..sheet import FIGURES, Sheet
from ..text import Column, Inline, Marked
from ..words import quantity, sentence, span

RUNS = [
    Column("Speed", "kn", True),
    Column("Power", "kW", True),
    Column("Lasts", "h", True),
    Column("Nautical miles", "", True),
    Column("Measured", "", True),
]
"""All of them as narrow as numbers: the table is read at the helm, on a phone held upright."""
POINTS = [Column("Speed"), Column("Power"), Column("The curve says", "kW", True), Column("Off", "%", True)]


def path_of(motor: str) -> str:
    return f"figures/drive-{motor}.md"


def pages(book: Book) -> Iterator[Sheet]:
    for drive in book.study.drives:
        yield _page(book, drive)


def _page(book: Book, drive: Drive) -> Sheet:
    motor = book.inventory.motors[drive.motor]
    found = banks_by_name(book).get(drive.bank)
    bank = found.bank if found else None
    rests = guesses(bank) if bank else ""
    energy = in_unit(drive.usable, "energy", 3)
    values = {
        "facts": [
            ("Motor", book.named(motor.id)),
            ("Bank", book.link(bank.ids[0], bank.name) if bank else cannot("no bank feeds it")),
            ("Usable energy", Marked(f"{energy} ({rests})", "default") if rests else energy),
            ("All else takes meanwhile", in_unit(drive.hotel, "power", 2)),
            *_fit(drive),
        ],
        "unknown": _unknown(motor.id, drive),
        "range": book.figures(f"drive-{motor.id}"),
        "power": book.figures(f"drive-{motor.id}-power"),
        "runs": (RUNS, [_run(book, drive, run, rests) for run in drive.runs] if bank else []),
        "points": (POINTS, [_point(drive, point) for point in motor.speed_points]),
        "whys": _whys(book, drive, bank),
    }
    title = f"Speed and range: {motor.title}"
    return Sheet(path_of(motor.id), title, "drive", values, FIGURES, (motor.id, "range", "speed", "endurance"))


def _fit(drive: Drive) -> list[tuple[str, Inline]]:
    if drive.fit is None:
        return []
    off = f"by at most {drive.fit.deviation:.0%}"
    return [
        ("Power grows with the speed to the power of", (digits(drive.fit.exponent, 3), " (the cube law says 3, for a hull well below its hump speed)")),
        ("The measured points lie off the curve", off if drive.fit.deviation > 1e-6 else Marked("not known: a curve goes through two points whatever they are", "missing")),
    ]  # fmt: skip


def _unknown(motor: str, drive: Drive) -> Inline | None:
    if not drive.unknown:
        return None
    if drive.unknown == "speed points":
        return cannot(
            f"{motor} has no speed points. Measure two speeds or more in calm water, both ways, and write each down "
            "with its speed and power"
        )
    return cannot(sentence(drive.unknown))


def _measured(book: Book, drive: Drive, run: Run) -> Inline:
    if not run.measured:
        return Marked("a guess", "estimate")
    points = book.inventory.motors[drive.motor].speed_points
    return "yes" if any(abs(point.speed.value - run.speed) < 0.01 for point in points) else "between"


def _run(book: Book, drive: Drive, run: Run, rests: str) -> list[Inline]:
    def marked(figure: str, of_charge: bool = True) -> Inline:
        if not run.measured:
            return Marked(f"~{figure}", "estimate")
        return Marked(f"{figure} (default)", "default") if rests and of_charge else figure

    row = [
        f"{run.speed:g}",
        marked(digits(run.power / 1000, 2), of_charge=False),
        marked(span(run.lasts, significant=2)),
        marked(span(run.lasts, run.speed, 2)),
        _measured(book, drive, run),
    ]
    return leading(RUNS, row, f"page:{path_of(drive.motor)}#why-{_anchor(run)}", "Power", "Lasts", "Nautical miles")


def _anchor(run: Run) -> str:
    return f"{run.speed:g}-kn".replace(".", "-")


def _point(drive: Drive, point) -> list[Inline]:
    if drive.fit is None:
        return [quantity(point.speed), quantity(point.power), "–", "–"]
    says = drive.fit.power(point.speed.value)
    row = [
        quantity(point.speed),
        quantity(point.power),
        digits(says / 1000, 3),
        f"{100 * (point.power.value / says - 1):+.0f}",
    ]
    return leading(POINTS, row, f"page:{path_of(drive.motor)}#why-curve")


def _whys(book: Book, drive: Drive, bank) -> list[tuple]:
    if drive.fit is None:
        return []
    rows = [("Why this curve", whys.of_drive(book.network, drive), "why-curve")]
    return rows + [
        (f"Why at {run.speed:g} kn", whys.of_run(bank, drive, run), f"why-{_anchor(run)}") for run in drive.runs if bank
    ]
