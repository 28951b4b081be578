"""Pages in a house of 1,000 machines and in one of 100,000: server time, queries, and their ratio.

Run from the project: `python -m tests.benchmarks.house_of_many [small] [large]`. Never part of the suite. The demo's
machines stay open in both houses; the many are closed jobs with a seller, a buyer, care dates, a walk and photos.
The budget (DEVELOPERS.md): at most 1.2 times the small house's time, the same queries, p95 under 150 ms.
"""

# ruff: noqa: PLC0415, T201  (Django wants its folder first, and a benchmark prints what it measured)
import gc
import os
import statistics
import sys
import tempfile
import time
from datetime import timedelta
from pathlib import Path

CARE = [(code, every * n) for code, every in (("BACKFLUSH", 30), ("DESCALE", 90)) for n in (1, 2, 3)]
PHOTOS_EACH, ROUNDS, AT_ONCE = 10, 15, 5_000
PAGES = (
    "/",
    "/bench/",
    "/for-sale/",
    "/owed/",
    "/record/",
    "/find/?q=heron",
    "/most-to-pay/",
    "/machines/log/",
    "/places/",
    "/people/",
    "/people/?q=anyone",
    "/care/",
    "/models/",
    "{machine}",
    "{machine}intake/",
    "{machine}walk/",
    "{machine}prove/",
    "{machine}price/",
    "{machine}decide/",
    "{machine}hand-over/",
)


def fill(count):
    """Lay `count` closed jobs into the house, a few thousand at a time."""
    from django.utils import timezone

    from workshop.core import models

    first, notes = models.Machine.objects.order_by("-stock_number").first().stock_number + 1, models.ModelNotes.objects
    known = {"notes": list(notes.order_by("pk")), "by": models.User.objects.first(), "now": timezone.now()}
    for start in range(first, first + count, AT_ONCE):
        lay(range(start, min(start + AT_ONCE, first + count)), known)


def lay(numbers, known):
    """Lay one batch: machines, closed jobs, purchases, sales, walks and photos."""
    from handover.models import CareDate
    from intake.models import Photo, Purchase, Walk
    from workshop.core import models
    from workshop.pricing.models import Payment, Sale

    now, by = known["now"], known["by"]
    people = models.Person.objects.bulk_create(
        models.Person(name=f"M. Any{n}one", phone=f"07700 {n:06d}", email=f"any{n}@example.org") for n in numbers
    )
    machines = models.Machine.objects.bulk_create(
        models.Machine(
            name=f"Word{n} Other",
            slug=f"word{n}-other",
            stock_number=n,
            serial=f"S-{n:07d}",
            notes=known["notes"][n % 3],
        )
        for n in numbers
    )
    jobs = models.Job.objects.bulk_create(
        models.Job(
            machine=m,
            opened_at=now - timedelta(days=400 + m.stock_number % 900),
            closed_at=now - timedelta(days=300 + m.stock_number % 300),
            closed_by=by,
            closed_as="SOLD_PROVED",
        )
        for m in machines
    )
    Purchase.objects.bulk_create(
        Purchase(job=j, seller=someone, price_minor=8000 + j.pk % 4000, acquired_on=j.opened_at.date())
        for j, someone in zip(jobs, people, strict=True)
    )
    sales = Sale.objects.bulk_create(
        Sale(job=j, buyer=someone, price_minor=28000 + j.pk % 9000, agreed_on=j.closed_at.date(), settled=True)
        for j, someone in zip(jobs, reversed(people), strict=True)
    )
    Payment.objects.bulk_create(
        Payment(sale=s, amount_minor=s.price_minor, method="card", by=by, at=s.job.closed_at) for s in sales
    )
    CareDate.objects.bulk_create(
        CareDate(job=j, code=code, due_on=j.closed_at.date() + timedelta(days=days))
        for j in jobs
        for code, days in CARE
    )
    Walk.objects.bulk_create(Walk(job=j, kind="ARRIVAL", by=by, at=j.opened_at, rule_version=1) for j in jobs)
    Photo.objects.bulk_create(
        Photo(
            machine=j.machine,
            job=j,
            face="",
            number=n,
            sha=f"{j.pk:063d}{n}",
            original_sha=f"{j.pk:063d}{n}",
            purpose="ARRIVAL",
            width_px=1600,
            height_px=1200,
            by=by,
            at=j.opened_at,
        )
        for j in jobs
        for n in range(PHOTOS_EACH)
    )


def settle():
    """As after a start of the server: SQLite knows its sizes, and what was laid is no burden to the collector."""
    from workshop.core import sizes

    sizes.learn()
    gc.collect()
    gc.freeze()


def measured(client, machine):
    """Return (median ms, p95 ms, queries) of each page."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    found = {}
    for page in PAGES:
        address = page.format(machine=machine)
        with CaptureQueriesContext(connection) as queries:
            status = client.get(address).status_code
        count = len(queries)
        if status != 200:
            found[page] = (0, 0, f"status {status}")
            continue
        times = []
        for _ in range(ROUNDS):
            began = time.perf_counter()
            client.get(address)
            times.append((time.perf_counter() - began) * 1000)
        times.sort()
        found[page] = (statistics.median(times), times[int(len(times) * 0.95)], count)
    return found


def main(small, large):
    """Measure a small house, grow it, measure again."""
    os.environ.setdefault("DATA_DIR", tempfile.mkdtemp(prefix="second-pull-bench-"))
    os.environ["DJANGO_SETTINGS_MODULE"] = "workshop.settings"
    os.environ["ALLOWED_HOSTS"] = "testserver"
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
    import django

    django.setup()
    from django.core.management import call_command
    from django.test import Client

    from workshop.core.models import Job, User

    call_command("migrate", verbosity=0)
    call_command("load_demo", verbosity=0)
    client = Client()
    client.force_login(User.objects.get(username="ana"))
    machine = Job.objects.filter(closed_at=None).order_by("pk").first().machine.get_absolute_url()
    fill(small)
    settle()
    before = measured(client, machine)
    fill(large - small)
    settle()
    after = measured(client, machine)
    print(f"{'page':28} {'ms':>8} {'p95':>8} {'queries':>8}   {'ms':>8} {'p95':>8} {'queries':>8}   ratio")
    for page in PAGES:
        (a, ap, aq), (b, bp, bq) = before[page], after[page]
        print(f"{page:28} {a:8.1f} {ap:8.1f} {aq!s:>8}   {b:8.1f} {bp:8.1f} {bq!s:>8}   {b / a if a else 0:.2f}")


if __name__ == "__main__":
    sizes = [int(word.replace(",", "")) for word in sys.argv[1:3]]
    main(*(sizes or [1_000, 100_000]))
