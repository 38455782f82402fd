"""The child process: bytes in on standard input, plain JSON out on standard output."""

from __future__ import annotations

import sys
from typing import cast

from core.errors import BarglossError
from core.exchange.choice import ChoiceNeeded
from core.exchange.limits import Kind, Source
from core.exchange.plain import Fault, to_json
from core.exchange.reader import read

if sys.platform != "win32":
    import resource


def main(kind: str, part: str, megabytes: str) -> int:
    """Exit code 0 with a Piece, 1 with a Fault. Raises MemoryError beyond `megabytes`, where that can be bounded."""
    if sys.platform != "win32":
        most = int(megabytes) * 1_048_576
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
    out, sys.stdout = sys.stdout, sys.stderr  # so that nothing a library prints can pass for the answer
    try:
        answer, code = to_json(read(Source(cast(Kind, kind), sys.stdin.buffer.read()), int(part) if part else None)), 0
    except BarglossError as error:
        answer, code = to_json(Fault(error.what, isinstance(error, ChoiceNeeded))), 1
    out.write(answer)
    return code


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
