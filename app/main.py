"""The command line: its words, its exit codes, and how faults are told.

A command's work is in app.commands, imported only when that command runs: Qt, music21
and reportlab would each cost every other command a good part of a second.
"""

# ruff: noqa: PLC0415  (imports inside the commands are the point, as said above)

from __future__ import annotations

import difflib
import io
import os
import sys
import traceback
import warnings
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, TextIO

import platformdirs
import typer

from app.commands.options import EXPORTS, BarRange, output, parse_bars, parse_count, parse_paper
from app.console import tell
from core.errors import BarglossError

app = typer.Typer(
    name="bargloss", add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False,
    help="Typesets a solo, its changes and your words as a handout. With a study and no command: opens the window.",
    subcommand_metavar="[STUDY | COMMAND ...]", context_settings={"help_option_names": ["-h", "--help"]},
)

StudyPath = Annotated[Path, typer.Argument(metavar="STUDY", help="A study file.")]
StudyPaths = Annotated[list[Path], typer.Argument(metavar="STUDY", help="One study file or more.")]
Bars = Annotated[BarRange | None, typer.Option("--bars", metavar="A-B", parser=parse_bars, help="These bars only.")]

Chorus = Annotated[int | None, typer.Option("--chorus", metavar="N", parser=parse_count, help="This chorus only.")]


@app.command("open", hidden=True)
def open_window(study: Annotated[Path | None, typer.Argument(metavar="[STUDY]")] = None) -> None:
    """Open the window."""
    from app.commands.window import open_window as work
    work(study)


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
) -> None:
    """Bring a solo in from an open format, as a study."""
    from app.commands.bring import bring_in
    bring_in(source, to, part)


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


def run(arguments: Sequence[str]) -> int:
    """Do what one call asks for; its exit code: 0 done, 1 the input is at fault, 2 the call is."""
    command = typer.main.get_group(app)
    try:
        words = with_command(arguments, list(command.commands))
        code = command.main(args=words, prog_name="bargloss", standalone_mode=False)
    except typer.TyperException as error:
        tell(usage_line(error))
        return error.exit_code
    except BarglossError as error:
        for line in error.lines():
            tell(line)
        return 1
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:  # whoever read our output has seen enough
        return 0
    except OSError as error:
        tell(f"{error.filename or 'bargloss'}: {(error.strerror or str(error)).lower()}; check the file and its folder")
        return 1
    except Exception as error:  # the last resort: a fault of ours, told in one line all the same
        tell(f"bargloss: a fault inside ({type(error).__name__}: {error}); {_log_details()}")
        return 1
    return code if isinstance(code, int) else 0


def with_command(arguments: Sequence[str], known: Sequence[str]) -> list[str]:
    """The call with its command named: `bargloss STUDY` means open. Raises typer.BadParameter for a mistyped one."""
    if not arguments:
        return ["open"]
    first = arguments[0]
    if first in known or first.startswith("-"):
        return list(arguments)
    near = difflib.get_close_matches(first, known, n=1) if first.isalpha() else []  # no path, no ending: a word
    if near and not Path(first).exists():
        raise typer.BadParameter(f"{first} is neither a study nor a command; did you mean {near[0]}?",
                                 param_hint="'STUDY'")
    return ["open", *arguments]


def usage_line(error: typer.TyperException) -> str:
    """`bargloss handout: missing option '--to'; see bargloss handout --help`."""
    context = getattr(error, "ctx", None)
    path = context.command_path if context else "bargloss"
    what = error.format_message().strip().rstrip(".")
    return f"{path}: {what[:1].lower()}{what[1:]}; see {path} --help"


def _log_details() -> str:
    """Keep the traceback in hand where the person can find it; a few words on where that is."""
    log = platformdirs.user_log_path("bargloss", appauthor=False) / "faults.log"
    try:
        log.parent.mkdir(parents=True, exist_ok=True)
        with log.open("a", encoding="utf-8") as file:
            traceback.print_exc(file=file)
    except OSError:
        return f"its details could not be kept in {log}"
    return f"its details are in {log}, for whoever looks after Bargloss"


def _nowhere() -> TextIO:
    """In place of a stream that whoever called us has closed."""
    return Path(os.devnull).open("w", encoding="utf-8")


def main() -> int:
    """The `bargloss` program."""
    if not sys.warnoptions:
        warnings.simplefilter("ignore")  # a library's advice to programmers is no use to a teacher
    sys.stdout = sys.stdout or _nowhere()
    sys.stderr = sys.stderr or _nowhere()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a console that lacks ♭ still gets the rest of the line
    code = run(sys.argv[1:])
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # or the interpreter's own flush complains
    return code


if __name__ == "__main__":
    raise SystemExit(main())
