"""The bootstrap's child, inside the environment: database, static files and demo data, in one process.

One process, for Django takes half a second to load. Run as `python -m workshop.prepare STEP ...`.
"""

import hashlib
import sys
from collections.abc import Sequence
from pathlib import Path

import django
from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command

from workshop.bootstrap import say


def prepare(steps: Sequence[str]) -> None:
    """Take the named steps in order, each with a line that says what it does."""
    django.setup()
    for step in steps:
        STEPS[step]()


def _migrate() -> None:
    say("Bringing the database up to date.")
    call_command("migrate", interactive=False, verbosity=0)


def _collect_static() -> None:
    """Collect when a file changed since the last time: compressing takes seconds, looking does not."""
    note = Path(settings.DATA_DIR) / "static-collected"
    now = _static_fingerprint()
    if note.exists() and note.read_text(encoding="ascii") == now and Path(settings.STATIC_ROOT).is_dir():
        return
    say("Collecting the static files.")
    call_command("collectstatic", interactive=False, verbosity=0)
    note.write_text(now, encoding="ascii")


def _static_fingerprint() -> str:
    seen = hashlib.sha256()
    for finder in get_finders():
        for name, storage in sorted(finder.list([]), key=lambda found: found[0]):
            file = Path(storage.path(name)).stat()
            seen.update(f"{name} {file.st_size} {file.st_mtime_ns}\n".encode())
    return seen.hexdigest()


def _load_demo() -> None:
    say("Loading the demo workshop, if it is not there yet.")
    call_command("load_demo", "--once")


def _greet() -> None:
    if not get_user_model().objects.exists():
        say("Nobody can sign in yet: open /first-run/ at once and name the first person and the workshop.")


STEPS = {"migrate": _migrate, "collectstatic": _collect_static, "load_demo": _load_demo, "greet": _greet}

if __name__ == "__main__":
    prepare(sys.argv[1:])
