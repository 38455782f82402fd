"""From the start of the process to the window's first picture; and the memory of a long session.

Run with `pytest tests/bench/test_start.py --benchmark-enable -q -s`. No time or size is asserted. Clock and processor
time are told apart, for other work on the machine lengthens the one far more than the other.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from app.setup import FIRST_DEMO
from app.window import ASSETS

ROOT = Path(__file__).resolve().parents[2]
ROUNDS = 12


def told_by(module: str, home: Path, *words: object) -> dict:
    names = ("XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME", "APPDATA", "LOCALAPPDATA")
    env = {"QT_QPA_PLATFORM": "offscreen", **os.environ, **{name: str(home) for name in names}}
    env.pop("PYTHONDONTWRITEBYTECODE", None)  # the second start finds everything compiled, as a person's does
    ran = subprocess.run([sys.executable, "-m", f"tests.bench.{module}", *map(str, words)], cwd=ROOT, env=env,
                         capture_output=True, text=True, check=True)
    return json.loads(ran.stdout)


@pytest.mark.benchmark(group="from the start of the process to the first picture")
def test_first_picture(benchmark, tmp_path):
    told = []
    benchmark.pedantic(lambda: told.append(told_by("first_picture", tmp_path, ASSETS / f"{FIRST_DEMO}.study",
                                                   time.time())), rounds=ROUNDS, warmup_rounds=1)
    assert not told[0]["heavy"]
    least = {name: round(min(one[name] for one in told), 3) for name in ("clock", "processor")}
    benchmark.extra_info.update(least)
    print(f"\nfirst picture, least of {len(told)} starts: {least['clock']} s on the clock, "
          f"{least['processor']} s of processor time")


@pytest.mark.benchmark(group="72 bars opened, 200 keys typed, scrolled through")
def test_memory(benchmark, tmp_path):
    told = benchmark.pedantic(told_by, ("long_session", tmp_path), rounds=1)
    benchmark.extra_info.update(told)
    for step, size in told.items():
        print(f"\n{step}: {size['resident']:.0f} MB resident, {size['own']:.0f} MB its own", end="")
    assert list(told) == ["Qt alone", "opened", "typed", "scrolled"]
