"""Imports and strings only go down. Each contract is broken on purpose and seen caught."""

import ast
import re
import shutil
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.apps import apps
from django.urls import URLPattern, URLResolver, get_resolver, resolve, reverse

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("workshop", "intake", "handover")
CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
# From the lowest floor to the highest: the folder of its code, and its name as a Django app and URL namespace.
FLOORS = {
    "workshop/trade": "trade",
    "workshop/core": "core",
    "intake": "intake",
    "workshop/parts": "parts",
    "workshop/bench": "bench",
    "workshop/pricing": "pricing",
    "handover": "handover",
    "workshop/desk": "desk",
}
HEIGHT = {name: height for height, name in enumerate(FLOORS.values())}
ROOF = len(FLOORS)
APPS = [folder.replace("/", ".") for folder in FLOORS if folder != "workshop/trade"]
# The only names without a namespace that lower floors may use: they belong to the roof and the desk.
ALLOWED = {
    *("home", "machine", "machine_edit", "undo", "bench", "for_sale", "owed", "find", "as_found", "limits"),
    *("places", "scanned", "place_scanned", "machine_tag_pdf", "do_not_use_pdf"),
    *("sign_in", "sign_out", "first_run"),
}
SAMPLES = {"name": "maple-harbour", "sha": "0" * 64}


# The contracts


