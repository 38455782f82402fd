"""Read in a child process, with a bound on time and memory: a hostile or broken file cannot take Bargloss along."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from core.errors import BarglossError
from core.exchange.choice import ChoiceNeeded
from core.exchange.limits import Source
from core.exchange.plain import Fault, Piece, from_json

SECONDS = 60.0
MEGABYTES = 2_048
_ROOT = Path(__file__).resolve().parents[2]


def read_guarded(source: Source, part: int | None, seconds: float = SECONDS, megabytes: int = MEGABYTES) -> Piece:
    """The asked-for line of the file. Raises BarglossError, ChoiceNeeded."""
    # -P: a module lying in the folder the person works in must not be imported in place of a real one.
    command = [sys.executable, "-P", "-m", "core.exchange.reader_child", source.kind,
               "" if part is None else str(part), str(megabytes)]
    paths = [str(_ROOT), *filter(None, [os.environ.get("PYTHONPATH")])]
    try:
        done = subprocess.run(command, input=source.raw, capture_output=True, timeout=seconds, check=False,
                              env={**os.environ, "PYTHONPATH": os.pathsep.join(paths)})
    except subprocess.TimeoutExpired:
        raise BarglossError(f"reading took longer than {seconds:g} seconds; export one solo alone") from None
    answer = done.stdout.decode("utf-8", "replace")
    try:
        if done.returncode == 0:
            piece: Piece = from_json(answer, Piece)
            return piece
        fault: Fault = from_json(answer, Fault)
    except (ValueError, KeyError, TypeError):
        raise BarglossError("the file could not be read: it is damaged, or needs more than "
                            f"{megabytes} MB of memory; export it again") from None
    raise (ChoiceNeeded if fault.choice else BarglossError)(fault.text)
