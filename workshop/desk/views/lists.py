"""Pages over many machines: This morning, Bench, For sale, Owed, Find, Record."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from workshop.core import http
from workshop.core.models import JournalEntry
from workshop.core.words import Area
from workshop.desk import find as finding
from workshop.desk import journal, lists, morning
from workshop.desk.undo import undoable
from workshop.pricing import owed as owed_lines

LONGEST = 80  # letters of a question; a longer one is cut. House policy.
RECORD_SHOWN = 200  # a page of the journal; older entries are on each machine's own record. House policy.


def home(request: HttpRequest) -> HttpResponse:
    """This morning."""
    today = timezone.localdate()
    page = morning.morning(today, shows_money=http.person(request).is_owner)
    return render(request, "desk/home.html", {"page": page, "today": today, "nav": "home"})


def bench(request: HttpRequest) -> HttpResponse:
    """Every open machine with its next step, by station."""
    return render(request, "desk/bench.html", {"groups": lists.by_station(timezone.localdate()), "nav": "bench"})


def for_sale(request: HttpRequest) -> HttpResponse:
    """Machines proved and priced that nobody has reserved, longest waiting first."""
    rows = lists.for_sale(timezone.localdate())
    return render(request, "desk/for_sale.html", {"rows": rows, "nav": "for_sale"})


def owed(request: HttpRequest) -> HttpResponse:
    """Who owes whom, oldest first."""
    http.owner_only(request)
    return render(
        request, "desk/owed.html", {"lines": owed_lines.lines(), "today": timezone.localdate(), "nav": "owed"}
    )


def find(request: HttpRequest) -> HttpResponse:
    """Find machines by any word of theirs: name, serial, place, people, what was said, found and done."""
    words = request.GET.get("q", "").replace("\x00", "").strip()[:LONGEST]
    found = finding.find(words, knows_people=http.person(request).is_owner)
    context = {"words": words, "found": found, "shown": finding.SHOWN, "nav": "find"}
    return render(request, "desk/find.html", context)


def record(request: HttpRequest) -> HttpResponse:
    """Who did what, newest first. Money and people are for the owner's eyes."""
    entries = JournalEntry.objects.select_related("by", "machine").order_by("-at", "-pk")
    if not http.person(request).is_owner:
        entries = entries.filter(area=Area.BENCH)
    shown = list(entries[:RECORD_SHOWN])
    return render(
        request,
        "desk/record.html",
        {
            "entries": journal.with_messages(shown, newest=RECORD_SHOWN),
            "undoable": undoable(shown, http.person(request)),
            "nav": "record",
        },
    )
