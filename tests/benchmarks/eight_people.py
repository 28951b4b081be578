"""Eight people pressing at once on the production server: how long a press takes (SQLite, two workers, four threads).

Run from the project: `python -m tests.benchmarks.eight_people`. Never part of the suite. The budget: p95 under 50 ms.
Each person notes marks on a machine of their own, one after the other, as at a bench.
"""

# ruff: noqa: PLC0415, T201  (Django wants its folder first, and a benchmark prints what it measured)
import http.client
import os
import subprocess
import sys
import tempfile
import threading
import time
from urllib.parse import urlencode

PEOPLE, PRESSES, PORT, PAUSE_S = 8, 40, 8377, 0.15


def house():
    """Lay the demo, eight more machines, and a session; return (session key, addresses)."""
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.contrib.sessions.backends.db import SessionStore
    from django.core.management import call_command
    from django.utils import timezone

    from workshop.core.models import Job, Machine, ModelNotes, User

    call_command("migrate", verbosity=0)
    call_command("load_demo", verbosity=0)
    owner, notes = User.objects.get(username="ana"), ModelNotes.objects.first()
    session = SessionStore()
    session[SESSION_KEY], session[HASH_SESSION_KEY] = str(owner.pk), owner.get_session_auth_hash()
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session.create()
    slugs = [f"bench-{n}" for n in range(PEOPLE)]
    for n, slug in enumerate(slugs):
        machine = Machine.objects.create(name=f"Bench {n}", slug=slug, stock_number=9000 + n, notes=notes)
        Job.objects.create(machine=machine, opened_at=timezone.now())
    return session.session_key, [f"/machines/{slug}/walk/marks/add/" for slug in slugs]


def person(session, address, times, failed):
    """Press, wait a moment, press again."""
    token = "a" * 32
    body = urlencode({"face": "left", "kind": "scratch", "size_mm": "4", "shows": "arms_length"})
    headers = {
        "Cookie": f"sessionid={session}; csrftoken={token}",
        "X-CSRFToken": token,
        "Content-Type": "application/x-www-form-urlencoded",
    }
    line = http.client.HTTPConnection("127.0.0.1", PORT)
    for _ in range(PRESSES):
        began = time.perf_counter()
        line.request("POST", address, body, headers)
        answer = line.getresponse()
        answer.read()
        times.append((time.perf_counter() - began) * 1000)
        if answer.status != 302:
            failed.append(answer.status)
        time.sleep(PAUSE_S)


def main():
    """Serve, press, print."""
    os.environ.setdefault("DATA_DIR", tempfile.mkdtemp(prefix="second-pull-bench-"))
    os.environ["DJANGO_SETTINGS_MODULE"] = "workshop.settings"
    import django

    django.setup()
    session, addresses = house()
    served = [sys.executable, "-m", "gunicorn", "workshop.wsgi:application", "--workers", "2", "--threads", "4"]
    server = subprocess.Popen([*served, "--bind", f"127.0.0.1:{PORT}", "--log-level", "warning"])
    try:
        time.sleep(4)
        times, failed = [], []
        people = [threading.Thread(target=person, args=(session, one, times, failed)) for one in addresses]
        for one in people:
            one.start()
        for one in people:
            one.join()
    finally:
        server.terminate()
    times.sort()
    middle, late = times[len(times) // 2], times[int(len(times) * 0.95)]
    print(f"{PEOPLE} people, {len(times)} presses: median {middle:.0f} ms, p95 {late:.0f} ms, refused {len(failed)}")


if __name__ == "__main__":
    main()
