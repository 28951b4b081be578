"""The two commands: every decision on its own, then real starts in a small project without a network."""

import hashlib
import os
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

from workshop import bootstrap
from workshop import bootstrap_rules as rules

ROOT = Path(__file__).resolve().parent.parent
NAMES = {"DATA_DIR", "DATABASE_URL", "PUBLIC_URL", "SECRET_KEY", "ALLOWED_HOSTS", "DEBUG"}
REAL_SHOP = {
    "PATH": "/bin",
    "DATABASE_URL": "postgres://shop",
    "SECRET_KEY": "s",
    "DEBUG": "1",
    "PUBLIC_URL": "https://x",
}


# Which commands are ours


@pytest.mark.parametrize("command", ["demo", "test", "open-shop"])
def test_the_three_commands_come_through_the_bootstrap(command):
    assert bootstrap.wants(["manage.py", command, "--anything"])


@pytest.mark.parametrize("argv", [["manage.py"], ["manage.py", "migrate"], ["manage.py", "migrate", "demo"]])
def test_everything_else_is_plain_django(argv):
    assert not bootstrap.wants(argv)


def test_the_bootstrap_imports_the_standard_library_only():
    code = "import sys; import workshop.bootstrap; print(*{name.partition('.')[0] for name in sys.modules})"
    loaded = subprocess.run([sys.executable, "-S", "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)

    assert set(loaded.stdout.split()) - sys.stdlib_module_names == {"workshop", "__main__"} - sys.stdlib_module_names


# This Python, or .venv


def test_a_ready_environment_goes_on():
    assert rules.goes_on_here(active="/some/env", missing=[])


def test_a_bare_python_leads_to_venv():
    assert not rules.goes_on_here(active="", missing=["django"])


def test_a_strangers_environment_is_left_alone_and_told_what_it_lacks():
    with pytest.raises(rules.Stop, match=r"/some/env.* lacks: django, segno\."):
        rules.goes_on_here(active="/some/env", missing=["django", "segno"])


@pytest.mark.parametrize(
    ("found", "stamped", "way"),
    [
        ("none", [], rules.Way.MAKE),
        ("broken", ["new"], rules.Way.MAKE),
        ("ours", ["new"], rules.Way.USE),
        ("ours", ["other", "new"], rules.Way.USE),
        ("ours", ["old"], rules.Way.FILL),
        ("ours", ["filling"], rules.Way.FILL),
    ],
)
def test_what_venv_needs(found, stamped, way):
    assert rules.venv_way(found=found, stamped=stamped, wanted="new") is way


def test_a_venv_without_our_stamp_is_refused():
    with pytest.raises(rules.Stop, match="did not make"):
        rules.venv_way(found="not ours", stamped=[], wanted="new")


@pytest.mark.parametrize(
    ("version", "bounds", "kept"),
    [
        ("5.2.19", ">=5.2,<5.3", True),
        ("5.2", ">=5.2,<5.3", True),
        ("5.3", ">=5.2,<5.3", False),
        ("4.2.30", ">=5.2,<5.3", False),
        ("5.10", ">=5.2", True),
        ("1.0", "", True),
    ],
)
def test_versions_within_bounds(version, bounds, kept):
    assert rules.within(version, bounds) is kept


def test_every_requirement_of_the_project_is_understood():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    lines = [*project["dependencies"], *project["optional-dependencies"]["dev"]]

    understood = [rules.asked(line) for line in lines]

    assert [name for name, bounds in understood if not name.replace("-", "").isalnum() or ">=" not in bounds] == []
    assert rules.asked("psycopg[binary]>=3.3,<4") == ("psycopg", ">=3.3,<4")
    assert rules.asked("django") == ("django", "")


def test_this_environment_lacks_nothing():
    assert bootstrap.missing_packages(dev=True) == []


# What the child is given


def test_the_demo_never_sees_the_real_workshop():
    env = rules.environment_for("demo", REAL_SHOP, NAMES, data="/p/var/demo", port=8010)

    assert env == {
        "PATH": "/bin",
        "DJANGO_SETTINGS_MODULE": "workshop.settings",
        "DATA_DIR": "/p/var/demo",
        "PUBLIC_URL": "http://127.0.0.1:8010",
    }


def test_the_shop_is_called_by_its_address_on_the_network_so_that_a_tags_code_opens_on_a_phone():
    env = rules.environment_for("open-shop", {}, NAMES, data="/p", port=8001, hosts=["192.0.2.7", "bench.local"])
    alone = rules.environment_for("open-shop", {}, NAMES, data="/p", port=8001, hosts=["bench.local"])
    given = rules.environment_for("open-shop", {"PUBLIC_URL": "https://x"}, NAMES, data="/p", hosts=["192.0.2.7"])

    assert env["PUBLIC_URL"] == "http://192.0.2.7:8001"
    assert alone["PUBLIC_URL"] == "http://127.0.0.1:8001"
    assert given["PUBLIC_URL"] == "https://x"


def test_the_tests_keep_only_the_database_server():
    env = rules.environment_for("test", REAL_SHOP, NAMES, data="/p/var/test")

    assert env == {
        "PATH": "/bin",
        "DJANGO_SETTINGS_MODULE": "workshop.settings",
        "DATA_DIR": "/p/var/test",
        "DATABASE_URL": "postgres://shop",
    }


@pytest.mark.parametrize(("before", "after"), [("", "10.0.0.5,till"), ("shop.test", "shop.test,10.0.0.5,till")])
def test_open_shop_keeps_its_settings_and_adds_the_lan_addresses(before, after):
    given = {**REAL_SHOP, "ALLOWED_HOSTS": before}

    env = rules.environment_for("open-shop", given, NAMES, data="/shop", hosts=["10.0.0.5", "till"])

    assert env == {**given, "DJANGO_SETTINGS_MODULE": "workshop.settings", "DATA_DIR": "/shop", "ALLOWED_HOSTS": after}


def test_what_leads_astray_is_dropped_and_the_way_to_the_registry_is_kept():
    given = {"PYTHONPATH": "/x", "PIP_USER": "1", "PIP_TARGET": "/y", "PIP_CERT": "/c", "HOME": "/h"}

    assert rules.without_astray(given) == {"PIP_CERT": "/c", "HOME": "/h"}


@pytest.mark.parametrize(
    ("rest", "browser", "arguments"),
    [
        (["-q"], True, ["-q"]),
        (["-q"], False, ["-q", "-m", "not browser"]),
        (["-m", "browser"], False, ["-m", "browser"]),
        ([], True, []),
    ],
)
def test_without_chromium_the_browser_tests_are_deselected(rest, browser, arguments):
    assert rules.pytest_arguments(rest, browser=browser) == arguments


def test_the_settings_names_are_found_however_they_are_read():
    text = 'a = env.str("ONE", default="")\nb = env.bool(\n    "TWO")\nc = env("THREE")\nd = environ["FOUR"]\n'

    assert rules.names_read(text) == {"ONE", "TWO", "THREE"}


def test_the_apt_line_is_one_line_with_venv_and_pdf():
    line = rules.apt_line([bootstrap.VENV_PACKAGE, *bootstrap.PDF_PACKAGES])

    assert line == (
        "apt-get update && apt-get install -y --no-install-recommends "
        "python3-venv libpangoft2-1.0-0 libharfbuzz-subset0"
    )


# Chromium


@pytest.fixture
def no_chromium(monkeypatch):
    """A ready place without Chromium, where nothing is installed and pytest is only named."""
    ran = []
    monkeypatch.setattr(bootstrap.shutil, "which", lambda name: None)
    monkeypatch.setattr(bootstrap, "_check_pdf", lambda python, lock, may_install: None)
    monkeypatch.setattr(bootstrap, "_become", lambda command, env: ran.append(command) or 0)
    monkeypatch.delenv("CI", raising=False)
    return ran


def test_no_chromium_is_said_and_the_rest_runs(no_chromium, capsys):
    code = bootstrap.run(["manage.py", "test", "-q"])

    assert code == 0
    assert [command[1:] for command in no_chromium] == [["-m", "pytest", "-q", "-m", "not browser"]]
    assert "The browser tests are left out" in capsys.readouterr().out


def test_no_chromium_is_an_error_in_ci(no_chromium, monkeypatch, capsys):
    monkeypatch.setenv("CI", "true")

    assert bootstrap.run(["manage.py", "test"]) == 1
    assert no_chromium == []
    assert "Chromium is missing" in capsys.readouterr().out


# The lock files


@pytest.mark.parametrize("name", ["requirements.lock", "requirements-dev.lock"])
def test_a_lock_file_is_pins_and_hashes_and_names_no_place(name):
    lines = (ROOT / name).read_text().splitlines()

    pins = [line for line in lines if not line.startswith("    --hash=sha256:")]

    assert [line for line in pins if "==" not in line or not line.endswith("\\")] == []
    assert [line for line in lines if "/" in line] == []


def test_the_dev_lock_holds_all_of_the_run_lock():
    pins = {
        path: {line for line in path.read_text().splitlines() if "==" in line}
        for path in (bootstrap.RUN_LOCK, bootstrap.DEV_LOCK)
    }

    assert pins[bootstrap.RUN_LOCK] - pins[bootstrap.DEV_LOCK] == set()


@pytest.mark.parametrize(("lock", "dev"), [("requirements.lock", False), ("requirements-dev.lock", True)])
def test_the_lock_pins_what_the_project_asks_for(lock, dev):
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    asked = [*project["dependencies"], *(project["optional-dependencies"]["dev"] if dev else [])]
    pinned = [
        line.split(";")[0].strip(" \\").split("==") for line in (ROOT / lock).read_text().splitlines() if "==" in line
    ]

    out_of_bounds = [
        (name, bounds)
        for name, bounds in map(rules.asked, asked)
        if not [1 for pin, version in pinned if pin == name and rules.within(version, bounds)]
    ]

    assert out_of_bounds == []


# System packages


@pytest.fixture
def fake_apt(tmp_path, monkeypatch):
    """An apt-get that notes what it was asked, and root's number."""
    asked = tmp_path / "asked"
    (tmp_path / "bin").mkdir()
    script = tmp_path / "bin" / "apt-get"
    script.write_text(f'#!/bin/sh\necho "$DEBIAN_FRONTEND $@" >> {asked}\n')
    script.chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path / 'bin'}:/usr/bin:/bin")
    monkeypatch.setattr(bootstrap, "ROOT", tmp_path)  # its file lock, not the real one
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: 0)
    return asked


