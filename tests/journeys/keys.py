"""A person with a keyboard and no pointer: every stop of the tab key is looked at."""

import re
from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import expect

MOST_TABS = 150  # further than any page asks for: beyond it the stop is not there, or the keys are trapped

# What stands under the keys: its words, whether its edge is drawn, how much of it is seen, and which bar covers it.
STOP = """() => {
  const here = document.activeElement;
  if (!here || here === document.body) return null;
  const plain = (words) => (words || "").replace(/\\s+/g, " ").trim();
  const label = here.labels && here.labels.length ? here.labels[0].textContent : "";
  const own = here.tagName === "SELECT" ? "" : here.innerText || here.textContent;
  const box = here.getBoundingClientRect();
  const drawn = (one) => one && parseFloat(getComputedStyle(one).outlineWidth) >= 2
    && getComputedStyle(one).outlineStyle !== "none";
  const thick = (zone) => zone && parseFloat(getComputedStyle(zone).strokeWidth) >= 3;
  const line = here.tagName === "TEXTAREA" ? box.top + 32 : box.bottom; // of a long text the line that is typed in
  const seen = { top: Math.max(box.top, 0), bottom: Math.min(line, innerHeight),
    left: Math.max(box.left, 0), right: Math.min(box.right, innerWidth) };
  const over = [...document.querySelectorAll("body *")].filter((bar) => {
    if (!["fixed", "sticky"].includes(getComputedStyle(bar).position)) return false;
    if (bar.contains(here) || here.contains(bar) || getComputedStyle(bar).visibility === "hidden") return false;
    const edge = bar.getBoundingClientRect();
    const left = Math.max(edge.left, seen.left), right = Math.min(edge.right, seen.right);
    const top = Math.max(edge.top, seen.top), bottom = Math.min(edge.bottom, seen.bottom);
    if (right - left < 1 || bottom - top < 1) return false;
    const met = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
    return met !== null && bar.contains(met);
  });
  return {
    tag: here.tagName, type: here.type || "", href: here.getAttribute("href") || "",
    words: plain(here.getAttribute("aria-label") || label || own || here.value),
    ring: drawn(here) || drawn(here.closest(".ledger-row")) || thick(here.querySelector(".face-zone"))
      || here.matches("main, .error-summary, [data-next]"),
    share: box.width && box.height
      ? (seen.bottom - seen.top) * (seen.right - seen.left) / (box.width * Math.min(line - box.top, innerHeight)) : 0,
    covered: over.map((bar) => bar.className || bar.tagName),
  };
}"""


@dataclass
class Keys:
    """Tab, Shift+Tab, Enter, Space, arrows and typing. `presses` counts them; `faults` are stops one cannot see."""

    page: Any
    presses: int = 0
    faults: list[str] = field(default_factory=list)

    def press(self, key: str) -> None:
        """Press one key."""
        self.page.keyboard.press(key)
        self.presses += 1

    def here(self) -> dict[str, Any]:
        """Return what stands under the keys, once it was looked at."""
        stop = self.page.evaluate(STOP)
        if stop is None:
            return {"words": "", "tag": "BODY", "type": "", "href": ""}
        where = f"{self.page.url.split('/', 3)[3]}: {stop['tag'].lower()} “{stop['words'][:40]}”"
        if not stop["ring"]:
            self.faults.append(f"{where} has no ring")
        if stop["share"] < 0.99:
            self.faults.append(f"{where} is seen by {stop['share']:.0%}")
        if stop["covered"]:
            self.faults.append(f"{where} is under {stop['covered']}")
        return stop

    def to(self, words: str, tag: str = "", *, key: str = "Tab") -> dict[str, Any]:
        """Tab to the stop whose words begin so; the tag tells a box from a link of the same words."""
        passed = []
        for _ in range(MOST_TABS):
            self.press(key)
            stop = self.here()
            if re.match(rf"\s*{re.escape(words)}", stop["words"]) and stop["tag"].lower().startswith(tag):
                return stop
            passed.append(stop["words"][:30])
        raise AssertionError(f"{self.page.url}: the keys never came to “{words}”. They passed {passed}")

    def type(self, words: str, value: str) -> None:
        """Tab to a box and type into it."""
        self.to(words)
        self.page.keyboard.type(value)
        self.presses += len(value)

    def choose(self, words: str, value: str) -> None:
        """Tab to a list and type the choice's first letters."""
        self.to(words, "select")
        self.page.keyboard.type(value)
        self.presses += len(value)
        chosen = self.page.evaluate("document.activeElement.selectedOptions[0].label")
        assert chosen.startswith(value), f"{words}: {value} chose {chosen}"

    def enter(self, words: str, tag: str = "", *, key: str = "Tab") -> None:
        """Tab to a link or a button and press Enter."""
        self.to(words, tag, key=key)
        self.press("Enter")
        self.settle()

    def settle(self) -> None:
        """Wait until the page is the answer."""
        self.page.wait_for_timeout(120)
        expect(self.page.locator(".htmx-request")).to_have_count(0)
        self.page.wait_for_load_state("networkidle")
        self.page.wait_for_timeout(120)  # the keys move on once a swap has settled

    def skip(self) -> None:
        """Leave out the header by the first stop of every page."""
        self.enter("Skip to the content")
