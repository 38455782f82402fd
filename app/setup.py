"""First run: make the environment, then try the demo or run the tests.

Runs before anything is installed, so it needs the standard library alone:
`python3 -m app.setup try` and `python3 -m app.setup test`.
"""

from __future__ import annotations

import ctypes
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
import venv
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from core.errors import BarglossError

ROOT = Path(__file__).resolve().parents[1]
VENV = ROOT / ".venv"
DEMO = ROOT / "demo"
FIRST_DEMO = "cellar-stairs"  # the one the window opens by itself, too

# What the Qt wheels load from the system (objdump -p of Qt6Gui, Qt6DBus and the xcb platform),
# and the Debian 12 package that holds it.
LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libX11.so.6": "libx11-6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
}


def missing_libraries(load: Callable[[str], object] = ctypes.CDLL, platform: str = sys.platform) -> tuple[str, ...]:
    """The shared libraries Qt needs from a Linux system and would not find; none elsewhere."""
    if not platform.startswith("linux"):
        return ()
    return tuple(library for library in LIBRARIES if not _loads(library, load))


def _loads(library: str, load: Callable[[str], object]) -> bool:
    try:
        load(library)
    except OSError:
        return False
    return True


def has_apt() -> bool:
    """Whether this is Debian or of its family."""
    return shutil.which("apt-get") is not None


def library_advice(missing: Sequence[str], by_apt: bool) -> str:
    """One line: what the window lacks, and what to install."""
    if by_apt:
        return f"the window lacks system libraries; run: sudo apt-get install {' '.join(_packages(missing))}"
    return f"the window lacks system libraries; install the packages that hold {', '.join(missing)}"


def apt_commands(missing: Sequence[str], sudo: bool) -> list[list[str]]:
    """What fetches the libraries on Debian and its family."""
    prefix = ["sudo", "-n"] if sudo else []
    return [
        [*prefix, "apt-get", "-q", "-y", "update"],
        [*prefix, "apt-get", "-q", "-y", "install", "--no-install-recommends", *_packages(missing)],
    ]


def _packages(missing: Sequence[str]) -> list[str]:
    return [LIBRARIES[library] for library in missing]


def has_display(environ: Mapping[str, str], platform: str) -> bool:
    """Whether a window would be seen: never under CI, on Linux only where a display is named."""
    if environ.get("CI"):
        return False
    return not platform.startswith("linux") or bool(environ.get("DISPLAY") or environ.get("WAYLAND_DISPLAY"))


def program(name: str, environment: Path = VENV, platform: str = sys.platform) -> Path:
    """Where the environment keeps a program of this name."""
    return environment / "Scripts" / f"{name}.exe" if platform == "win32" else environment / "bin" / name


def install_command(python: Path, extra: str, own_pip: bool) -> list[str]:
    """Puts this project, as it lies here, into the environment: by its own pip, else by ours from outside."""
    pip = [str(python), "-m", "pip"] if own_pip else [sys.executable, "-m", "pip", "--python", str(python)]
    return [*pip, "--disable-pip-version-check", "install", "--quiet", "--editable", f".[{extra}]" if extra else "."]


def test_command(python: Path, processors: int, arguments: Sequence[str]) -> list[str]:
    """Runs every test, on up to four processors."""
    return [str(python), "-m", "pytest", "-n", str(max(1, min(4, processors))), *arguments]


def stamp(pyproject: bytes, extra: str) -> str:
    """What an environment was made from: changes when it has to be made again."""
    return f"{hashlib.sha256(pyproject).hexdigest()} {extra}".strip()


def is_fresh(kept: str, pyproject: bytes, extra: str) -> bool:
    """Whether an environment with this stamp will do. One with the tests' packages does for both."""
    return kept in {stamp(pyproject, extra), stamp(pyproject, "test")}


