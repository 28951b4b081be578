"""The door before Django: `demo`, `test` and `open-shop` set everything up, then start the real thing.

Standard library only, for it runs on a bare Python. What it may touch: `.venv` and `var` in the project and,
as root on Debian, a few system packages. bootstrap_rules.py decides; this carries it out, one line a step.
"""

import argparse
import contextlib
import hashlib
import importlib.metadata
import importlib.util
import os
import re
import shutil
import socket
import subprocess
import sys
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from workshop import bootstrap_rules as rules
from workshop.bootstrap_rules import Stop, Way

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
VENV_PYTHON = VENV / "bin" / "python"
STAMP = VENV / "second-pull.stamp"  # the hashes of the locks that this .venv holds; tells ours from a stranger's
PDF_WORKS = VENV / "second-pull.pdf-works"  # the try costs a second, so a good end is remembered
RUN_LOCK, DEV_LOCK = ROOT / "requirements.lock", ROOT / "requirements-dev.lock"
COMMANDS = ("demo", "test", "open-shop")
DATA = {"demo": ROOT / "var" / "demo", "test": ROOT / "var" / "test"}
VENV_PACKAGE = "python3-venv"
PDF_PACKAGES = ("libpangoft2-1.0-0", "libharfbuzz-subset0")
STEPS = {"demo": ("migrate", "collectstatic", "load_demo"), "open-shop": ("migrate", "collectstatic", "greet")}


def wants(argv: Sequence[str]) -> bool:
    """Say whether this command is one of the three that set everything up first."""
    return len(argv) > 1 and argv[1] in COMMANDS


def run(argv: Sequence[str]) -> int:
    """Set up, then become the server or the test run; return an exit code where neither was begun."""
    try:
        return _test(argv[2:]) if argv[1] == "test" else _open(argv[1], argv[2:])
    except Stop as reason:
        say(str(reason))
        return 1
    except KeyboardInterrupt:
        return 130


def say(line: str) -> None:
    """Print one plain line at once, so that it stands before whatever a child prints."""
    print(line, flush=True)


# The two kinds of command


def _open(command: str, rest: Sequence[str]) -> int:
    options = _options(command, rest)
    host = "127.0.0.1" if command == "demo" else "0.0.0.0"  # noqa: S104 (a workshop's tablets are on its network)
    if not options.no_serve and _taken(host, options.port):
        raise Stop(f"Port {options.port} is in use. Try: python3 manage.py {command} --port {options.port + 1}")
    lan = lan_addresses() if command == "open-shop" else []
    with ready(command, RUN_LOCK) as (python, lock):
        env = _environment(command, python, port=options.port, hosts=[*lan, *_own_names()])
        _step([python, "-m", "workshop.prepare", *STEPS[command]], lock, env)
    if options.no_serve:
        return 0
    for address in ["127.0.0.1", *lan]:
        say(f"Open http://{address}:{options.port}/")
    say("Stop with Ctrl+C.")
    workers = "1" if command == "demo" else "2"
    server = ["--workers", workers, "--threads", "4", "--bind", f"{host}:{options.port}", "--no-control-socket"]
    return _become([python, "-m", "gunicorn", "workshop.wsgi:application", "--log-level", "warning", *server], env)


def _test(rest: Sequence[str]) -> int:
    with ready("test", DEV_LOCK) as (python, lock):
        browser = _browser(lock)
    if not browser and os.environ.get("CI") == "true":
        raise Stop("Chromium is missing, and with CI=true that is an error: the browser tests must run.")
    if not browser:
        say("The browser tests are left out: there is no Chromium here. As root: " + rules.apt_line(["chromium"]))
    arguments = rules.pytest_arguments(rest, browser=browser)
    return _become([python, "-m", "pytest", *arguments], _environment("test", python))


def _environment(command: str, python: str, *, port: int = 8000, hosts: Sequence[str] = ()) -> dict[str, str]:
    names = rules.names_read((ROOT / "workshop" / "settings.py").read_text(encoding="utf-8"))
    data = str(DATA.get(command) or Path(os.environ.get("DATA_DIR", ROOT / "var" / "shop")).absolute())
    return rules.environment_for(command, _variables(python), names, data=data, port=port, hosts=hosts)


def _variables(python: str) -> dict[str, str]:
    """Our own .venv is shielded from what would lead it astray; another environment may rest on just that."""
    return rules.without_astray(os.environ) if python == str(VENV_PYTHON) else dict(os.environ)


