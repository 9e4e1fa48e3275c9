"""The commands: check, compare, explain, schema and write; what a command needs is imported when it runs."""

from __future__ import annotations

import datetime
import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from .diagnostics import InventoryError, as_annotations, as_json, as_text

if TYPE_CHECKING:
    from .checks.model import Checked
    from .manual.model import Manual
    from .pipeline import Worked


class BadInput(click.ClickException):
    """Something that the user can put right; told as it is, without a traceback."""

    exit_code = 2

    def show(self, file: Any = None) -> None:
        click.echo(self.message.rstrip("\n"), err=True)


class Day(click.ParamType):
    """A date as `2026-05-01`."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime.date:
        if isinstance(value, datetime.date):
            return value
        try:
            return datetime.datetime.strptime(value, "%Y-%m-%d").date()
        except ValueError:
            self.fail(f"`{value}` is not a date; write it like 2026-05-01", param, ctx)


def about_a_vessel(command: Callable) -> Callable:
    """The options of every command that reads an inventory."""
    vessel = click.option(
        "--vessel",
        "folder",
        type=click.Path(path_type=Path),
        default=Path("vessel"),
        show_default=True,
        metavar="FOLDER",
        help="The folder with the vessel's .yaml files.",
    )
    as_of = click.option(
        "--as-of",
        type=Day(),
        default=datetime.date.today,
        show_default="today",
        metavar="DATE",
        help="The day for which due dates, waivers and ages are judged.",
    )
    return vessel(as_of(command))


@contextmanager
def _told() -> Iterator[None]:
    """Turns an inventory that cannot be used into its messages and exit status 2."""
    try:
        yield
    except InventoryError as error:
        raise BadInput(error.text) from None


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="loombook", message="%(prog)s %(version)s", help="Show the version.")
def main() -> None:
    """A vessel's electrical manual, from its inventory.

    Start with `loombook check`: it reads the YAML files in the folder `vessel` and says what is wrong with them, then
    what is wrong aboard.
    """
    for stream in (sys.stdout, sys.stderr):
        if not stream.isatty():  # into a file or another program: UTF-8 on every system, as our files are
            stream.reconfigure(encoding="utf-8")


FORMATS = ("text", "json", "annotations")


@main.command()
@about_a_vessel
@click.option(
    "--format",
    "form",
    type=click.Choice(FORMATS),
    default="text",
    show_default=True,
    help="For people, for programs, or for a build service that marks the lines of a change.",
)
@click.option("--strict", is_flag=True, help="Exit with status 1 while a finding of grade A stands.")
def check(folder: Path, as_of: datetime.date, form: str, strict: bool) -> None:
    """Read the inventory, then judge the vessel by every rule.

    Exit status: 0 when the inventory can be read, whatever the findings; 1 with --strict when a finding of grade A
    stands; 2 when the inventory cannot be used.
    """
    try:
        worked = _worked(folder, as_of)
    except InventoryError as error:
        if form == "text":
            raise BadInput(error.text) from None
        click.echo(_written(error.diagnostics, error.sources, form), nl=False)
        sys.exit(BadInput.exit_code)
    checked = worked.checked
    click.echo(_written(checked.diagnostics(), worked.inventory.texts, form), nl=False)
    if form == "text":
        click.echo(_summary(checked))
    if strict and checked.counts["A"]:
        sys.exit(1)


@main.command(short_help="Say what changed since an earlier revision, and what follows.")
@click.argument("before", type=click.Path(path_type=Path))
@about_a_vessel
@click.option("--strict", is_flag=True, help="Exit with status 1 when a finding of grade A is new.")
def compare(before: Path, folder: Path, as_of: datetime.date, strict: bool) -> None:
    """Compare the vessel with an earlier revision of her in the folder BEFORE.

    Told is what was changed, what the rules and figures say otherwise for it, which tests are to be made again, which
    cards and labels are to be printed, and whom to tell. Both are judged for the same day. Exit status 2 when one of
    the inventories cannot be used.
    """
    from .pipeline import compared

    with _told():
        comparison = compared(before, _worked(folder, as_of))

    from .compare.report import text

    click.echo(text(comparison), nl=False)
    if strict and comparison.is_graver:
        sys.exit(1)


def _worked(folder: Path, as_of: datetime.date) -> Worked:
    from .pipeline import work_out

    return work_out(folder, as_of)


def _written(diagnostics: tuple, sources: Any, form: str) -> str:
    if form == "json":
        return as_json(diagnostics)
    if not diagnostics:
        return ""
    return as_annotations(diagnostics) if form == "annotations" else as_text(diagnostics, sources) + "\n"


def _summary(checked: Checked) -> str:
    counts = checked.counts
    findings = ", ".join(f"{counts[grade]} {grade}" for grade in "ABC")
    rest = f"{counts['unknown']} cannot be checked, {counts['accepted']} accepted, {counts['pass']} passed"
    return f"findings: {findings}; {rest}"


@main.command(short_help="Say what a rule checks and why, with examples.")
@click.argument("rule", required=False)
def explain(rule: str | None) -> None:
    """Say what RULE checks and why, with an example that fails and one that passes; without RULE, name them all."""
    from .checks.page import terminal_text
    from .checks.rules import RULES, nearest

    if rule is None:
        click.echo("\n".join(f"{known.id}  {known.title}" for known in RULES))
        return
    found = next((known for known in RULES if known.id == rule.upper()), None)
    if found is None:
        help = nearest(rule) or "`loombook explain` names them all"
        raise BadInput(f"there is no rule `{rule}`; {help}")
    click.echo(terminal_text(found), nl=False)


@main.command(short_help="Print the inventory's JSON Schema, for editors.")
def schema() -> None:
    """Print the JSON Schema of the inventory, for an editor that completes and checks as one types."""
    from .inventory.schema import json_schema

    click.echo(json.dumps(json_schema(), ensure_ascii=False, indent=1))


@dataclass(frozen=True)
class Asked:
    """Which vessel a command is about, and for which day."""

    folder: Path
    as_of: datetime.date


@dataclass(frozen=True)
class Extra:
    """A further output of `write`: an option, and the one function that writes it beside the folder's pages."""

    option: str
    help: str
    write: Callable[[Asked, Manual, Path], Path]
    paper: bool = False
    """Whether it needs the manual's pages for paper."""


