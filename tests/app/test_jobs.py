"""Exporting and printing beside the window: progress, cancelling, faults; and the printed page against the PDF's."""

from __future__ import annotations

from threading import Event

import pypdfium2
import pytest
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog

from app import dialogs, printing, words_around
from core.errors import BarglossError
from core.handout import compose, load_template
from core.handout.pdf import pdf_bytes
from tests.app.windows import Person, demo
from tests.handout import pictures


@pytest.fixture
def person(qtbot):
    return Person(qtbot, demo())


def jobs_of(person):
    return person.window.around.jobs


def test_the_window_goes_on_while_a_job_runs_and_the_bar_shows_how_far_it_is(person, qtbot):
    jobs, goes_on = jobs_of(person), Event()

    def work(told):
        told(0.4)
        assert goes_on.wait(30)
        return "Done with it"
    jobs.start("Working", work)
    qtbot.waitUntil(lambda: jobs.bar.value() == 400)
    assert jobs.isVisible()
    assert jobs.label.text() == "Working"
    person.write(person.window.bar_panel.comment, "Meanwhile")
    assert person.study.bars[0].comment == "Meanwhile"
    jobs.start("Another", work)
    assert person.window.message.label.text() == words_around.BUSY
    with qtbot.waitSignal(jobs.idle):
        goes_on.set()
    assert not jobs.isVisible()
    assert person.window.message.label.text() == "Done with it"


def test_cancelling_an_export_leaves_the_file_that_was_there(person, qtbot, tmp_path, monkeypatch):
    """The work is held up at its first page until the person has clicked."""
    (tmp_path / "old.pdf").write_bytes(b"old")
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: tmp_path / "old.pdf")
    jobs, clicked = jobs_of(person), Event()
    monkeypatch.setattr(jobs, "_tell", lambda share, tell=jobs._tell: (clicked.wait(30), tell(share)))
    person.press_keys("Ctrl+H")
    with qtbot.waitSignal(jobs.idle):
        person.click(jobs.cancel_button)
        clicked.set()
    assert person.window.message.label.text() == words_around.CANCELLED
    assert [(file.name, file.read_bytes()) for file in tmp_path.glob("*.*")] == [("old.pdf", b"old")]
    with qtbot.waitSignal(jobs.idle, timeout=60_000):
        person.press_keys("Ctrl+H")
    assert (tmp_path / "old.pdf").read_bytes().startswith(b"%PDF")


def test_what_goes_wrong_in_a_job_is_told(person, qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: tmp_path / "nowhere" / "a.pdf")
    with qtbot.waitSignal(jobs_of(person).idle, timeout=60_000):
        person.press_keys("Ctrl+H")
    assert "there is no such file or folder" in person.window.message.label.text()

    def broken(told):
        raise ZeroDivisionError("a test")
    monkeypatch.setattr("platformdirs.user_log_path", lambda *_, **__: tmp_path / "log")
    with qtbot.waitSignal(jobs_of(person).idle):
        jobs_of(person).start("Working", broken)
    assert "ZeroDivisionError: a test" in person.window.message.label.text()
    assert "Traceback" in (tmp_path / "log" / "faults.log").read_text(encoding="utf-8")


def test_closing_the_window_stops_the_job(person, qtbot):
    stopped = []

    def work(told):
        try:
            while True:
                told(0.5)
        except Exception as error:
            stopped.append(error)
            raise
    jobs_of(person).start("Endless", work)
    person.window.close()
    assert len(stopped) == 1


def test_the_pdf_tells_how_far_it_is_and_is_the_same_for_it():
    pages, told = compose(demo(), load_template("lesson")), []
    assert pdf_bytes(pages, told.append) == pdf_bytes(pages)
    assert told == [pytest.approx((page + 1) / len(pages.pages)) for page in range(len(pages.pages))]


def to_file(path):
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    return printer


def apart(printed, page, own, own_page):
    """The share of pixels that differ in two pages, painted by PDFium, which draws a thin fill darker than a thin line.

    A printer's paper is whole points wide.
    """
    one, other = pictures.of_pdf(printed, page, 4), pictures.of_pdf(own, own_page, 4)
    (height, width), (own_height, own_width) = one.shape[:2], other.shape[:2]
    assert max(abs(height - own_height), abs(width - own_width)) <= 4
    height, width = min(height, own_height), min(width, own_width)
    return (pictures.differences(one[:height, :width], other[:height, :width]) > pictures.AGREE).any(2).mean()


@pytest.mark.parametrize("template", ["lesson", "tablet"])
def test_the_printed_page_is_the_page_of_the_pdf(qtbot, tmp_path, template):
    """PDFium paints both: what Qt printed, and what reportlab wrote."""
    pages = compose(demo(), load_template(template))
    printer = to_file(tmp_path / "printed.pdf")
    printing.set_paper(printer, pages)
    printing.print_pages(printer, pages, lambda share: None)
    printed, own = (tmp_path / "printed.pdf").read_bytes(), pdf_bytes(pages)
    with pypdfium2.PdfDocument(printed) as document:
        assert len(document) == len(pages.pages)
    assert max(apart(printed, page, own, page) for page in range(len(pages.pages))) < 0.003
    assert apart(printed, 0, own, 1) > 0.01


def test_printing_goes_through_the_system_s_dialog_and_only_the_chosen_pages(person, qtbot, tmp_path, monkeypatch):
    asked = []

    def answered(dialog):
        asked.append(dialog.maxPage())
        dialog.printer().setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        dialog.printer().setOutputFileName(str(tmp_path / "printed.pdf"))
        dialog.printer().setFromTo(2, 2)
        return QDialog.DialogCode.Accepted
    monkeypatch.setattr(QPrintDialog, "exec", answered)
    with qtbot.waitSignal(jobs_of(person).idle, timeout=60_000):
        person.press_keys("Ctrl+P")
    assert asked == [len(person.drawing.pages)]
    printed = (tmp_path / "printed.pdf").read_bytes()
    with pypdfium2.PdfDocument(printed) as document:
        assert len(document) == 1
    assert apart(printed, 0, pdf_bytes(person.drawing), 1) < 0.001
    monkeypatch.setattr(QPrintDialog, "exec", lambda dialog: QDialog.DialogCode.Rejected)
    person.press_keys("Ctrl+P")
    assert not jobs_of(person).is_busy


def test_a_printer_that_does_not_answer_is_told(qtbot, tmp_path):
    pages = compose(demo(), load_template("lesson"))
    printer = to_file(tmp_path / "nowhere" / "printed.pdf")
    with pytest.raises(BarglossError, match="printer does not answer"):
        printing.print_pages(printer, pages, lambda share: None)
