"""The commands: arguments in, calls, exit status. What a command needs is imported when it runs."""

from __future__ import annotations

import gc
import os
import sys
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, TypeVar

import click

from topodraw import __version__

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from topodraw.compute.facts import Facts
    from topodraw.model.finding import SourcePath
    from topodraw.model.read import Reading
    from topodraw.report.lines import Line
    from topodraw.report.pictures import PictureForm
    from topodraw.report.schedule import Part
    from topodraw.rules.check import CheckResult

Word = TypeVar("Word", bound=str)
FOUND, UNUSABLE = 1, 2
VIEWS = ("rack", "cabling", "zones")
PICTURES: tuple[PictureForm, ...] = ("svg", "png", "pdf")


class UnusableError(click.ClickException):
    """The input or the call can't be used; the message is one line for people."""

    exit_code = UNUSABLE

    def show(self, file: object = None) -> None:
        click.echo(f"topodraw: {self.format_message()}", err=True)


class _Commands(click.Group):
    """Lists commands in the order in which they are used, not by name."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.commands)


_SITE = click.argument("site", type=click.Path(path_type=Path), default=".")
_SITE_OPTION = click.option(
    "--site", type=click.Path(path_type=Path), default=".", show_default=True, help="Site file or folder."
)


def _format(*formats: str) -> Callable[[click.decorators.FC], click.decorators.FC]:
    return click.option(
        "--format",
        "form",
        type=click.Choice(formats),
        default=formats[0],
        show_default=True,
        help="Form of output.",
    )


@click.group(
    cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}
)
@click.version_option(__version__, prog_name="topodraw")
def topodraw() -> None:
    """Keep one text model of a site's network and racks; check it, compute on it, draw it.

    SITE is a file, or a folder that holds site.yaml; without it, the folder you are in.

    Exit status: 0 fine; 1 the check found something, or drawings are stale; 2 the input or the call can't be
    used.
    """


@topodraw.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
def new(folder: Path) -> None:
    """Write a small site into DIR that checks clean and draws.

    DIR is made if it doesn't exist. Nothing is overwritten.
    """
    from topodraw.report.writing import WritingError, write_starter

    try:
        write_starter(folder)
    except WritingError as error:
        raise UnusableError(str(error)) from error
    click.echo(f"{folder / 'site.yaml'} is written. Next:")
    click.echo(f"  topodraw check {folder}")
    click.echo(f"  topodraw draw {folder} -o {folder / 'sheets'}")


@topodraw.command()
@_SITE
@_format("text", "json")
@click.option(
    "--fail-on",
    type=click.Choice(("error", "warning", "note")),
    default="error",
    show_default=True,
    help="Exit with 1 if there is a finding this severe, or more.",
)
@click.option(
    "--today",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="YYYY-MM-DD",
    help="The day by which waivers are judged.  [default: the system's date]",
)
@click.option(
    "--sheets",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Say where each finding stands on the sheets in DIR.",
)
def check(site: Path, form: str, fail_on: str, today: datetime | None, sheets: Path | None) -> None:
    """Check SITE against every rule.

    Each finding says where it is (file:line:column), why it matters and what to do. What could not be judged
    for want of data is listed apart: silence is never meant as "fine". `topodraw explain RULE` says more.
    """
    from topodraw.model.finding import SEVERITIES
    from topodraw.report.findings import findings_json, findings_lines, located, located_problems

    reading = _read(site)
    if reading.site is None:
        problems = located_problems(reading.problems)
        if form == "json":
            click.echo(findings_json(problems, ()))
        else:
            _print(findings_lines(problems, (), _prefix(site)))
        raise click.exceptions.Exit(UNUSABLE)
    marked = _marked(sheets)
    result = _checked(_facts(reading), reading, today.date() if today else date.today())
    found = located(result.findings, reading.positions, marked)
    if form == "json":
        click.echo(findings_json(found, result.unchecked))
    else:
        _print(findings_lines(found, result.unchecked, _prefix(site)))
    least = next(severity for severity in SEVERITIES if severity == fail_on)
    if result.at_or_above(least):
        raise click.exceptions.Exit(FOUND)


@topodraw.command()
@_SITE
@click.option(
    "-o",
    "--output",
    metavar="DIR",
    type=click.Path(path_type=Path),
    default="sheets",
    show_default=True,
    help="Folder for the sheets; made if it doesn't exist.",
)
@click.option(
    "--view", "views", metavar="LIST", default=",".join(VIEWS), show_default=True, help="Views to draw."
)
@click.option("--theme", default="paper", show_default=True, help="Name of a theme.")
@click.option(
    "--format", "forms", metavar="LIST", default="svg", show_default=True, help="svg, png, pdf or several."
)
@click.option(
    "--verify", is_flag=True, help="Write nothing; say which sheets in DIR are stale (exit status 1)."
)
@click.option(
    "--engine",
    metavar="PATH",
    type=click.Path(path_type=Path),
    help="Another program that places gear as `dot` does; sheets may then differ from machine to machine.",
)
def draw(
    site: Path, output: Path, views: str, theme: str, forms: str, verify: bool, engine: Path | None
) -> None:
    """Draw SITE as sheets: racks, cabling, zones.

    Findings are marked on the sheets. The same source gives the same bytes on every machine, so the sheets
    can be committed; `--verify` tells whether they still agree with the source.
    """
    from topodraw.report.sheet_files import DrawingError, sheet_files
    from topodraw.report.writing import WritingError, left_over_sheets, stale_sheets, write_sheets

    chosen = _listed(views, VIEWS, "view")
    pictures = _listed(forms, PICTURES, "format")
    reading = _usable(site)
    facts = _facts(reading)
    try:
        # No waiver has ended on the first of days: a drawing never asks what day it is.
        files = sheet_files(facts, _checked(facts, reading, date.min), chosen, theme, engine, pictures)
        left = left_over_sheets(output, files, chosen) if output.is_dir() else ()
        if verify:
            stale = [*stale_sheets(output, files), *((name, "no longer drawn") for name in left)]
            for name, why in stale:
                click.echo(f"{output / name}: {why}")
            if stale:
                click.echo(f"Draw them again: topodraw draw {site} -o {output}", err=True)
                raise click.exceptions.Exit(FOUND)
            click.echo(f"Every sheet agrees with the source ({len(files)}).", err=True)
            return
        changed = write_sheets(output, files)
    except (DrawingError, WritingError) as error:
        raise UnusableError(str(error)) from error
    for name in changed:
        click.echo(str(output / name))
    click.echo(f"Sheets: {len(files)}, of which {len(changed)} changed.", err=True)
    for name in left:
        click.echo(f"{output / name} is no longer drawn: delete it.", err=True)


@topodraw.command()
@_SITE
@_format("json")
def facts(site: Path, form: str) -> None:
    """Print all derived facts of SITE as JSON.

    One object: links, spanning tree, VLANs, reach between zones, racks. Other programs rely on its keys;
    it answers for every site that can be read, whatever `check` thinks of it.
    """
    import json

    from topodraw.report.facts_document import facts_document

    click.echo(json.dumps(facts_document(_facts(_usable(site))), indent=2))


@topodraw.command()
@_SITE
@_format("text", "json")
def tree(site: Path, form: str) -> None:
    """Show the spanning tree of SITE in words.

    Who is root and why, each bridge's way there and what it costs, and which ends discard.
    """
    from topodraw.report.tree_text import tree_json, tree_lines

    derived = _facts(_usable(site))
    if form == "json":
        click.echo(tree_json(derived))
    else:
        _print(tree_lines(derived))


@topodraw.command()
@click.argument("source", metavar="FROM")
@click.argument("target", metavar="TO")
@_SITE_OPTION
@click.option("--vlan", help="In this VLAN only.  [default: the first that both are in and that reaches]")
@_format("text", "json")
def reach(source: str, target: str, site: Path, vlan: str | None, form: str) -> None:
    """Say whether FROM can talk to TO.

    Through which links and VLANs, and at what speed; or why not. FROM and TO are gear, stacks, workloads or
    ports.
    """
    from topodraw.report.reach_text import UnknownThingError, reach_json, reach_lines

    derived = _facts(_usable(site))
    try:
        if form == "json":
            click.echo(reach_json(derived, source, target, vlan))
        else:
            _print(reach_lines(derived, source, target, vlan))
    except UnknownThingError as error:
        raise UnusableError(str(error)) from error


@topodraw.command()
@_SITE
@click.option(
    "--part",
    type=click.Choice(("cables", "ports", "addresses")),
    default=None,
    help="One part only; CSV needs it, having one heading.",
)
@_format("text", "csv", "json")
def schedule(site: Path, part: Part | None, form: str) -> None:
    """Print cable schedule, port maps and address register.

    The port map lists every port of each device, with free ones and the VLANs it carries.
    """
    from topodraw.report import schedule as schedules

    derived = _facts(_usable(site))
    parts = (part,) if part else schedules.PARTS
    if form == "text":
        click.echo(schedules.schedule_text(derived, parts), nl=False)
    elif form == "json":
        click.echo(schedules.schedule_json(derived, parts))
    elif part is None:
        raise click.UsageError(f"--format csv needs --part: {', '.join(schedules.PARTS)}")
    else:
        click.echo(schedules.schedule_csv(derived, part), nl=False)


@topodraw.command()
@click.argument("rule", required=False)
@click.option("--all", "everything", is_flag=True, help="List every rule (as without RULE).")
@_format("text", "markdown", "json")
def explain(rule: str | None, everything: bool, form: str) -> None:
    """Say what RULE checks, and why.

    With its source, an example that breaks it and one that keeps it.

    Without RULE, list the whole catalogue.
    """
    from topodraw.report import explain as explaining
    from topodraw.rules.catalogue import near_names, rules

    if rule is not None and rule not in rules():
        near = near_names(rule)
        meant = f"; did you mean {' or '.join(near)}?" if near else "; `topodraw explain` lists all"
        raise UnusableError(f"there is no rule {rule}{meant}")
    one = None if rule is None or everything else rules()[rule]
    if form == "json":
        click.echo(explaining.rules_json([one] if one else list(rules().values())))
    elif form == "markdown":
        click.echo(explaining.rule_markdown(one) if one else explaining.catalogue_markdown(), nl=False)
    else:
        _print(explaining.rule_lines(one) if one else explaining.catalogue_lines())


@topodraw.command()
@_format("json", "text")
def schema(form: str) -> None:
    """Print the source language: every section and key.

    As JSON Schema, by which editors complete and check while you type; as text, a reference to read.
    """
    import json

    from topodraw.model.schema import language_schema

    if form == "text":
        from topodraw.report.language_text import language_lines

        _print(language_lines(language_schema()))
    else:
        click.echo(json.dumps(language_schema(), indent=2))


def _read(site: Path) -> Reading:
    from topodraw.model.read import read_site

    return read_site(site)


def _usable(site: Path) -> Reading:
    """The site, or every reason why it can't be read on standard error and exit status 2."""
    reading = _read(site)
    if reading.site is None:
        from topodraw.report.findings import findings_lines, located_problems

        _print(findings_lines(located_problems(reading.problems), (), _prefix(site)), to_error=True)
        raise click.exceptions.Exit(UNUSABLE)
    return reading


