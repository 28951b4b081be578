"""A real browser on a real server: Chromium, strict about the console, counted presses and typed values."""

import os
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")  # playwright's loop runs in the test's thread

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    return {**browser_type_launch_args, "executable_path": CHROMIUM, "args": QUIET}


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args: dict[str, Any]) -> dict[str, Any]:
    return {**browser_context_args, "locale": "en-GB", "timezone_id": "UTC", "reduced_motion": "reduce"}


def _starts(words: str) -> re.Pattern[str]:
    """A label or a button is known by how it begins: units and hidden words may follow."""
    return re.compile(rf"^\s*{re.escape(words)}")


@dataclass
class Walk:
    """A person at a browser: what they press and type is counted, what they see is checked."""

    page: Any
    base: str
    shots: Path | None = None
    typed: int = 0
    presses: int = 0
    console: list[str] = field(default_factory=list)
    seen: list[str] = field(default_factory=list)
    counting: bool = False

    def open(self, path: str) -> None:
        """Go to an address (not counted: links are pressed)."""
        self.page.goto(self.base + path)

    def type(self, label: str, value: str, within: Any = None) -> None:
        """Type one value into the field of that label."""
        (within or self.page).get_by_label(_starts(label)).first.fill(value)
        self.typed += self.counting

    def choose(self, label: str, value: str, within: Any = None) -> None:
        """Choose from a list: a press."""
        (within or self.page).get_by_label(_starts(label)).first.select_option(label=value)
        self.presses += self.counting

    def tick(self, label: str, within: Any = None) -> None:
        """Tick a box or a radio button: a press."""
        (within or self.page).get_by_label(_starts(label)).first.check()
        self.presses += self.counting

    def press(self, words: str, within: Any = None) -> None:
        """Press a button or a link of those words."""
        scope = within or self.page
        name = _starts(words)
        scope.get_by_role("button", name=name).or_(scope.get_by_role("link", name=name)).first.click()
        self.settle()
        self.presses += self.counting

    def settle(self) -> None:
        """Wait until the page is the answer to the press: swapped or loaded anew."""
        self.page.wait_for_timeout(120)
        expect(self.page.locator(".htmx-request")).to_have_count(0)
        self.page.wait_for_load_state("networkidle")
        refused = self.page.locator("[data-error-summary]")
        assert refused.count() == 0, f"{self.page.url} refused: {refused.first.inner_text()}"

    def hear(self, message: str) -> None:
        """Keep a console message. Taking pictures leaves empty style attributes behind, which the policy reports."""
        if not (self.shots and "inline style" in message):
            self.console.append(message)

    def look(self, name: str) -> None:
        """Look at the screen: no accessibility fault, no console message; keep a picture where asked."""
        found = Axe().run(self.page).response["violations"]
        faults = [f"{v['id']}: {n['html'][:160]}" for v in found for n in v["nodes"]]
        assert faults == [], f"{name}: {faults}"
        assert self.console == [], f"{name}: {self.console}"
        self.seen.append(name)
        if self.shots:
            width = self.page.viewport_size["width"]
            self.page.screenshot(path=str(self.shots / f"{name}-{width}.png"), full_page=True)


@pytest.fixture
def walk(page: Any, live_server: Any) -> Iterator[Walk]:
    """Return a person at the browser, at an empty workshop."""
    shots = os.environ.get("SCREENSHOTS")
    folder = Path(shots) if shots else None
    if folder:
        folder.mkdir(parents=True, exist_ok=True)
    expect.set_options(timeout=40_000)
    page.set_default_timeout(40_000)  # a first PDF on a busy machine takes its time
    one = Walk(page, live_server.url, folder)
    page.on("console", lambda message: one.hear(f"{message.type}: {message.text}"))
    page.on("pageerror", lambda error: one.console.append(f"error: {error}"))
    yield one
    assert one.console == []
