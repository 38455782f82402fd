"""What the start of the window does without: packages that are slow to import, and all of each other study."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from app.setup import FIRST_DEMO, ROOT
from app.window import ASSETS, demo_titles
from core.errors import BarglossError
from core.files import save_study, title_in
from core.study import Bar, Study


def test_no_heavy_package_is_imported_before_the_first_picture(tmp_path):
    env = {"QT_QPA_PLATFORM": "offscreen", **os.environ, "XDG_CONFIG_HOME": str(tmp_path),
           "XDG_STATE_HOME": str(tmp_path)}
    ran = subprocess.run([sys.executable, "-m", "tests.bench.first_picture", str(ASSETS / f"{FIRST_DEMO}.study")],
                         cwd=ROOT, env=env, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    assert json.loads(ran.stdout)["heavy"] == []


def test_titles_of_the_demo_studies():
    assert dict(demo_titles())[FIRST_DEMO] == "Two choruses in G minor"


@pytest.mark.parametrize(("study", "title"), [
    (Study(title="Over & under", tune="A tune", bars=(Bar(),)), "Over & under"),
    (Study(tune="A tune", bars=(Bar(comment="title"),)), "A tune"),
    (Study(bars=(Bar(),)), ""),
])
def test_the_title_is_in_the_head_of_a_study(study, title, tmp_path):
    save_study(study, tmp_path / "a.study")
    assert title_in(tmp_path / "a.study") == title


def test_no_more_than_the_head_is_read(tmp_path):
    """What is broken after the first bar does not matter; before it, it is told."""
    save_study(Study(title="Whole", bars=(Bar(), Bar())), tmp_path / "a.study")
    whole = (tmp_path / "a.study").read_text(encoding="utf-8")
    broken = tmp_path / "b.study"
    broken.write_text(whole.replace("</study>", "<"), encoding="utf-8")
    assert title_in(broken) == "Whole"
    broken.write_text(whole.replace("</title>", "<"), encoding="utf-8")
    with pytest.raises(BarglossError, match="no study file"):
        title_in(broken)
    with pytest.raises(BarglossError):
        title_in(tmp_path / "none.study")
