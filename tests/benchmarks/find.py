"""Find at 100,000 machines: lay them into a database of its own, ask, print milliseconds. Never part of the suite.

    DATA_DIR=/tmp/find-bench .venv/bin/python tests/benchmarks/find.py [machines]

The budget is absolute (design, section 8): 100 ms at 100,000 machines. 60 jobs are open at every size.
"""

import os
import statistics
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import django

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
django.setup()

from django.core.management import call_command  # noqa: E402
from django.test import Client  # noqa: E402

from intake.models import Finding, Purchase  # noqa: E402
from workshop.core import names  # noqa: E402
from workshop.core.models import Job, Machine, ModelNotes, Person, Place, SearchEntry, Shop, User  # noqa: E402
from workshop.desk import find  # noqa: E402

OPEN, ASKED = 60, 15
NOW = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)
QUESTIONS = {
    "a name": lambda: names.name_for(4321),
    "a seller's name": lambda: "Søren Qvist 777",
    "the end of a serial": lambda: "4-00777",
    "a word in half the findings": lambda: "drips",
    "two common words": lambda: "heron drips",
    "a word and a model, rare together": lambda: "heron steam",
    "nothing": lambda: "zzzz qqqq",
    "a name with a slip": lambda: names.name_for(4321)[1:],
    "one letter": lambda: "e",
    "hostile": lambda: "%_%_ \\ ' \" %",
}


def lay(machines: int) -> None:
    """Lay machines, jobs, sellers and findings, then index them."""
    owner = User.objects.create_user("ana", first_name="Ana", role="OWNER", password="a long bench word")
    Shop.objects.create(pk=1, name="The Tram Shed", country="GB", profile="uk_iet_5")
    notes = [ModelNotes.objects.create(maker="Fennick", model=f"Heron {n}", kind="LEVER") for n in range(50)]
    notes += [ModelNotes.objects.create(maker="Marrowby", model=f"Plover {n}", kind="LEVER") for n in range(150)]
    places = [Place.objects.create(name=f"Shelf {n}") for n in range(40)]
    numbers = range(1, machines + 1)
    spoken = {n: names.name_for(n) for n in numbers}
    units = [
        Machine(name=spoken[n], slug=names.slug_for(spoken[n]), stock_number=n, notes=notes[n % 200],
                serial=f"{n % 10}-{n:05}", place=places[n % 40])
        for n in numbers
    ]  # fmt: skip
    Machine.objects.bulk_create(units, batch_size=900)
    jobs = [
        Job(machine=unit, opened_at=NOW, closed_at=None if n >= machines - OPEN else NOW,
            closed_by=None if n >= machines - OPEN else owner, closed_as="" if n >= machines - OPEN else "SOLD_PROVED")
        for n, unit in enumerate(units)
    ]  # fmt: skip
    Job.objects.bulk_create(jobs, batch_size=900)
    people = [Person(name=f"Søren Qvist {n}") for n in numbers]
    Person.objects.bulk_create(people, batch_size=900)
    Purchase.objects.bulk_create(
        [Purchase(job=j, seller=p, price_minor=1, acquired_on=NOW.date(), said="It steamed well for years, she said.")
         for j, p in zip(jobs, people, strict=True)], batch_size=900,
    )  # fmt: skip
    words = ("drips from the group when hot", "gauge stuck at nought", "no steam after ten minutes")
    Finding.objects.bulk_create(
        [Finding(job=j, words=words[n % 2 if n % 5000 else 2], by=owner, at=NOW) for n, j in enumerate(jobs)],
        batch_size=900,
    )
    find.rebuild()


def milliseconds(question: str, client: Client) -> tuple[float, float]:
    """Return the median and the worst of one question's page."""
    took = []
    for _ in range(ASKED):
        begun = time.perf_counter()
        assert client.get("/find/", {"q": question}).status_code == 200
        took.append((time.perf_counter() - begun) * 1000)
    return statistics.median(took), max(took)


def main() -> None:
    """Lay once, ask each question, print."""
    call_command("migrate", verbosity=0)
    if not Machine.objects.exists():
        lay(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
    client = Client(headers={"host": "127.0.0.1"})
    client.force_login(User.objects.get())
    print(f"{Machine.objects.count()} machines, {SearchEntry.objects.count()} entries")  # noqa: T201
    for what, question in QUESTIONS.items():
        middle, worst = milliseconds(question(), client)
        print(f"{what:36} {middle:7.1f} ms, worst {worst:7.1f}")  # noqa: T201


if __name__ == "__main__":
    main()