@pytest.fixture
def copy(tmp_path):
    """The packages and their contracts, to be broken."""
    for package in PACKAGES:
        shutil.copytree(ROOT / package, tmp_path / package, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def lint(folder: Path) -> tuple[list[str], str]:
    """Return the names of the broken contracts and all that was printed."""
    command = [str(Path(sys.executable).with_name("lint-imports")), "--no-cache", "--no-logo"]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    said = done.stdout
    verdicts = dict(re.findall(r"^(.+) (KEPT|BROKEN)(?: \(.*\))?$", said, flags=re.MULTILINE))
    assert list(verdicts) == [contract["name"] for contract in CONTRACTS], said + done.stderr
    return [name for name, verdict in verdicts.items() if verdict == "BROKEN"], said


def add(file: Path, line: str) -> None:
    file.write_text((file.read_text() if file.exists() else "") + f"\n\n{line}\n")


def test_every_contract_is_kept():
    assert lint(ROOT)[0] == []


def test_each_contract_has_a_break_below():
    assert [contract["name"].split(":")[0] for contract in CONTRACTS] == [
        "The floors",
        "Inside an app",
        "The trade is pure",
        "One door to WeasyPrint",
        "One door to Pillow",
        "One door to openpyxl",
        "One door to icalendar",
    ]


def test_an_import_to_the_next_floor_up_is_caught_on_every_floor(copy):
    floors = [folder.replace("/", ".") for folder in FLOORS]
    steps = list(zip(floors, [*floors[1:], "workshop.settings"], strict=True))
    for lower, upper in steps:
        add(copy / lower.replace(".", "/") / "broken_on_purpose.py", f"import {upper}")

    broken, said = lint(copy)

    assert broken == ["The floors: imports only go down"]
    assert [step for step in steps if f"{step[0]} is not allowed to import {step[1]}:" not in said] == []


@pytest.mark.parametrize("app", APPS)
def test_inside_an_app_a_model_that_imports_a_view_is_caught(copy, app):
    folder = copy / app.replace(".", "/")
    for layer in ("models", "views"):
        if not (folder / layer).is_dir():
            add(folder / f"{layer}.py", "")
    model = folder / "models" / "broken_on_purpose.py" if (folder / "models").is_dir() else folder / "models.py"
    add(model, f"import {app}.views")

    broken, said = lint(copy)

    assert broken == ["Inside an app: urls over views over forms over services over models"]
    assert f"{app}.models is not allowed to import {app}.views:" in said


@pytest.mark.parametrize("heavy", ["django", "weasyprint", "PIL", "segno", "openpyxl", "icalendar"])
def test_the_trade_importing_a_heavy_library_is_caught(copy, heavy):
    add(copy / "workshop/trade/scales.py", f"def broken():\n    import {heavy}")

    broken, said = lint(copy)

    assert "The trade is pure: no Django, no PDF, no pictures" in broken
    assert f"workshop.trade is not allowed to import {heavy}:" in said


@pytest.mark.parametrize(
    ("file", "heavy", "contract"),
    [
        ("handover/broken_on_purpose.py", "weasyprint", "One door to WeasyPrint"),
        ("workshop/desk/broken_on_purpose.py", "weasyprint", "One door to WeasyPrint"),
        ("intake/broken_on_purpose.py", "PIL.Image", "One door to Pillow"),
        ("handover/broken_on_purpose.py", "PIL", "One door to Pillow"),
        ("workshop/desk/broken_on_purpose.py", "openpyxl", "One door to openpyxl"),
        ("handover/broken_on_purpose.py", "icalendar", "One door to icalendar"),
    ],
)
def test_a_second_door_to_a_heavy_library_is_caught(copy, file, heavy, contract):
    add(copy / file, f"def broken():\n    import {heavy}")

    assert lint(copy)[0] == [contract]


# Strings: import-linter sees none


def python_files() -> Iterator[tuple[int, Path]]:
    """Each file of the code with the height of its floor."""
    for package in PACKAGES:
        for path in sorted((ROOT / package).rglob("*.py")):
            place = path.relative_to(ROOT).as_posix()
            yield next((HEIGHT[name] for folder, name in FLOORS.items() if place.startswith(f"{folder}/")), ROOF), path


def code_references(text: str) -> Iterator[tuple[str, str]]:
    """Yield ("url", name) and ("model", app) for what a file names in strings."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            if re.fullmatch(rf"({'|'.join(HEIGHT)}):[a-z_]+", node.value):
                yield "url", node.value
        elif isinstance(node, ast.Call) and node.args and isinstance(node.args[0], ast.Constant):
            called = getattr(node.func, "attr", getattr(node.func, "id", ""))
            first = node.args[0].value
            if called in ("reverse", "reverse_lazy", "redirect") and re.fullmatch(r"[a-z_]+", str(first)):
                yield "url", first
            elif called == "get_model":
                yield "model", str(first).partition(".")[0]


def template_references(text: str) -> list[str]:
    return re.findall(r"{%-?\s*url\s+['\"]([^'\"]+)['\"]", text)


def goes_up(floor: int, kind: str, name: str) -> bool:
    """Say whether a reference from a floor leads up without leave."""
    if kind == "url" and ":" not in name:
        return floor < HEIGHT["desk"] and name not in ALLOWED
    return HEIGHT.get(name.partition(":")[0], -1) > floor


def test_no_string_in_the_code_leads_up():
    found = [
        (path.relative_to(ROOT).as_posix(), name)
        for floor, path in python_files()
        for kind, name in code_references(path.read_text(encoding="utf-8"))
        if goes_up(floor, kind, name)
    ]

    assert found == []


def test_no_link_in_a_template_leads_up():
    found = [
        (path.relative_to(ROOT).as_posix(), name)
        for path in sorted((ROOT / "templates").rglob("*.html"))
        for name in template_references(path.read_text(encoding="utf-8"))
        if goes_up(HEIGHT.get(path.relative_to(ROOT / "templates").parts[0], ROOF), "url", name)
    ]

    assert found == []


@pytest.mark.parametrize(
    ("floor", "text", "seen"),
    [
        ("intake", 'page = "bench:mend"', [("url", "bench:mend", True)]),
        ("bench", 'page = "intake:walk"', [("url", "intake:walk", False)]),
        ("bench", 'reverse("machine", args=[1])', [("url", "machine", False)]),
        ("bench", 'redirect("record")', [("url", "record", True)]),
        ("desk", 'redirect("record")', [("url", "record", False)]),
        ("core", 'apps.get_model("pricing", "Sale")', [("model", "pricing", True)]),
        ("core", 'apps.get_model("pricing.Sale")', [("model", "pricing", True)]),
        ("pricing", 'apps.get_model("core", "Job")', [("model", "core", False)]),
        ("core", 'words = "a reading: one value"', []),
    ],
)
def test_the_search_for_strings_sees_what_it_should(floor, text, seen):
    assert [(*found, goes_up(HEIGHT[floor], *found)) for found in code_references(text)] == seen


def test_the_search_in_templates_sees_both_kinds_of_quotes():
    assert template_references("""{% url 'home' %} {%- url "intake:walk" job.slug %} {% include 'x' %}""") == [
        "home",
        "intake:walk",
    ]


def test_no_foreign_key_leads_up():
    rows = [
        (model._meta.label, field.name, field.related_model._meta.app_label)
        for model in apps.get_models()
        if model._meta.app_label in HEIGHT
        for field in model._meta.get_fields()
        if field.is_relation and field.concrete and field.related_model is not None
    ]

    assert len(rows) > 0
    assert [row for row in rows if HEIGHT.get(row[2], -1) > HEIGHT[row[0].partition(".")[0]]] == []


# Addresses


def patterns(
    resolver: URLResolver | None = None, before: str = "", space: str = ""
) -> Iterator[tuple[str, str, URLPattern]]:
    """Yield route, full name and pattern of every address."""
    for entry in (resolver or get_resolver()).url_patterns:
        route = before + str(entry.pattern)
        if isinstance(entry, URLResolver):
            yield from patterns(entry, route, f"{entry.namespace}:" if entry.namespace else space)
        else:
            yield route, f"{space}{entry.name}", entry


def test_every_address_has_a_name_of_its_own_equal_to_its_view():
    wrong = [(route, name) for route, name, entry in patterns() if entry.callback.__name__ != entry.name]
    twice = [name for name, times in Counter(name for _, name, _ in patterns()).items() if times > 1]

    assert (wrong, twice) == ([], [])


def test_no_two_addresses_have_the_same_shape():
    shapes = Counter(re.sub(r"<(?:\w+:)?\w+>", "<>", route) for route, _, _ in patterns())

    assert [shape for shape, times in shapes.items() if times > 1] == []


def test_every_address_leads_back_to_its_own_view():
    """An address that an earlier one swallows would answer with the wrong page."""
    astray = []
    for _, name, entry in patterns():
        given = {
            word: 7 if type(kind).__name__ == "IntConverter" else SAMPLES.get(word, "some-word")
            for word, kind in entry.pattern.converters.items()
        }
        if resolve(reverse(name, kwargs=given)).view_name != name:
            astray.append(name)

    assert astray == []


def test_the_names_that_lower_floors_may_use_are_there_without_a_namespace():
    assert ALLOWED - {name for _, name, _ in patterns()} == set()
