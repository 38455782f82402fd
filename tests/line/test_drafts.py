"""Drafts: what is told of a bar, in which order, and that no page repeats itself."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.files import load_study
from core.line import analyse
from core.line.drafts import Draft, accept_draft, drafts
from core.line.finding import Finding
from core.line.telling import tell, told
from core.study import Bar, Event, Meter, Note, NotePlace, Study, parse_pitch
from tests.bench.big_study import big_study
from tests.line.test_invariance import moved
from tests.strategies import CALM

EIGHTH = Fraction(1, 2)
DOUBTFUL = re.compile(r"\b(might|may|could|perhaps)\b")
DEMOS = tuple(load_study(path) for path in sorted((Path(__file__).parents[2] / "assets").glob("*.study")))
FOUND = tuple(each for study in (*DEMOS, big_study(2)) for bar in told(study, analyse(study)).bars for each in bar)
FACTS = {kind: tuple(dict.fromkeys(one.facts for one in FOUND if one.kind == kind))
         for kind in dict.fromkeys(one.kind for one in FOUND)}
"""Of each kind, the facts that real lines give."""
MIXED = ("run", "enclosure", "neighbour", "guide-tone")


def study_of(bars: int) -> Study:
    """Bars of eighths, eight to each."""
    pitches = [parse_pitch(name) for name in ("C4", "D4", "E4", "F4", "G4", "F4", "E4", "D4")]
    bar = Bar(tuple(Event(EIGHTH * at, EIGHTH, (Note(pitch),)) for at, pitch in enumerate(pitches)))
    return Study(bars=(bar,) * bars)


def finding(kind: str, first: int, last: int, score: float = 0.8, bar: int = 0, facts: int = 0) -> Finding:
    return Finding(kind, NotePlace(bar, first), NotePlace(bar, last), FACTS[kind][facts % len(FACTS[kind])], score)


def on_bar(findings: tuple[Finding, ...], bar: int) -> tuple[Finding, ...]:
    return tuple(one._replace(first=one.first._replace(bar=bar), last=one.last._replace(bar=bar)) for one in findings)


@st.composite
def told_bars(draw, kinds: tuple[str, ...]) -> tuple[Finding, ...]:
    """A bar's findings in playing order, none to five."""
    row = []
    for _ in range(draw(st.integers(0, 5))):
        kind = draw(st.sampled_from(kinds))
        first = draw(st.integers(0, 6))
        last = draw(st.integers(first + 1, 7))
        row.append(finding(kind, first, last, draw(st.sampled_from((0.3, 0.5, 0.9))),
                           facts=draw(st.integers(0, len(FACTS[kind]) - 1))))
    return tuple(sorted(row, key=lambda one: one[1:3]))


@st.composite
def pages(draw, kinds: tuple[str, ...] = tuple(FACTS)) -> list[tuple[Finding, ...]]:
    """The chosen findings of some bars, whole stretches of them alike."""
    row = []
    for _ in range(draw(st.integers(1, 4))):
        row += [draw(told_bars(kinds))] * draw(st.integers(1, 9))
    return [on_bar(findings, bar) for bar, findings in enumerate(row)]


def shapes(text: str) -> list[str]:
    """The sentences without their music, numbers and opening words."""
    bare = re.sub(r"\d+", "0", re.sub(r"\{[^{}]*\}([ ,]*(and )?\{[^{}]*\})*", "{}", text))
    sentences = [re.sub(r"^(Then|From beat 0,|Across the barline,) ", "", one) for one in re.split(r"(?<=\.) ", bare)]
    return [one[:1].lower() + one[1:] for one in sentences]


def longest_row(found: tuple[Draft | None, ...]) -> int:
    """Over how many bars in a row one sentence shape goes on."""
    longest, rows = 0, Counter()
    for draft in found:
        rows = Counter({shape: rows[shape] + 1 for shape in shapes(draft.text)} if draft else {})
        longest = max([longest, *rows.values()])
    return longest


@settings(CALM, max_examples=200)
@given(st.one_of(pages(), *[pages((kind,)) for kind in FACTS]))
def test_no_sentence_shape_goes_on_for_five_bars(page):
    assert longest_row(drafts(study_of(len(page)), page)) < 5


