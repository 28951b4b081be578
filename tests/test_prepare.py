"""The bootstrap's child: database, static files, demo data."""

import os
import time

import pytest
from django.core.management import call_command

from handover import pdf
from handover.models import Sheet
from workshop import prepare
from workshop.core.models import Job, Machine, User


@pytest.fixture
def data(settings, tmp_path):
    """A data folder of its own."""
    settings.DATA_DIR = tmp_path
    settings.STATIC_ROOT = tmp_path / "static"
    return tmp_path


def lines(capsys):
    return capsys.readouterr().out.splitlines()


def test_the_demo_is_laid_once_and_says_the_sheet_and_the_sign_in(db, capsys):
    call_command("load_demo", "--once")
    first, people = lines(capsys), User.objects.count()
    call_command("load_demo", "--once")

    assert lines(capsys) == first
    assert User.objects.count() == people
    assert [line.split(":")[0] for line in first] == ["Handover sheet 2", "Sign in as ana with the password"]


def test_without_the_pdf_libraries_the_demo_is_laid_and_says_that_no_sheet_was_issued(db, capsys, monkeypatch):
    def missing():
        raise pdf.PdfUnavailable

    monkeypatch.setattr(pdf, "_weasyprint", missing)

    call_command("load_demo", "--once")
    said = capsys.readouterr()

    assert (Sheet.objects.count(), Machine.objects.count(), Job.objects.filter(kind="CAME_BACK").count()) == (0, 6, 0)
    assert said.out.splitlines()[0].startswith("Sign in as ana")
    assert [line.partition(":")[0] for line in said.err.splitlines()] == ["No sheet was issued"]


def test_static_files_are_collected_when_one_changed_and_only_then(data, settings, tmp_path, capsys):
    own = tmp_path / "own"
    own.mkdir()
    (own / "page.css").write_text("p { color: inherit }")
    settings.STATICFILES_DIRS = [own]

    prepare._collect_static()
    prepare._collect_static()
    (own / "page.css").write_text("p { color: inherit; margin: 0 }")
    later = time.time() + 10  # Django compares whole seconds
    os.utime(own / "page.css", (later, later))
    prepare._collect_static()

    assert lines(capsys) == ["Collecting the static files."] * 2
    assert "margin: 0" in (data / "static" / "page.css").read_text()


def test_a_workshop_without_people_is_told_of_the_first_run_page(db, capsys):
    prepare._greet()
    User.objects.create_user("ana", password="a long bench word")
    prepare._greet()

    assert lines(capsys) == [
        "Nobody can sign in yet: open /first-run/ at once and name the first person and the workshop."
    ]