def test_root_installs_what_the_pdf_lacks_and_is_told(fake_apt, monkeypatch, capsys):
    monkeypatch.setattr(bootstrap, "PDF_WORKS", fake_apt)
    answers = iter([False, True])
    monkeypatch.setattr(bootstrap, "_quiet", lambda command: next(answers))

    with bootstrap._alone() as lock:
        bootstrap._check_pdf("python", lock, may_install=True)

    assert fake_apt.read_text().splitlines() == [
        "noninteractive update",
        "noninteractive install -y --no-install-recommends libpangoft2-1.0-0 libharfbuzz-subset0",
    ]
    assert capsys.readouterr().out == (
        "The PDF needs two system libraries. Installing: libpangoft2-1.0-0 libharfbuzz-subset0.\n"
    )


def test_a_good_try_is_remembered_for_our_own_venv_only(fake_apt, tmp_path, monkeypatch):
    tries = []
    monkeypatch.setattr(bootstrap, "PDF_WORKS", tmp_path / "works")
    monkeypatch.setattr(bootstrap, "_quiet", lambda command: tries.append(command) or True)

    with bootstrap._alone() as lock:
        for may_install in (False, False, True, True):
            bootstrap._check_pdf("python", lock, may_install=may_install)

    assert len(tries) == 3