def _facts(reading: Reading) -> Facts:
    from topodraw.compute.facts import Facts

    assert reading.site is not None
    return Facts(reading.site)


def _checked(facts: Facts, reading: Reading, today: date) -> CheckResult:
    from topodraw.rules.check import check

    files = {file: number for number, file in enumerate(reading.files)}

    def order(path: SourcePath) -> tuple[int, int, int]:
        place = reading.positions.find(path)
        return files.get(place.file, -1), place.line, place.column

    return check(facts, today, order)


def _marked(sheets: Path | None) -> dict[tuple[str, str], str]:
    if sheets is None:
        return {}
    from topodraw.report.findings import SheetsError, marked_sheets

    try:
        return marked_sheets(sheets)
    except SheetsError as error:
        raise UnusableError(str(error)) from error


def _prefix(site: Path) -> str:
    """What leads from where the reader stands to the site's folder, to stand before a file's name."""
    folder = site if site.is_dir() else site.parent
    return "" if folder == Path() else f"{folder.as_posix().rstrip('/')}/"


def _listed(text: str, known: tuple[Word, ...], what: str) -> tuple[Word, ...]:
    asked = [word.strip() for word in text.split(",")]
    for word in asked:
        if word not in known:
            raise UnusableError(f"there is no {what} {word!r}; known are {', '.join(known)}")
    return tuple(word for word in known if word in asked)


def _print(lines: Iterable[Line], to_error: bool = False) -> None:
    from topodraw.report.lines import print_lines

    print_lines(lines, sys.stderr if to_error else sys.stdout)


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _end_without_output(error: OSError) -> NoReturn:
    """End where what should be printed can't be: the disk is full, or the reader of a pipe has left."""
    if not isinstance(error, BrokenPipeError):
        click.echo(f"topodraw: can't write the output: {_reason(error)}", err=True)
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # else Python complains on its way out
    sys.exit(UNUSABLE)


def main() -> NoReturn:
    """Run the command line. What goes wrong in here, and not in the input, is told as a fault of the tool."""
    # What a command reads and computes lives until it ends: looking for cycles costs a quarter of a check.
    gc.disable()
    for stream in (sys.stdout, sys.stderr):
        # A name that the terminal's encoding lacks must not stop a check.
        stream.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    try:
        try:
            topodraw(prog_name="topodraw")
        finally:
            sys.stdout.flush()
    except OSError as error:
        _end_without_output(error)
    except Exception:
        import traceback

        traceback.print_exc()
        click.echo("topodraw: this is a fault of topodraw, not of your site; please report it.", err=True)
        sys.exit(UNUSABLE)
    sys.exit(0)
