"""A sheet drawn: the first in a process, later ones, an empty page, and the browser's own print of the same HTML.

Run from the project: `python -m tests.benchmarks.sheets`. Never part of the suite. The budgets: 0.6 s for the first
of a server that has started, 0.25 s for later ones, 20 ms for a stored one. Processor seconds stand beside the
clock's, for a machine that others use as well. The browser is left out where there is none.
"""

# ruff: noqa: PLC0415, T201  (Django wants its folder first, and a benchmark prints what it measured)
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

TIMES = 9
EMPTY = '<!DOCTYPE html><html lang="en"><head><title>Empty</title></head><body></body></html>'


def seconds(work):
    """Return (seconds by the clock, seconds of the processor, what it gave)."""
    began, busy = time.perf_counter(), time.process_time()
    gave = work()
    return time.perf_counter() - began, time.process_time() - busy, gave


def said(name, timings):
    """Print the median of some timings."""
    clock, processor = (statistics.median(column) for column in list(zip(*timings, strict=True))[:2])
    print(f"{name:44} {clock:7.3f} s  {processor:7.3f} s of the processor")


def browser_print(html, folder, photos):
    """Print the sheet's own HTML with the browser, its styles linked and its photos beside it."""
    found = shutil.which("chromium")
    if found is None:
        print("No chromium here: the browser's print is left out.")
        return
    from django.conf import settings

    css = "".join(f'<link rel="stylesheet" href="file://{settings.BASE_DIR}/static/css/{n}">' for n in PAGES)
    for sha, data in photos.items():
        (folder / sha).write_bytes(data)
    page = folder / "sheet.html"
    page.write_text(re.sub("photo:", f"file://{folder}/", html).replace("</head>", f"{css}</head>"), encoding="utf-8")
    command = [found, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
    command += ["--allow-file-access-from-files", f"--print-to-pdf={folder}/sheet.pdf", f"file://{page}"]
    timings = [seconds(lambda: subprocess.run(command, capture_output=True, check=True)) for _ in range(3)]
    clock = statistics.median(each[0] for each in timings)
    print(f"{'the browser, its own start in it':44} {clock:7.3f} s")
    print(f"{'':44} {(folder / 'sheet.pdf').stat().st_size / 1000:.0f} kB")


PAGES = ("sheet-page.css", "sheet.css", "sheet-large.css")


def main():
    """Print every timing."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DATA_DIR"] = folder
        import django

        django.setup()
        from handover import pdf, store
        from handover.sheet import Paper, PrintSize
        from tests.handover import sheet_examples as examples

        kept = examples.heat_exchanger()
        said("what a server loads as it starts", [seconds(pdf.warm)])
        said("the first, in a new process", [seconds(lambda: pdf.render(kept, photo=examples.photo))])
        others = [replace(kept, serial=f"0456-{at}") for at in range(TIMES)]
        for name, sheets in {
            "later ones, three marks": others,
            "later ones on Letter": [replace(each, paper=Paper.LETTER) for each in others],
            "later ones, twelve marks": [replace(each, condition=examples.condition(12)) for each in others],
            "later ones in large print": [replace(each, size=PrintSize.LARGE) for each in others],
        }.items():
            said(name, [seconds(lambda sheet=sheet: pdf.render(sheet, photo=examples.photo)) for sheet in sheets])
        said("an empty page", [seconds(lambda: pdf.draw(EMPTY, PAGES, "", tagged=True)) for _ in range(TIMES)])
        drawn = pdf.render(kept, photo=examples.photo)
        path = store.keep(drawn.sha256, drawn.pdf)
        said("a stored one", [seconds(path.read_bytes) for _ in range(TIMES)])
        print(f"{'its size':44} {len(drawn.pdf) / 1000:.0f} kB, {drawn.pages} pages")
        browser_print(drawn.html, Path(folder), examples.PHOTOS)
    return 0


if __name__ == "__main__":
    sys.exit(main())
