"""The words of the command line: each command, its options and what they are called.

A command's work is in app.commands, imported only when that command runs: Qt, music21
and reportlab would each cost every other command a good part of a second.
"""

# ruff: noqa: PLC0415  (imports inside the commands are the point, as said above)

from __future__ import annotations

import difflib
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from app.commands.options import EXPORTS, BarRange, output, parse_bars, parse_count, parse_paper
from app.console import say, tell

app = typer.Typer(
    name="bargloss", add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False,
    help="Typesets a solo, its changes and your words as a handout. With a study and no command: opens the window.",
    subcommand_metavar="[STUDY | COMMAND ...]", context_settings={"help_option_names": ["-h", "--help"]},
)

StudyPath = Annotated[Path, typer.Argument(metavar="STUDY", help="A study file.")]
StudyPaths = Annotated[list[Path], typer.Argument(metavar="STUDY", help="One study file or more.")]
Bars = Annotated[BarRange | None, typer.Option("--bars", metavar="A-B", parser=parse_bars, help="These bars only.")]

Chorus = Annotated[int | None, typer.Option("--chorus", metavar="N", parser=parse_count, help="This chorus only.")]


def _tell_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version
        say(f"bargloss {version('bargloss')}")
        raise typer.Exit


@app.callback(help=app.info.help)
def program(
    version: Annotated[bool, typer.Option("--version", callback=_tell_version, is_eager=True,
                                          help="Say which version this is.")] = False,
) -> None:
    """What belongs to no command."""


@app.command("open", hidden=True)
def open_window(study: Annotated[Path | None, typer.Argument(metavar="[STUDY]")] = None) -> int:
    """Open the window."""
    from app.commands.window import open_window as work
    return work(study)


@app.command()
def demo(folder: Annotated[Path, typer.Argument(metavar="DIR", help="Made where there is none.")]) -> None:
    """Write the demo studies into a folder."""
    from app.commands.demo import write_demos
    write_demos(folder)


@app.command()
def bring(
    source: Annotated[Path, typer.Argument(metavar="IN", help="MusicXML (.musicxml, .xml, .mxl), MIDI or ABC.")],
    to: Annotated[Path, typer.Option("--to", metavar="STUDY", parser=output(".study"), help="The study to write.")],
    part: Annotated[int | None, typer.Option("--part", metavar="N", parser=parse_count, help="Which part.")] = None,
    replace: Annotated[bool, typer.Option("--replace", help="In the place of a study that is there already.")] = False,
) -> None:
    """Bring a solo in from an open format, as a study."""
    from app.commands.bring import bring_in
    bring_in(source, to, part, replace)


@app.command()
def handout(
    studies: StudyPaths,
    to: Annotated[Path, typer.Option("--to", metavar="OUT", parser=output(".pdf"), help="The PDF to write.")],
    template: Annotated[str, typer.Option("--template", metavar="T", help="Which template.")] = "lesson",
    paper: Annotated[str, typer.Option("--paper", metavar="a4|letter", parser=parse_paper,
                                           help="Which paper; a template with a page of its own keeps that.")] = "a4",
    bars: Bars = None,
    chorus: Chorus = None,
) -> None:
    """Print studies as one handout, a PDF."""
    from app.commands.handout import Layout, write_handout
    write_handout(studies, to, Layout(template, paper, bars, chorus))


@app.command()
def export(
    study: StudyPath,
    to: Annotated[Path, typer.Option("--to", metavar="OUT", parser=output(*EXPORTS),
                                     help=f"Ends in {', '.join(EXPORTS)}.")],
    bars: Bars = None,
) -> None:
    """Write a study in an open format, told by the file's ending."""
    from app.commands.export import write_export
    write_export(study, to, bars)


@app.command()
def analyse(
    study: StudyPath,
    as_json: Annotated[bool, typer.Option("--json", help="As JSON, for other programs.")] = False,
) -> None:
    """Tell degrees, findings, fingering, strokes and playability."""
    from app.commands.analyse import print_analysis
    print_analysis(study, as_json)


@app.command()
def check(studies: StudyPaths) -> None:
    """Tell whether studies are whole: silent, or one line a problem."""
    from app.commands.check import check_studies
    check_studies(studies)


@app.command()
def shelf(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="A folder of studies.")],
    find: Annotated[str, typer.Option("--find", metavar="WORDS", help="Only those that speak of all of these.")] = "",
) -> None:
    """Tell what a folder of studies holds."""
    from app.commands.shelf import print_shelf
    print_shelf(folder, find)


def call(arguments: Sequence[str]) -> int:
    """Do what one call asks for; its exit code. Raises what the command raises, and KeyboardInterrupt."""
    command = typer.main.get_group(app)
    try:
        words = with_command(arguments, [name for name, one in command.commands.items() if not one.hidden])
        code = command.main(args=words, prog_name="bargloss", standalone_mode=False)
    except typer.TyperException as error:
        tell(usage_line(error))
        return error.exit_code
    return code if isinstance(code, int) else 0


def with_command(arguments: Sequence[str], known: Sequence[str]) -> list[str]:
    """The call with its command named: `bargloss STUDY` means open. Raises typer.BadParameter for a mistyped one."""
    if not arguments:
        return ["open"]
    first = arguments[0]
    if first in (*known, "open") or first.startswith("-"):
        return list(arguments)
    if first.replace("-", "").isalnum() and not Path(first).exists():  # no path, no ending: a word
        near = difflib.get_close_matches(first, known, n=1)
        more = f"; did you mean {near[0]}?" if near else f"; the commands are {', '.join(known)}"
        raise typer.BadParameter(f"{first} is no command, and there is no file of that name{more}",
                                 param_hint="'STUDY | COMMAND'")
    return ["open", *arguments]


def usage_line(error: typer.TyperException) -> str:
    """`bargloss handout: missing option '--to'; see bargloss handout --help`."""
    context = getattr(error, "ctx", None)
    path = context.command_path if context else "bargloss"
    what = error.format_message().strip().rstrip(".")
    return f"{path}: {what[:1].lower()}{what[1:]}; see {path} --help"