def test_a_plain_user_is_given_the_line_and_goes_on(fake_apt, monkeypatch, capsys):
    monkeypatch.setattr(bootstrap, "PDF_WORKS", fake_apt)
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: 1000)
    monkeypatch.setattr(bootstrap, "_quiet", lambda command: False)

    with bootstrap._alone() as lock:
        bootstrap._check_pdf("python", lock, may_install=True)

    assert not fake_apt.exists()
    assert capsys.readouterr().out.startswith("No handover sheet can be issued yet: the PDF libraries are missing.")


def test_nothing_is_installed_for_an_environment_that_is_not_ours(fake_apt, monkeypatch):
    monkeypatch.setattr(bootstrap, "_quiet", lambda command: False)

    with bootstrap._alone() as lock:
        bootstrap._check_pdf("python", lock, may_install=False)

    assert not fake_apt.exists()


def test_without_ensurepip_a_plain_user_gets_one_line_with_venv_and_pdf_packages(fake_apt, monkeypatch):
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: 1000)
    monkeypatch.setattr(bootstrap, "_can_make_venvs", lambda: False)

    with bootstrap._alone() as lock, pytest.raises(rules.Stop) as stopped:
        bootstrap._make_venv(lock)

    assert str(stopped.value).endswith(
        "As root: apt-get update && apt-get install -y --no-install-recommends "
        "python3-venv libpangoft2-1.0-0 libharfbuzz-subset0"
    )


