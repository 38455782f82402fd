"""The one family of errors a person is shown: where it is, what is wrong, what to do."""

from __future__ import annotations

from copy import copy


class BarglossError(Exception):
    """Something the person can put right.

    `what` says what is wrong and what to do, in one line. `bar` is the printed
    bar number (the pickup is 0), `file` the name of the file, where they apply.
    """

    def __init__(self, what: str, *, bar: int | None = None, file: str | None = None) -> None:
        super().__init__(what)
        self.what = what
        self.bar = bar
        self.file = file

    def __str__(self) -> str:
        where = [] if self.file is None else [self.file]
        if self.bar is not None:
            where.append(f"bar {self.bar}" if self.bar else "pickup")
        return ": ".join([*where, self.what])

    def lines(self) -> tuple[str, ...]:
        """One line a fault."""
        return (str(self),)

    def in_file(self, file: str) -> BarglossError:
        """The same, told with the file it is in."""
        told = copy(self)
        told.file = file
        return told


class Faults(BarglossError):  # noqa: N818  (several faults, not one more error)
    """Several faults of one thing, told together."""

    def __init__(self, faults: tuple[BarglossError, ...]) -> None:
        super().__init__("; ".join(fault.what for fault in faults))
        self.faults = faults

    def __str__(self) -> str:
        return "\n".join(self.lines())

    def lines(self) -> tuple[str, ...]:
        return tuple(str(fault) for fault in self.faults)

    def in_file(self, file: str) -> Faults:
        return Faults(tuple(fault.in_file(file) for fault in self.faults))