@settings(CALM, max_examples=200)
@given(pages())
def test_one_to_three_sentences_in_playing_order_and_no_kind_more_than_twice(page):
    for bar, (draft, chosen) in enumerate(zip(drafts(study_of(len(page)), page), page, strict=True)):
        assert (draft is None) == (not chosen)
        if draft:
            assert draft.bar == bar == draft.first.bar
            assert 1 <= len(shapes(draft.text)) == len(draft.kinds) <= 3
            assert max(Counter(draft.kinds).values()) <= 2
            rest = iter([one.kind for one in chosen])
            assert all(kind in rest for kind in draft.kinds)
            assert chosen[0].first <= draft.first <= draft.last <= max(one.last for one in chosen)


@settings(CALM, max_examples=100)
@given(pages(), st.integers(0, 300))
def test_numbers_of_bars_change_no_word(page, number):
    study = study_of(len(page))
    assert drafts(replace(study, first_number=number), page) == drafts(study, page)


@settings(CALM, max_examples=100)
@given(pages())
def test_a_bar_hangs_on_the_bars_before_it_alone(page):
    study = study_of(len(page))
    assert drafts(study, page)[:-1] == drafts(study, [*page[:-1], ()])[:-1]


def test_an_edit_rewords_few_bars():
    """A page of mixed bars, each changed in turn: the bar itself, and here and there one after it."""
    page = [on_bar((finding(MIXED[bar * 7 % 4], 0, 3, facts=bar), finding(MIXED[bar * 5 % 3], 4, 6, facts=bar)), bar)
            for bar in range(64)]
    study = study_of(64)
    before = drafts(study, page)
    changed = []
    for bar in range(64):
        edited = [*page[:bar], on_bar((finding("run", 0, 7, facts=bar + 1),), bar), *page[bar + 1:]]
        changed.append(sum(old != new for old, new in zip(before, drafts(study, edited), strict=True)))
    assert max(changed) <= 8
    assert sum(changed) / len(changed) < 3


@pytest.mark.parametrize("kind", FACTS)
def test_every_device_has_wordings_enough(kind):
    """Three shapes at least, each with its music in tokens, each one sentence; what is doubtful is told as such."""
    for one in FOUND:
        if one.kind == kind:
            wordings = {tell(one, shape) for shape in range(12)}
            assert len({shapes(wording)[0] for wording in wordings}) >= 3, wordings
            for wording in wordings:
                assert len(shapes(wording)) == 1
                assert wording.endswith(".")
                assert not wording[0].islower()
                assert "  " not in wording
                assert "{}" not in wording
                assert wording.count("{") == wording.count("}")
                assert bool(DOUBTFUL.search(wording)) == (one.score < 0.5)


@pytest.mark.parametrize("study", [*DEMOS, big_study(1)], ids=lambda study: study.tune)
def test_a_draft_names_nothing_that_is_not_among_the_facts(study):
    chosen = told(study, analyse(study)).chosen
    for draft, findings in zip(drafts(study, chosen), chosen, strict=True):
        known = {word for one in findings for _, value in one.facts for word in str(value).split()}
        assert set(re.findall(r"\{([^{}]*)\}", draft.text if draft else "")) <= known


@pytest.mark.parametrize("fifths", [-2, 1, 3])
def test_in_another_key_the_words_are_the_same(fifths):
    here, there = moved(DEMOS[1], 0, 0), moved(DEMOS[1], fifths, 0)
    texts = [[shapes(draft.text) if draft else [] for draft in drafts(study, told(study, analyse(study)).chosen)]
             for study in (here, there)]
    assert texts[0] == texts[1]
    assert sum(map(len, texts[0])) > 20


def test_no_sentence_shape_goes_on_for_five_bars_in_real_studies():
    for study in (*DEMOS, big_study(6)):
        assert longest_row(drafts(study, told(study, analyse(study)).chosen)) < 5


def test_the_surest_three_are_told():
    row = (finding("run", 0, 3, 0.5), finding("enclosure", 2, 4, 0.9), finding("neighbour", 4, 6, 0.7),
           finding("guide-tone", 6, 7, 0.8))
    draft = drafts(study_of(1), [row])[0]
    assert draft.kinds == ("enclosure", "neighbour", "guide-tone")
    assert (draft.first, draft.last) == (NotePlace(0, 2), NotePlace(0, 7))


