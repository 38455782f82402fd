"""A session killed at random moments: but for one edit at most, unsaved work is found again, and no file is harmed.

BARGLOSS_KILLS says how often; five times if it says nothing.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path
from random import Random
from threading import Timer

import pytest

from app.autosave import left_behind
from app.folders import journal_folder
from core.files import load_study, read_journal, save_study
from core.study import Bar, Study
from tests.app.scripted_session import highest

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("seed", range(int(os.environ.get("BARGLOSS_KILLS", "5"))))
def test_a_kill_costs_one_edit_at_most_and_no_file(tmp_path, seed):
    path = tmp_path / "mine.study"
    save_study(Study(bars=(Bar(), Bar(), Bar())), path)
    with subprocess.Popen([sys.executable, "-m", "tests.app.scripted_session", str(path)], cwd=ROOT, text=True,
                          stdout=subprocess.PIPE, env=os.environ | {"QT_QPA_PLATFORM": "offscreen"}) as session:
        session.stdout.readline()
        Timer(Random(seed).uniform(0, 4), session.kill).start()  # SIGKILL: no handler, no flush, nothing
        made = [int(line) for line in session.stdout.read().split("\n")[:-1]]
    assert session.returncode == -signal.SIGKILL
    kept = [load_study(path)]  # raises, were it harmed
    for file in left_behind(journal_folder()):
        journal = read_journal(file)
        assert journal.path == path
        kept.append(journal.study)
    assert max(map(highest, kept)) >= max(made, default=1) - 1