def _netlist(asked: Asked, manual: Manual, out: Path) -> Path:
    from .pipeline import work_out
    from .publish.netlists import write_netlists

    return write_netlists(work_out(asked.folder, asked.as_of).study, out)


def _pocket(asked: Asked, manual: Manual, out: Path) -> Path:
    from .publish.pocket import write_pocket

    return write_pocket(manual, out)


def _pdf(asked: Asked, manual: Manual, out: Path) -> Path:
    from .publish.lettering import boxes_on_paper
    from .publish.pdf import write_pdf

    if warnings := boxes_on_paper(manual):
        click.echo(as_text(warnings, manual.sources), err=True, nl=False)
    return write_pdf(manual, out)


EXTRAS: tuple[Extra, ...] = (
    Extra(
        "--netlist",
        "Also write OUT/netlists: the network for a SPICE program, each load flow and fault case.",
        _netlist,
    ),
    Extra(
        "--pocket",
        "Also write OUT/pocket.html: look-up, fault finder and cards in one file, to send to a phone.",
        _pocket,
    ),
    Extra("--pdf", "Also write OUT/manual.pdf, and each emergency card alone in OUT/cards.", _pdf, paper=True),
)
"""A new output is one function and one line here."""


def _with_extras(command: Callable) -> Callable:
    for extra in reversed(EXTRAS):
        command = click.option(extra.option, is_flag=True, help=extra.help)(command)
    return command


@main.command(short_help="Write the manual as plain Markdown and SVG.")
@click.argument("out", type=click.Path(path_type=Path))
@about_a_vessel
@click.option("--replace", is_flag=True, help="Also take the place of a folder that Loombook did not write.")
@_with_extras
def write(out: Path, folder: Path, as_of: datetime.date, replace: bool, **wanted: bool) -> None:
    """Write the manual to the folder OUT as plain Markdown and SVG, for any site builder.

    OUT appears whole or not at all. An earlier manual there is replaced.
    """
    from .pipeline import manual_of
    from .publish.failure import PublishError
    from .publish.folder import write_folder

    extras = [extra for extra in EXTRAS if wanted[extra.option.lstrip("-").replace("-", "_")]]
    with _told():
        manual = manual_of(folder, as_of, paper=any(extra.paper for extra in extras))
    more: list[Path] = []

    def beside(new: Path) -> None:
        more.extend(extra.write(Asked(folder, as_of), manual, new).relative_to(new) for extra in extras)

    try:
        written = [write_folder(manual, out, replace=replace, beside=beside)]
    except PublishError as error:
        raise BadInput(str(error)) from None
    except OSError as error:
        raise BadInput(
            f"`{error.filename or out}` cannot be written: {(error.strerror or 'no reason given').lower()}"
        ) from None
    for path in (*written, *(out / path for path in more)):
        click.echo(f"written: {path}")