# Real starts, in a small project whose Django, venv and pip are small too and say what they were asked


NOTHING_ASKED = "[project]\ndependencies = []\n[project.optional-dependencies]\ndev = []\n"
SOMETHING_ASKED = NOTHING_ASKED.replace("[]", '["second-pull-nowhere>=1"]', 1)
QUICK_VENV = "import sys; del sys.path[0]; import venv; venv.create(sys.argv[1], symlinks=True)\n"  # without pip
QUICK_PIP = """
import os, sys
if __name__ == "__main__":
    print("pip", *sys.argv[-3:-1], os.path.basename(sys.argv[-1]), os.environ.get("PIP_USER"), flush=True)
    sys.exit(int(os.environ.get("PIP_ENDS", "0")))
"""
FAKE_DJANGO = """
import os
def setup(): print("data in", os.environ["DATA_DIR"])
"""
FAKE_SETTINGS = """
import os
class settings: DATA_DIR = os.environ["DATA_DIR"]; STATIC_ROOT = DATA_DIR + "/static"
"""
FAKE_FINDERS = """
class Here:
    def list(self, ignore): return [("page.css", self)]
    def path(self, name): return "static/" + name
def get_finders(): return [Here()]
"""
FAKE_CALL = """
import fcntl, os, time
def call_command(name, *args, **options):
    if name == "collectstatic": os.makedirs("var/demo/static", exist_ok=True)
    handle = os.open("var/bootstrap.lock", os.O_RDWR)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        print("NOT ALONE", flush=True)
    except BlockingIOError:
        print("did", name, *args, flush=True)
    time.sleep(float(os.environ.get("SLOW", "0")))
"""


@pytest.fixture
def project(tmp_path):
    """A project that looks like ours to the bootstrap: same door, no packages to install."""
    (tmp_path / "workshop").mkdir()
    for name in ("manage.py", "workshop/bootstrap.py", "workshop/bootstrap_rules.py", "workshop/prepare.py"):
        shutil.copy(ROOT / name, tmp_path / name)
    files = {
        "pyproject.toml": SOMETHING_ASKED,
        "requirements.lock": "",
        "requirements-dev.lock": "# dev\n",
        "workshop/__init__.py": "",
        "workshop/settings.py": 'SECRET = env.str("SECRET_KEY")\n',
        "django/__init__.py": FAKE_DJANGO,
        "django/core/__init__.py": "",
        "django/core/management/__init__.py": FAKE_CALL,
        "django/contrib/__init__.py": "",
        "django/conf.py": FAKE_SETTINGS,
        "django/contrib/staticfiles/__init__.py": "",
        "django/contrib/staticfiles/finders.py": FAKE_FINDERS,
        "static/page.css": "",
        "django/contrib/auth/__init__.py": "def get_user_model(): raise AssertionError\n",
        "weasyprint.py": "",
        "venv.py": QUICK_VENV,
        "pip.py": QUICK_PIP,
        "pytest.py": 'import sys; print("pytest", *sys.argv[1:])\n',
    }
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)
    return tmp_path


