"""The first run: what it finds missing, what it would run. Nothing here installs or downloads anything."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import PySide6
import pytest

from app import setup
from core.errors import BarglossError

ROOT = Path(__file__).resolve().parents[2]


def lacking(*names: str):
    """A loader that finds every library but these."""
    def load(name: str) -> None:
        if name in names:
            raise OSError(f"{name}: cannot open shared object file")
    return load


def test_missing_libraries_are_those_that_do_not_load():
    lacks = lacking("libEGL.so.1", "libxcb-cursor.so.0")
    assert setup.missing_libraries(lacks, "linux") == ("libEGL.so.1", "libxcb-cursor.so.0")
    assert setup.missing_libraries(lacking(), "linux") == ()


@pytest.mark.parametrize("platform", ["darwin", "win32"])
def test_only_linux_takes_qt_libraries_from_the_system(platform):
    assert setup.missing_libraries(lacking(*setup.LIBRARIES), platform) == ()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="ELF is Linux's")
def test_the_list_holds_what_the_qt_wheel_asks_for():
    """Source: the DT_NEEDED entries of the installed Qt wheel's own files, read as ldd reads them."""
    qt = Path(PySide6.__file__).parent / "Qt"
    wanted = set()
    for name in ("lib/libQt6Gui.so.6", "lib/libQt6Widgets.so.6", "lib/libQt6DBus.so.6", "lib/libQt6XcbQpa.so.6",
                 "plugins/platforms/libqxcb.so", "plugins/platforms/libqoffscreen.so"):
        listed = subprocess.run(["ldd", qt / name], capture_output=True, text=True, check=True).stdout
        direct = set(re.findall(rb"lib[\w.+-]+\.so\.\d+", (qt / name).read_bytes()))
        wanted |= {found for found in re.findall(r"^\s+(lib\S+) =>", listed, re.M) if found.encode() in direct}
    always_there = {"libc.so.6", "libm.so.6", "libdl.so.2", "libpthread.so.0", "librt.so.1", "libstdc++.so.6",
                    "libgcc_s.so.1", "libz.so.1"}
    implied = {"libgthread-2.0.so.0", "libxcb.so.1"}  # of the packages of libglib-2.0 and of every libxcb-*
    outside = {name for name in wanted if not name.startswith(("libQt6", "libicu"))} - always_there - implied
    assert outside <= set(setup.LIBRARIES)


def test_apt_asks_for_the_packages_of_what_is_missing():
    update, install = setup.apt_commands(["libEGL.so.1", "libdbus-1.so.3"], sudo=True)
    assert update[:3] == ["sudo", "-n", "apt-get"]
    assert update[-1] == "update"
    assert install[:3] == ["sudo", "-n", "apt-get"]
    assert install[-2:] == ["libegl1", "libdbus-1-3"]
    assert setup.apt_commands(["libEGL.so.1"], sudo=False)[1][0] == "apt-get"


def test_advice_names_packages_on_debian_and_libraries_elsewhere():
    assert setup.library_advice(["libEGL.so.1"], by_apt=True).endswith("sudo apt-get install libegl1")
    assert "libEGL.so.1" in setup.library_advice(["libEGL.so.1"], by_apt=False)


@pytest.mark.parametrize(("environ", "platform", "seen"), [
    ({}, "linux", False),
    ({"DISPLAY": ":0"}, "linux", True),
    ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", True),
    ({"DISPLAY": ":0", "CI": "true"}, "linux", False),
    ({}, "darwin", True),
    ({}, "win32", True),
    ({"CI": "1"}, "win32", False),
])
def test_has_display(environ, platform, seen):
    assert setup.has_display(environ, platform) is seen


def test_programs_lie_where_venv_puts_them():
    """Source: Python's venv documentation, `bin` on POSIX and `Scripts` on Windows."""
    assert setup.program("python", Path("e"), "linux") == Path("e/bin/python")
    assert setup.program("python", Path("e"), "win32") == Path("e/Scripts/python.exe")


def test_install_goes_into_the_environment_with_its_own_pip_or_ours():
    python = Path("e/bin/python")
    assert setup.install_command(python, "test", own_pip=True)[:3] == [str(python), "-m", "pip"]
    assert setup.install_command(python, "test", own_pip=True)[-2:] == ["--editable", ".[test]"]
    outside = setup.install_command(python, "", own_pip=False)
    assert outside[:5] == [sys.executable, "-m", "pip", "--python", str(python)]
    assert outside[-1] == "."