def test_then_is_said_only_of_what_comes_after():
    run = finding("run", 0, 4)
    texts = {drafts(study_of(1), [(run, finding("enclosure", 2, 4, facts=at))])[0].text for at in range(8)}
    assert not [text for text in texts if "Then" in text]
    texts = {drafts(study_of(1), [(run, finding("enclosure", 5, 7, facts=at))])[0].text for at in range(8)}
    assert [text for text in texts if "Then" in text]


def test_a_draft_becomes_a_callout_only_when_accepted():
    study = study_of(2)
    page = [(finding("run", 0, 3), finding("enclosure", 4, 6)), ()]
    draft, nothing = drafts(study, page)
    assert nothing is None
    assert not any(bar.callouts for bar in study.bars)
    accepted = accept_draft(study, draft)
    callout, = accepted.bars[0].callouts
    assert (callout.start, callout.stop, callout.bars_on) == (Fraction(0), Fraction(3), 0)
    assert (callout.text, callout.source) == (draft.text, "run, enclosure")
    assert accepted.bars[1] is study.bars[1]
    assert accept_draft(accepted, draft) is accepted


def test_what_an_accepted_draft_says_is_not_offered_again():
    study = DEMOS[1]
    before = told(study, analyse(study))
    draft = next(one for one in drafts(study, before.chosen) if one and len(set(one.kinds)) > 1)
    accepted = accept_draft(study, draft)
    after = told(accepted, analyse(accepted))
    assert {one.kind for one in before.chosen[draft.bar]} == set(draft.kinds)
    assert not set(before.chosen[draft.bar]) & set(after.bars[draft.bar])
    assert after.bars[draft.bar + 1] == before.bars[draft.bar + 1]


def test_an_accepted_draft_may_end_in_the_next_bar():
    study = study_of(2)
    over = finding("guide-tone", 7, 7)._replace(last=NotePlace(1, 0))
    draft = drafts(study, [(over,), ()])[0]
    callout, = accept_draft(study, draft).bars[0].callouts
    assert (callout.start, callout.stop, callout.bars_on) == (Fraction(7, 2), Fraction(0), 1)


def beats_told(study: Study) -> set[str]:
    """What "From beat …" says of a second finding on the fourth eighth, whatever its facts."""
    texts = [drafts(study, [(finding("run", 0, 3), finding("arpeggio", 3, 5, facts=at))])[0].text for at in range(8)]
    return set(re.findall(r"From beat (\d+)", " ".join(texts)))


def test_beats_are_the_felt_beats_of_the_meter():
    """Compound meters are felt in dotted beats (common practice, no source): the fourth eighth of 6/8 is beat 2."""
    six = study_of(1).bars[0].events[:6]
    assert beats_told(Study(meter=Meter((6,), 8), bars=(Bar(six),))) == {"2"}
    assert beats_told(study_of(1)) == set()


def test_no_beat_is_named_in_a_pickup():
    """Its notes stand at the end of a bar that is not all there: its second quarter is beat 3 of 4."""
    notes = study_of(1).bars[0].events
    row = [(finding("run", 0, 2), finding("arpeggio", 2, 5, facts=at)) for at in range(8)]
    whole, pickup = Study(bars=(Bar(notes),)), Study(bars=(Bar(notes[:6], length=Fraction(3)), Bar()))
    said = [" ".join(drafts(study, [one, ()][:len(study.bars)])[0].text for one in row) for study in (whole, pickup)]
    assert "From beat 2," in said[0]
    assert "From beat" not in said[1]


PRINT = """
from pathlib import Path
from core.files import load_study
from core.line import analyse
from core.line.drafts import drafts
from core.line.telling import told
study = load_study(Path("assets/cellar-stairs.study"))
print(drafts(study, told(study, analyse(study)).chosen))
"""


def test_the_same_words_in_every_process():
    root = Path(__file__).parents[2]
    ran = [subprocess.run([sys.executable, "-c", PRINT], cwd=root, capture_output=True, text=True, check=True,
                          env=os.environ | {"PYTHONHASHSEED": seed}).stdout for seed in ("1", "2")]
    assert ran[0] == ran[1]
    assert "Draft(" in ran[0]
