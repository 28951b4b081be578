"""What the bootstrap decides, as pure functions: which Python, which variables, which arguments."""

import re
from collections.abc import Collection, Mapping, Sequence
from enum import Enum

# Set by a person for other work, these would lead our Python or pip astray.
ASTRAY = ["PYTHONHOME", "PYTHONPATH", "PYTHONSAFEPATH", "VIRTUAL_ENV"]
ASTRAY += [f"PIP_{name}" for name in ("USER", "TARGET", "PREFIX", "ROOT", "CONSTRAINT", "REQUIREMENT", "EDITABLE")]
ASTRAY += [f"PIP_{name}" for name in ("DRY_RUN", "NO_DEPS", "PYTHON", "REQUIRE_VIRTUALENV")]


class Stop(Exception):
    """Set-up cannot go on; the text says why and what to do."""


class Way(Enum):
    """What the project's `.venv` needs."""

    USE = "it is ready"
    FILL = "ours, but the lock file changed"
    MAKE = "not there, or ours and broken"


def goes_on_here(*, active: str, missing: Sequence[str]) -> bool:
    """
    Say whether this very Python can be used as it is.

    :param active: the folder of an environment that is switched on and is not ours, or nothing
    :raises Stop: when it is, but lacks packages: it is not ours to change
    """
    if active and missing:
        raise Stop(
            f"Another Python environment is active ({active}) and it lacks: {', '.join(missing)}. It was left as "
            "it is. Leave it (deactivate) and start again, or install the lock file into it yourself."
        )
    return not missing


def venv_way(*, found: str, stamped: Collection[str], wanted: str) -> Way:
    """
    Choose what to do about `.venv`.

    :param found: "none", "ours", "broken" (ours, but its Python or pip does not start) or "not ours"
    :raises Stop: when it is not ours
    """
    if found == "not ours":
        raise Stop(
            "There is a .venv in the project that this program did not make. It was left as it is: move it away."
        )
    if found in ("none", "broken"):
        return Way.MAKE
    return Way.USE if wanted in stamped else Way.FILL


def environment_for(
    command: str,
    given: Mapping[str, str],
    names: Collection[str],
    *,
    data: str = "",
    port: int = 8000,
    hosts: Sequence[str] = (),
) -> dict[str, str]:
    """
    Return the variables for the child. Demo and tests never see the real workshop's settings or data.

    :param names: the variables that the settings file reads
    :param data: the data folder; the demo and the tests have one for themselves
    """
    env = {**given, "DJANGO_SETTINGS_MODULE": "workshop.settings"}
    if command == "open-shop":
        env["DATA_DIR"] = data
        env["ALLOWED_HOSTS"] = ",".join(filter(None, [env.get("ALLOWED_HOSTS", ""), *hosts]))
        on_network = next((host for host in hosts if host[:1].isdigit()), "127.0.0.1")
        env.setdefault("PUBLIC_URL", f"http://{on_network}:{port}")  # what a tag's code opens on a phone
        return env
    kept = {"DATABASE_URL"} if command == "test" else set()  # Django makes a test database of its own there
    env = {name: value for name, value in env.items() if name not in set(names) - kept}
    env["DATA_DIR"] = data
    if command == "demo":
        env["PUBLIC_URL"] = f"http://127.0.0.1:{port}"
    return env


def pytest_arguments(rest: Sequence[str], *, browser: bool) -> list[str]:
    """Return pytest's arguments: without a browser its tests are deselected, unless `-m` chooses for itself."""
    chosen = any(word == "-m" or word.startswith("-m=") for word in rest)
    return [*rest] if browser or chosen else [*rest, "-m", "not browser"]


def names_read(settings: str) -> set[str]:
    """Return the names of the variables that the text of a settings file reads, as in env.bool("DEBUG")."""
    return set(re.findall(r"""\benv(?:\.\w+)?\(\s*["']([A-Z][A-Z0-9_]*)["']""", settings))


def without_astray(given: Mapping[str, str]) -> dict[str, str]:
    """Return the variables without those that would lead our own `.venv` or its pip astray."""
    return {name: value for name, value in given.items() if name not in ASTRAY}


def asked(requirement: str) -> tuple[str, str]:
    """Return the name and the bounds of a line like "psycopg[binary]>=3.3,<4"; an extra is left out."""
    name, bounds = re.split(r"(?:\[.*?\])?(?=[<>=]|$)", requirement.replace(" ", ""), maxsplit=1)
    return name, bounds


def within(version: str, bounds: str) -> bool:
    """Say whether a version keeps bounds like ">=5.2,<5.3" (those two signs are all we use)."""
    here = _figures(version)
    signs = re.findall(r"(>=|<)\s*([\d.]+)", bounds)
    return all(here >= _figures(edge) if sign == ">=" else here < _figures(edge) for sign, edge in signs)


def _figures(version: str) -> tuple[int, ...]:
    return tuple(int(figure) for figure in re.findall(r"\d+", version))


def apt_line(packages: Sequence[str]) -> str:
    """Return the one command that installs Debian packages."""
    return "apt-get update && apt-get install -y --no-install-recommends " + " ".join(packages)