def _options(command: str, rest: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog=f"manage.py {command}")
    parser.add_argument("--port", type=int, default=8000, choices=range(1, 65536), metavar="PORT")
    parser.add_argument("--no-serve", action="store_true", help="set everything up, but start no server")
    return parser.parse_args(rest)


# The environment


@contextlib.contextmanager
def ready(command: str, lock_file: Path) -> Iterator[tuple[str, int]]:
    """Give a Python that has everything in the lock file, and the held file lock to hand to children."""
    if os.name != "posix":
        raise Stop("demo, test and open-shop need Linux or macOS: the server does not run on Windows.")
    ours = Path(sys.prefix).resolve() == VENV and STAMP.is_file()  # then its stamp decides
    here = not ours and rules.goes_on_here(active=_active(), missing=missing_packages(dev=command == "test"))
    _refuse_unwritable(DATA.get(command, Path(os.environ.get("DATA_DIR", ROOT / "var" / "shop"))))
    with _alone() as lock:
        if not here:
            _bring_venv(lock_file, lock)
        python = sys.executable if here else str(VENV_PYTHON)
        _check_pdf(python, lock, may_install=not here)
        yield python, lock


def missing_packages(*, dev: bool) -> list[str]:
    """Return what pyproject.toml asks for and this Python lacks, or has in a version out of bounds."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lacking = []
    for line in [*project["dependencies"], *(project["optional-dependencies"]["dev"] if dev else [])]:
        name, bounds = rules.asked(line)
        try:
            version = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            lacking.append(name)
        else:
            lacking += [] if rules.within(version, bounds) else [f"{name} {bounds} (it has {version})"]
    return lacking


def _active() -> str:
    in_venv = sys.prefix != sys.base_prefix
    in_conda = os.environ.get("CONDA_PREFIX") == sys.prefix and os.environ.get("CONDA_DEFAULT_ENV") != "base"
    return sys.prefix if in_venv or in_conda else ""


def _look_at_venv() -> str:
    if not os.path.lexists(VENV) or (VENV.is_dir() and not any(VENV.iterdir())):
        return "none"
    if not STAMP.is_file():
        return "not ours"
    return "ours" if os.access(VENV_PYTHON, os.X_OK) and _quiet([str(VENV_PYTHON), "-c", "import pip"]) else "broken"


def _bring_venv(lock_file: Path, lock: int) -> None:
    stamped = STAMP.read_text(encoding="ascii").split() if STAMP.is_file() else []
    way = rules.venv_way(found=_look_at_venv(), stamped=stamped, wanted=_hash(lock_file))
    if way is Way.USE:
        return
    if VENV.exists() and not os.access(VENV, os.W_OK):
        raise Stop(_not_yours(VENV))
    if way is Way.MAKE:
        _make_venv(lock)
    say(f"Installing what {lock_file.name} names into .venv (a minute or so, once).")
    STAMP.write_text("filling\n", encoding="ascii")
    pip = [str(VENV_PYTHON), "-m", "pip", "install", "-qq", "--no-input", "--disable-pip-version-check", "--no-user"]
    _step([*pip, "--require-hashes", "-r", str(lock_file)], lock, rules.without_astray(os.environ))
    held = [RUN_LOCK] if lock_file == RUN_LOCK else [RUN_LOCK, DEV_LOCK]  # the dev lock holds all of the other
    STAMP.write_text("\n".join(map(_hash, held)) + "\n", encoding="ascii")


def _make_venv(lock: int) -> None:
    if not _can_make_venvs():
        _apt("This Python cannot make environments (no ensurepip).", [VENV_PACKAGE, *PDF_PACKAGES], lock)
        importlib.invalidate_caches()
    if not _can_make_venvs():
        line = rules.apt_line([VENV_PACKAGE, *PDF_PACKAGES])
        raise Stop(f"This Python cannot make environments, and the PDF needs two libraries. As root: {line}")
    say("Making .venv in the project folder.")
    VENV.mkdir(exist_ok=True)
    for entry in VENV.iterdir():
        shutil.rmtree(entry) if entry.is_dir() and not entry.is_symlink() else entry.unlink()
    STAMP.write_text("making\n", encoding="ascii")  # before anything else: killed halfway, it is still known as ours
    base = getattr(sys, "_base_executable", sys.executable)  # this Python may be the very one just swept away
    _step([base, "-m", "venv", str(VENV)], lock, rules.without_astray(os.environ))


def _can_make_venvs() -> bool:
    return all(importlib.util.find_spec(name) is not None for name in ("venv", "ensurepip"))


def _hash(lock_file: Path) -> str:
    return hashlib.sha256(lock_file.read_bytes()).hexdigest()


# System packages


def _check_pdf(python: str, lock: int, *, may_install: bool) -> None:
    """Try the PDF library; as root fetch what it lacks; otherwise go on and say so."""
    if may_install and PDF_WORKS.exists():
        return
    # HarfBuzz's subset library is asked for by a warning only, and our tests make warnings errors.
    whole = [python, "-W", "error:HarfBuzz-Subset", "-c", "import weasyprint"]
    if _quiet(whole):
        if may_install:
            with contextlib.suppress(PermissionError):
                PDF_WORKS.touch()
        return
    if may_install:
        _apt("The PDF needs two system libraries.", PDF_PACKAGES, lock)
    if not _quiet([python, "-c", "import weasyprint"]):
        line = rules.apt_line(PDF_PACKAGES)
        say(f"No handover sheet can be issued yet: the PDF libraries are missing. As root: {line}")


def _browser(lock: int) -> bool:
    if shutil.which("chromium") is None:
        _apt("The browser tests need Chromium.", ["chromium"], lock)
    return shutil.which("chromium") is not None


def _apt(why: str, packages: Sequence[str], lock: int) -> None:
    """As root on Debian install packages and say so; else do nothing (the caller looks again)."""
    if os.geteuid() != 0 or shutil.which("apt-get") is None:
        return
    say(f"{why} Installing: {' '.join(packages)}.")
    env = {**rules.without_astray(os.environ), "DEBIAN_FRONTEND": "noninteractive"}
    done = subprocess.run(
        ["sh", "-c", rules.apt_line(packages)],
        env=env,
        pass_fds=(lock,),
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )
    if done.returncode:
        say(f"apt-get could not: {(done.stderr.strip().splitlines() or ['it gave no reason'])[-1]}")


# Hands


@contextlib.contextmanager
def _alone() -> Iterator[int]:
    """Hold the file lock; a child that gets its number keeps it held even when this process is killed."""
    import fcntl

    path = ROOT / "var" / "bootstrap.lock"
    try:
        path.parent.mkdir(exist_ok=True)
        lock = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
    except PermissionError as error:
        raise Stop(_not_yours(Path(error.filename))) from None
    try:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            say("Another start is still setting up. Waiting for it.")
            fcntl.flock(lock, fcntl.LOCK_EX)
        yield lock
    finally:
        os.close(lock)


def _refuse_unwritable(data: Path) -> None:
    for path in (ROOT / "var", data, *(data.iterdir() if data.is_dir() and os.access(data, os.R_OK) else ())):
        if path.exists() and not os.access(path, os.W_OK):
            raise Stop(_not_yours(path))


def _not_yours(path: Path) -> str:
    there = path if os.path.lexists(path) else path.parent
    return f"{there} is not yours to write: another user made it. As root: chown -R {os.getuid()} {there}"


def _quiet(command: Sequence[str]) -> bool:
    # The PDF library prints a banner on missing libraries.
    done = subprocess.run(command, cwd=ROOT, env=_variables(command[0]), capture_output=True, check=False)
    return done.returncode == 0


def _step(command: Sequence[str], lock: int, env: Mapping[str, str]) -> None:
    done = subprocess.run(command, cwd=ROOT, env=env, pass_fds=(lock,), stdin=subprocess.DEVNULL, check=False)
    if done.returncode:
        raise Stop("That step failed; the lines above say why. Nothing after it was done.")


def _become(command: list[str], env: Mapping[str, str]) -> int:
    os.chdir(ROOT)
    sys.stdout.flush()
    sys.stderr.flush()
    os.execve(command[0], command, env)  # noqa: S606 (no shell is wanted)


def _taken(host: str, port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError:
            return True
    return False


def lan_addresses() -> list[str]:
    """Return this machine's IPv4 addresses on its networks."""
    listed: list[str] = []
    if shutil.which("hostname"):
        asked = subprocess.run(["hostname", "-I"], capture_output=True, text=True, check=False)  # not on macOS
        listed = asked.stdout.split() if asked.returncode == 0 else []
    with contextlib.suppress(OSError):
        listed += socket.gethostbyname_ex(socket.gethostname())[2]
    return [word for word in dict.fromkeys(listed) if re.fullmatch(r"[\d.]+", word) and not word.startswith("127.")]


def _own_names() -> list[str]:
    name = socket.gethostname().lower()
    return [name] if "." in name else [name, f"{name}.local"]