def base_python():
    """The Python outside any environment."""
    return str(getattr(sys, "_base_executable", sys.executable))


def start(project, *words, python=None, **env):
    given = {
        name: value for name, value in os.environ.items() if name not in ("CI", "VIRTUAL_ENV", "DJANGO_SETTINGS_MODULE")
    }
    command = [python or base_python(), str(project / "manage.py"), *words]
    done = subprocess.run(
        command, env={**given, **env}, cwd="/", capture_output=True, text=True, check=False, timeout=120
    )
    return done.returncode, done.stdout.splitlines(), done.stderr


def test_first_start_second_start_changed_lock_and_swept_python(project):
    first = start(project, "demo", "--no-serve", PYTHONPATH="/nowhere", PIP_USER="1")
    second = start(project, "demo", "--no-serve")
    inside = start(project, "demo", "--no-serve", python=str(project / ".venv/bin/python"))
    (project / "requirements.lock").write_text("# changed\n")
    (project / "static/page.css").write_text("p { color: inherit }")
    changed = start(project, "demo", "--no-serve")
    (project / ".venv/bin/python").unlink()
    swept = start(project, "demo", "--no-serve")

    migrated = ["Bringing the database up to date.", "did migrate"]
    collected = ["Collecting the static files.", "did collectstatic"]
    loaded = ["Loading the demo workshop, if it is not there yet.", "did load_demo --once"]
    made = "Making .venv in the project folder."
    filled = [
        "Installing what requirements.lock names into .venv (a minute or so, once).",
        "pip --require-hashes -r requirements.lock None",
    ]
    data = f"data in {project / 'var/demo'}"
    assert first == (0, [made, *filled, data, *migrated, *collected, *loaded], "")
    assert second == (0, [data, *migrated, *loaded], "")
    assert inside == second
    assert changed == (0, [*filled, data, *migrated, *collected, *loaded], "")
    assert swept == (0, [made, *filled, data, *migrated, *loaded], "")


def test_two_first_starts_take_turns_and_install_once(project):
    command = [base_python(), str(project / "manage.py"), "demo", "--no-serve"]
    env = {**os.environ, "SLOW": "0.2"}
    both = [
        subprocess.Popen(command, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) for _ in "ab"
    ]
    said = [one.communicate(timeout=120)[0] for one in both]

    assert [one.returncode for one in both] == [0, 0]
    assert sum(text.count("Installing what") for text in said) == 1
    assert sum(text.count("Waiting for it") for text in said) == 1
    assert [text.count("did load_demo --once") for text in said] == [1, 1]


def test_a_strangers_venv_is_refused_and_not_touched(project):
    (project / ".venv").mkdir()
    (project / ".venv/mine.txt").write_text("keep")

    code, said, _ = start(project, "demo", "--no-serve")

    assert code == 1
    assert said == [
        "There is a .venv in the project that this program did not make. It was left as it is: move it away."
    ]
    assert [path.name for path in (project / ".venv").iterdir()] == ["mine.txt"]


def test_an_active_strangers_environment_is_refused_before_anything_is_made(project):
    before = sorted(path.name for path in project.iterdir())
    subprocess.run([base_python(), "-m", "venv", "--without-pip", str(project / "other")], check=True)

    code, said, _ = start(
        project, "demo", "--no-serve", python=str(project / "other/bin/python"), PYTHONDONTWRITEBYTECODE="1"
    )

    assert code == 1
    assert said[0].startswith(
        f"Another Python environment is active ({project / 'other'}) and it lacks: second-pull-nowhere."
    )
    assert sorted(path.name for path in project.iterdir()) == sorted([*before, "other"])


