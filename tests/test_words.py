"""One word per thing, and nothing in a page that the strict policy would stop."""

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
ITSELF = "tests/test_words.py"
TEXT = {".html", ".py", ".css", ".js", ".svg", ".txt", ".md", ".toml", ".json", ".csv", ".lock", ".xml", ""}
OWN = ("workshop/", "intake/", "handover/", "templates/", "static/", "demo_fixtures/", "manage.py")

NOT_OURS = {
    "ticket": r"\btickets?\b",
    # A machine has a control board; the workshop has none.
    "board": r"(?<!control )(?<!circuit )(?<!power )\bboards?\b(?! of)",
    "lane": r"\blanes?\b|\bswim-?lanes?\b",
    "kanban": r"\bkanban\b",
    "letter grade": r"\bgrade [A-D]\b|\b[A-D][- ]grade[ds]?\b",
    "traffic light": r"\btraffic[- ]?lights?\b",
    "marketplace condition": r"\blike new\b|\bvery good condition\b|\bfor parts or not working\b"
    r"|\bspares (or|and) repairs?\b",
    "numbered like a parcel": r"\b[A-Z]{1,3}-1\d{3}\b",
}
AS_NEW = r"(?<!not )(?<!count )\bas new\b"  # never said of a machine; "what is not as new" is what the buyer is told
PAGE = {
    "inline style": r"\sstyle\s*=|<style\b",
    "inline script": r"<script\b(?![^>]*\bsrc=)",
    "event attribute": r"<[^>]*\son[a-z]+\s*=",
    "hx-on": r"\bhx-on\b|\bdata-hx-on\b",
    "script in a value": r"javascript:|=\s*[\"']js:",
    "trigger filter": r"hx-trigger=\"[^\"]*\[|hx-trigger='[^']*\[",
    "address elsewhere": r"\b(?:src|href)=[\"'](?:https?:)?//",
}
PLACES = {
    "registry": r"\bpypi\.org|\bpythonhosted\.org|\bnpmjs\.(?:org|com)|\bdeb(?:ian)?\.(?:debian\.)?org\b|crates\.io",
    "absolute path": r"(?<![\w.)}/$-])/(?:work|opt|root|home|Users)/",
    "notes that are not here": r"\b(?:design|engineering|libraries|code-style|espresso|money|safety|look|ux)\.md\b"
    r"|\bwater-and-seals\.md\b",
}


def files() -> list[str]:
    """Every text file of the project, as git lists them (new ones too)."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout.splitlines()
    return [name for name in listed if Path(name).suffix in TEXT and name != ITSELF and (ROOT / name).is_file()]


def hits(pattern: str, names: list[str], flags: re.RegexFlag = re.NOFLAG) -> Iterator[str]:
    """Yield "file:line: text" for each line where the pattern is found."""
    for name in names:
        for number, line in enumerate((ROOT / name).read_text(encoding="utf-8").splitlines(), 1):
            if re.search(pattern, line, flags):
                yield f"{name}:{number}: {line.strip()[:90]}"


def flags_for(word: str) -> re.RegexFlag:
    """A street may be called Weir Lane, and a letter grade is a capital."""
    return re.NOFLAG if word in ("lane", "letter grade", "numbered like a parcel") else re.IGNORECASE


def test_the_search_reads_all_rooms_of_the_house():
    rooms = {name.partition("/")[0] for name in files()}

    assert {"workshop", "intake", "handover", "templates", "static", "tests", ".ci"} - rooms == set()


@pytest.mark.parametrize("word", NOT_OURS)
def test_no_word_that_is_not_ours(word):
    own = [name for name in files() if name.startswith(OWN)]

    assert list(hits(NOT_OURS[word], own, flags_for(word))) == []


def test_nothing_that_reaches_a_buyer_says_as_new():
    buyers = [
        name for name in files() if name.startswith(("handover/", "templates/", "demo_fixtures/", "workshop/pricing/"))
    ]

    assert list(hits(AS_NEW, buyers, re.IGNORECASE)) == []


@pytest.mark.parametrize("rule", PAGE)
def test_no_page_has_what_the_policy_would_stop(rule):
    pages = [name for name in files() if name.startswith("templates/")]

    assert list(hits(PAGE[rule], pages)) == []


def test_no_code_writes_a_style_or_an_event_into_a_page():
    code = [name for name in files() if name.startswith(OWN) and name.endswith((".py", ".js"))]

    assert (
        list(hits(r"<[a-z][^>]*\s(?:style|on[a-z]+)=[\"'{]|setAttribute\(.style|\beval\(|new Function\(", code)) == []
    )


@pytest.mark.parametrize("place", PLACES)
def test_no_file_names_a_place_that_is_not_the_projects(place):
    assert list(hits(PLACES[place], files())) == []


@pytest.mark.parametrize(
    ("patterns", "rule", "text"),
    [
        (NOT_OURS, "ticket", "Open a ticket"),
        (NOT_OURS, "board", "the job board"),
        (NOT_OURS, "lane", "move it to another lane"),
        (NOT_OURS, "kanban", "kanban"),
        (NOT_OURS, "letter grade", "a Grade B machine".replace("G", "g")),
        (NOT_OURS, "letter grade", "B-grade"),
        (NOT_OURS, "traffic light", "a traffic light"),
        (NOT_OURS, "marketplace condition", "spares or repair"),
        ({"as new": AS_NEW}, "as new", "It looks As New."),
        (NOT_OURS, "numbered like a parcel", "SP-1001"),
        (PAGE, "inline style", '<p style="x">'),
        (PAGE, "inline style", "<style>"),
        (PAGE, "inline script", "<script>go()</script>"),
        (PAGE, "event attribute", '<a onclick="go()">'),
        (PAGE, "hx-on", '<a hx-on:click="go()">'),
        (PAGE, "script in a value", "<a hx-vals='js:{a: 1}'>"),
        (PAGE, "trigger filter", '<a hx-trigger="click[ctrlKey]">'),
        (PAGE, "address elsewhere", '<img src="https://elsewhere.example/x.png">'),
        (PLACES, "registry", "from files.python" + "hosted.org"),
        (PLACES, "absolute path", "see /ro" + "ot/x"),
        (PLACES, "notes that are not here", "see desi" + "gn.md 4"),
    ],
)
def test_the_search_finds_what_it_should(patterns, rule, text):
    assert re.search(patterns[rule], text, flags_for(rule))


@pytest.mark.parametrize(
    ("patterns", "rule", "text"),
    [
        (NOT_OURS, "board", "the control board hums; a cupboard, a keyboard"),
        (NOT_OURS, "letter grade", "food-grade grease; a degraded ring"),
        (NOT_OURS, "numbered like a parcel", "W-01, ISO 3601-1, AS568-214"),
        (PAGE, "inline script", '<script src="{% static "js/bench.js" %}" defer></script>'),
        (PAGE, "inline style", '<link rel="stylesheet" href="x">'),
        (PAGE, "event attribute", '<input name="on" value="=">'),
        (PLACES, "absolute path", "templates/home/x.html and https://x.example/home/"),
    ],
)
def test_the_search_leaves_alone_what_is_ours(patterns, rule, text):
    assert not re.search(patterns[rule], text, flags_for(rule))