def prepare(extra: str) -> Path:
    """Make or complete `.venv`; its Python. Quick where nothing has changed. Raises BarglossError."""
    python, kept = program("python"), VENV / "bargloss-stamp"
    pyproject = (ROOT / "pyproject.toml").read_bytes()
    if python.exists() and kept.exists() and is_fresh(kept.read_text(encoding="utf-8"), pyproject, extra):
        return python
    kept.unlink(missing_ok=True)
    if not python.exists():
        _say(f"Making {VENV.name} …")
        has_ensurepip = importlib.util.find_spec("ensurepip") is not None  # Debian packs it with python3-venv
        venv.create(VENV, clear=True, with_pip=has_ensurepip, symlinks=os.name != "nt")
    own_pip = program("pip").exists()
    if not own_pip and importlib.util.find_spec("pip") is None:
        raise BarglossError("this Python has neither pip nor ensurepip; install python3-pip")
    _say("Installing Bargloss and what it needs (about 500 MB, some minutes) …")
    _run(install_command(python, extra, own_pip), "install Bargloss; check the network, then run this again")
    kept.write_text(stamp(pyproject, extra), encoding="utf-8")
    return python


def fetch_libraries() -> str:
    """Install the system libraries Qt lacks, where that can be done; advice on what is still missing, or nothing."""
    missing = missing_libraries()
    if not missing:
        return ""
    is_root = hasattr(os, "geteuid") and os.geteuid() == 0
    if has_apt() and (is_root or _sudo_asks_nothing()):
        _say(f"Installing system libraries for the window: {' '.join(_packages(missing))} …")
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        for command in apt_commands(missing, sudo=not is_root):
            subprocess.run(command, env=quiet, stdout=subprocess.DEVNULL, check=False)
        missing = missing_libraries()
    return library_advice(missing, has_apt()) if missing else ""


def _sudo_asks_nothing() -> bool:
    return shutil.which("sudo") is not None and subprocess.run(
        ["sudo", "-n", "true"], stderr=subprocess.DEVNULL, check=False).returncode == 0


def try_demo() -> int:
    """Set up, write the demo studies and a handout, and open the window where there is a display."""
    prepare("")
    advice = fetch_libraries()
    bargloss = str(program("bargloss"))
    _run([bargloss, "demo", str(DEMO)], "write the demo studies; what went wrong stands above")
    study, handout = DEMO / f"{FIRST_DEMO}.study", DEMO / "handout.pdf"
    _run([bargloss, "handout", str(study), "--to", str(handout)], "write the handout; what went wrong stands above")
    _say(f"The handout is {handout}, made from {study}.")
    if advice:
        _tell(advice)
    elif has_display(os.environ, sys.platform):
        _say("Opening the window on it.")
        subprocess.Popen([bargloss, str(study)], cwd=ROOT, start_new_session=True)
    else:
        _say(f"There is no display here; elsewhere, {bargloss} {study} opens the window on it.")
    return 0


def run_tests(arguments: Sequence[str]) -> int:
    """Set up, run every test, and return pytest's exit code. Raises BarglossError where Qt cannot load."""
    python = prepare("test")
    advice = fetch_libraries()
    if advice:
        raise BarglossError(advice)
    command = test_command(python, os.cpu_count() or 1, arguments)
    unseen = {"QT_QPA_PLATFORM": "offscreen", **os.environ}
    return subprocess.run(command, cwd=ROOT, env=unseen, check=False).returncode


def main(arguments: Sequence[str]) -> int:
    """Run one of the two commands; its exit code."""
    if sys.version_info < (3, 11):  # noqa: UP036  (pip has not yet had the chance to say so)
        _tell(f"this is Python {sys.version.split()[0]}; install 3.11 or newer and run this with it")
        return 1
    if arguments[:1] not in (["try"], ["test"]) or (arguments[0] == "try" and len(arguments) > 1):
        _tell("say what to do: python3 -m app.setup try, or python3 -m app.setup test")
        return 2
    try:
        return try_demo() if arguments[0] == "try" else run_tests(arguments[1:])
    except (BarglossError, OSError, subprocess.CalledProcessError) as error:
        _tell(str(error))
        return 1
    except KeyboardInterrupt:
        _tell("stopped; run this again to go on")
        return 130


def _run(command: Sequence[str], doing: str) -> None:
    if subprocess.run(command, cwd=ROOT, check=False).returncode:
        raise BarglossError(f"could not {doing}")


def _say(line: str) -> None:
    print(line, flush=True)


def _tell(line: str) -> None:
    print(f"set-up: {line}", file=sys.stderr, flush=True)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