def test_a_ready_environment_makes_nothing_and_goes_on(project):
    (project / "pyproject.toml").write_text(NOTHING_ASKED)

    code, said, _ = start(project, "demo", "--no-serve")

    assert (code, said[-1]) == (0, "did load_demo --once")
    assert not (project / ".venv").exists()


def test_test_becomes_pytest_with_the_words_given(project):
    (project / "pyproject.toml").write_text(NOTHING_ASKED)
    folder = project / "bin"
    folder.mkdir()
    (folder / "chromium").write_text("#!/bin/sh\n")
    (folder / "chromium").chmod(0o755)

    code, said, _ = start(project, "test", "-q", "tests/trade", PATH=f"{folder}:{os.environ['PATH']}")

    assert (code, said) == (0, ["pytest -q tests/trade"])


def test_a_failed_step_stops_the_start_and_the_next_one_fills_again(project):
    failed = start(project, "demo", "--no-serve", PIP_ENDS="1")
    stamp = (project / ".venv/second-pull.stamp").read_text()
    again = start(project, "demo", "--no-serve")

    assert failed[0] == 1
    assert failed[1][-1] == "That step failed; the lines above say why. Nothing after it was done."
    assert stamp == "filling\n"
    assert again[1][0] == "Installing what requirements.lock names into .venv (a minute or so, once)."
    assert again[0] == 0


def test_the_demo_goes_on_without_the_pdf_libraries(project):
    (project / "weasyprint.py").write_text('print("banner"); raise OSError("cannot load library")\n')

    code, said, _ = start(project, "demo", "--no-serve", PATH=str(project))  # no apt-get there, even for root

    assert code == 0
    assert [line for line in said if "sheet" in line] == [
        "No handover sheet can be issued yet: the PDF libraries are missing. As root: "
        + rules.apt_line(bootstrap.PDF_PACKAGES)
    ]
    assert (said.count("banner"), said[-1]) == (0, "did load_demo --once")


def test_real_venv_and_real_pip_take_only_the_hash_in_the_lock(project):
    (project / "venv.py").unlink()
    (project / "pip.py").unlink()
    wheel = project / "second_pull_nowhere-1-py3-none-any.whl"
    info = "second_pull_nowhere-1.dist-info"
    with zipfile.ZipFile(wheel, "w") as packed:
        packed.writestr("second_pull_nowhere.py", "")
        packed.writestr(f"{info}/METADATA", "Metadata-Version: 2.1\nName: second-pull-nowhere\nVersion: 1\n")
        packed.writestr(f"{info}/WHEEL", "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n")
        packed.writestr(f"{info}/RECORD", "")
    right = hashlib.sha256(wheel.read_bytes()).hexdigest()
    offline = {"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(project)}

    (project / "requirements.lock").write_text(f"second-pull-nowhere==1 --hash=sha256:{'0' * 64}\n")
    refused = start(project, "demo", "--no-serve", **offline)
    (project / "requirements.lock").write_text(f"second-pull-nowhere==1 --hash=sha256:{right}\n")
    taken = start(project, "demo", "--no-serve", **offline)

    assert (refused[0], "DO NOT MATCH THE HASHES" in refused[2]) == (1, True)
    assert (taken[0], taken[1][-1]) == (0, "did load_demo --once")
    assert len(list(project.glob(".venv/lib/*/site-packages/second_pull_nowhere.py"))) == 1


def test_a_taken_port_is_said_at_once(project):
    with bootstrap.socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        code, said, _ = start(project, "demo", "--port", str(port))

    assert (code, said) == (1, [f"Port {port} is in use. Try: python3 manage.py demo --port {port + 1}"])
    assert not (project / ".venv").exists()


def test_an_old_python_is_told_so_in_words_it_can_parse():
    """The version check must stand before anything an old Python cannot read."""
    lines = (ROOT / "manage.py").read_text().splitlines()
    check = next(number for number, line in enumerate(lines) if "version_info" in line)

    assert [line for line in lines[:check] if 'f"' in line or "match " in line or ":=" in line] == []
    assert [line for line in lines[: check + 2] if line.startswith(("import", "from"))] == ["import os", "import sys"]
