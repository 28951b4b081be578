"""One settings file, driven by the environment, safe by default."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from workshop import bootstrap_rules as rules
from workshop import settings as settings_file

ROOT = Path(__file__).resolve().parent.parent
TEXT = (ROOT / "workshop" / "settings.py").read_text(encoding="utf-8")
STRICT = {
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "font-src 'self'",
    "img-src 'self' data: blob:",
    "connect-src 'self'",
    "form-action 'self'",
    "base-uri 'none'",
    "frame-ancestors 'none'",
}


def read(tmp_path, *names, **env):
    """Return settings as a fresh process with these variables sees them."""
    code = (
        "import json, sys; from django.conf import settings;"
        "print(json.dumps({name: getattr(settings, name) for name in sys.argv[1:]}, default=str))"
    )
    clean = {name: value for name, value in os.environ.items() if name not in rules.names_read(TEXT)}
    given = {"DATA_DIR": str(tmp_path), "DJANGO_SETTINGS_MODULE": "workshop.settings", **env}
    command = [sys.executable, "-c", code, *names]
    done = subprocess.run(command, cwd=ROOT, env={**clean, **given}, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def table_names(text):
    """Return the first column of the table under the heading that speaks of settings."""
    section = re.search(
        r"^#+ [^\n]*\bsettings\b[^\n]*\n(.*?)(?=^#+ |\Z)", text, re.IGNORECASE | re.MULTILINE | re.DOTALL
    )
    return re.findall(r"^\| *`?([A-Z][A-Z0-9_]*)`? *\|", section.group(1), re.MULTILINE) if section else []


# The table


def test_the_table_for_developers_lists_every_variable_that_is_read_once():
    listed = table_names((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))

    assert sorted(listed) == sorted(rules.names_read(TEXT))


def test_the_table_is_read_from_its_own_section_only():
    table = "| name | what |\n|---|---|\n| `ONE` | x |\n| TWO | y |\n"
    text = f"# A\n| `NOT` | x |\n## Settings\n{table}# B\n| `NOR` | x |\n"

    assert table_names(text) == ["ONE", "TWO"]


def test_nothing_is_read_past_the_one_way():
    """Every variable goes through env, or the table could not be held against the file."""
    assert re.findall(r"os\.environ|getenv|environ\[", TEXT) == []


# Cookies, hosts, transport

HTTPS = (
    "SESSION_COOKIE_SECURE",
    "CSRF_COOKIE_SECURE",
    "SECURE_SSL_REDIRECT",
    "SECURE_HSTS_INCLUDE_SUBDOMAINS",
    "SECURE_HSTS_PRELOAD",
)


@pytest.mark.parametrize(("address", "secure"), [("http://10.0.0.5:8000", False), ("https://shop.example", True)])
def test_cookies_and_redirects_follow_the_scheme_of_the_public_address(tmp_path, address, secure):
    seen = read(tmp_path, *HTTPS, "SECURE_HSTS_SECONDS", "CSRF_TRUSTED_ORIGINS", PUBLIC_URL=address)

    assert {name: seen[name] for name in HTTPS} == dict.fromkeys(HTTPS, secure)
    assert seen["SECURE_HSTS_SECONDS"] == (31_536_000 if secure else 0)
    assert seen["CSRF_TRUSTED_ORIGINS"] == ([address] if secure else [])


def test_by_default_it_is_closed(tmp_path):
    seen = read(
        tmp_path, "DEBUG", "ALLOWED_HOSTS", "SECURE_PROXY_SSL_HEADER", "X_FRAME_OPTIONS", "SESSION_COOKIE_HTTPONLY"
    )

    assert seen == {
        "DEBUG": False,
        "ALLOWED_HOSTS": ["127.0.0.1", "127.0.0.1", "localhost"],
        "SECURE_PROXY_SSL_HEADER": None,
        "X_FRAME_OPTIONS": "DENY",
        "SESSION_COOKIE_HTTPONLY": True,
    }


def test_more_hosts_come_from_the_environment(tmp_path):
    seen = read(tmp_path, "ALLOWED_HOSTS", PUBLIC_URL="https://shop.example", ALLOWED_HOSTS="10.0.0.5,till.local")

    assert seen["ALLOWED_HOSTS"] == ["shop.example", "127.0.0.1", "localhost", "10.0.0.5", "till.local"]


def test_a_proxy_is_believed_only_when_said(tmp_path):
    seen = read(tmp_path, "SECURE_PROXY_SSL_HEADER", BEHIND_PROXY="1")

    assert seen["SECURE_PROXY_SSL_HEADER"] == ["HTTP_X_FORWARDED_PROTO", "https"]


def test_the_secret_is_made_once_for_this_machine_and_for_nobody_else_to_read(tmp_path):
    first = read(tmp_path, "SECRET_KEY")
    second = read(tmp_path, "SECRET_KEY")

    assert first == second
    assert len(first["SECRET_KEY"]) >= 64
    assert (tmp_path / "secret_key").stat().st_mode & 0o777 == 0o600
    assert read(tmp_path, "SECRET_KEY", SECRET_KEY="given")["SECRET_KEY"] == "given"


# The policy of the pages


def test_the_page_policy_is_strict(client, db):
    header = client.get("/health/").headers["Content-Security-Policy"]

    assert {part.strip() for part in header.split(";")} == STRICT


# The database


@pytest.mark.parametrize(
    ("version", "mode"),
    [
        ((3, 40, 1), "DELETE"),
        ((3, 44, 5), "DELETE"),
        ((3, 44, 6), "WAL"),
        ((3, 45, 0), "DELETE"),
        ((3, 50, 6), "DELETE"),
        ((3, 50, 7), "WAL"),
        ((3, 51, 2), "DELETE"),
        ((3, 51, 3), "WAL"),
        ((3, 53, 0), "WAL"),
    ],
)
def test_wal_only_where_sqlite_carries_the_fix(monkeypatch, version, mode):
    monkeypatch.setattr(settings_file.sqlite3, "sqlite_version_info", version)

    assert settings_file._journal_mode() == mode


def test_sqlite_takes_the_write_lock_at_once_and_never_for_a_whole_request(tmp_path):
    database = read(tmp_path, "DATABASES")["DATABASES"]["default"]

    assert database["NAME"] == str(tmp_path / "second-pull.sqlite3")
    assert database["OPTIONS"]["transaction_mode"] == "IMMEDIATE"
    assert "synchronous=FULL" in database["OPTIONS"]["init_command"]
    assert not database.get("ATOMIC_REQUESTS")


def test_postgresql_by_a_unix_socket(tmp_path):
    database = read(tmp_path, "DATABASES", DATABASE_URL="postgres://shop@//run/socket/bench")["DATABASES"]["default"]

    assert {name: database[name] for name in ("ENGINE", "HOST", "NAME", "USER")} == {
        "ENGINE": "django.db.backends.postgresql",
        "HOST": "/run/socket",
        "NAME": "bench",
        "USER": "shop",
    }
    assert not database.get("ATOMIC_REQUESTS")


# Static files


def test_static_files_get_hashed_names_once_collected(tmp_path):
    before = read(tmp_path, "STORAGES")["STORAGES"]["staticfiles"]["BACKEND"]
    (tmp_path / "static").mkdir()
    (tmp_path / "static" / "staticfiles.json").write_text("{}")
    after = read(tmp_path, "STORAGES")["STORAGES"]["staticfiles"]["BACKEND"]

    assert before == "django.contrib.staticfiles.storage.StaticFilesStorage"
    assert after == "whitenoise.storage.CompressedManifestStaticFilesStorage"