@pytest.mark.parametrize(("processors", "workers"), [(1, "1"), (2, "2"), (64, "4")])
def test_tests_run_on_at_most_four_processors(processors, workers):
    command = setup.test_command(Path("python"), processors, ["-k", "beams"])
    assert command == ["python", "-m", "pytest", "-n", workers, "-k", "beams"]


def test_an_environment_is_made_again_when_pyproject_changes_or_more_is_needed():
    plain, full = setup.stamp(b"one", ""), setup.stamp(b"one", "test")
    assert setup.is_fresh(plain, b"one", "")
    assert setup.is_fresh(full, b"one", "")
    assert setup.is_fresh(full, b"one", "test")
    assert not setup.is_fresh(plain, b"one", "test")
    assert not setup.is_fresh(full, b"two", "test")


@pytest.fixture
def checkout(tmp_path, monkeypatch):
    """A checkout of its own, in which no command is really run: those asked for, in order."""
    asked: list[list[str]] = []

    def note(command, **_):
        asked.append([str(word) for word in command])
        return subprocess.CompletedProcess(command, 0)

    def make(folder, **_):
        for name in ("python", "pip"):
            path = setup.program(name, folder)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.touch()

    monkeypatch.setattr(setup, "ROOT", tmp_path)
    monkeypatch.setattr(setup, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(setup, "program", lambda name, environment=tmp_path / ".venv": environment / "bin" / name)
    monkeypatch.setattr(setup.subprocess, "run", note)
    monkeypatch.setattr(setup.venv, "create", make)
    (tmp_path / "pyproject.toml").write_text("[project]", encoding="utf-8")
    return asked


def test_a_second_set_up_installs_nothing(checkout, tmp_path):
    setup.prepare("test")
    assert len(checkout) == 1
    setup.prepare("test")
    setup.prepare("")
    assert len(checkout) == 1
    (tmp_path / "pyproject.toml").write_text("[project]\nname='x'", encoding="utf-8")
    setup.prepare("")
    assert len(checkout) == 2


def test_a_failed_install_is_told_and_tried_again(checkout, monkeypatch):
    run = setup.subprocess.run
    monkeypatch.setattr(setup.subprocess, "run", lambda command, **_: subprocess.CompletedProcess(command, 1))
    with pytest.raises(BarglossError, match="could not install Bargloss; check the network"):
        setup.prepare("")
    monkeypatch.setattr(setup.subprocess, "run", run)
    setup.prepare("")
    assert len(checkout) == 1


def test_tests_end_with_pytests_own_exit_code(checkout, monkeypatch):
    monkeypatch.setattr(setup, "fetch_libraries", lambda: "")
    setup.prepare("test")
    monkeypatch.setattr(setup.subprocess, "run", lambda command, **_: subprocess.CompletedProcess(command, 5))
    assert setup.main(["test"]) == 5


def test_tests_do_not_start_where_qt_cannot_load(checkout, monkeypatch, capsys):
    monkeypatch.setattr(setup, "fetch_libraries", lambda: "the window lacks libEGL.so.1")
    assert setup.main(["test"]) == 1
    assert capsys.readouterr().err == "set-up: the window lacks libEGL.so.1\n"
    assert not any("pytest" in command for command in checkout)


@pytest.mark.parametrize("arguments", [[], ["tyr"], ["try", "more"]])
def test_a_wrong_call_is_told_in_one_line(arguments):
    """As a person starts it, by this Python, in a real process."""
    ran = subprocess.run([sys.executable, "-m", "app.setup", *arguments], cwd=ROOT, capture_output=True, text=True,
                         check=False)
    assert ran.returncode == 2
    assert ran.stdout == ""
    assert ran.stderr == "set-up: say what to do: python3 -m app.setup try, or python3 -m app.setup test\n"


def test_set_up_needs_the_standard_library_alone():
    """-S leaves site-packages out, so an import of anything installed fails."""
    ran = subprocess.run([sys.executable, "-S", "-m", "app.setup"], cwd=ROOT, capture_output=True, text=True,
                         check=False)
    assert ran.returncode == 2, ran.stderr
