"""What a screen reader is told, read from the browser's own accessibility tree.

Every control has a name that begins with what is seen of it; every row says item, limit and state; no two controls of
one name do different things; what is busy and what was saved is said in a live region.
"""

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from demo_fixtures import house, scenario
from workshop.core.models import Job

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

CONTROLS = {"link", "button", "textbox", "searchbox", "checkbox", "radio", "combobox", "DisclosureTriangle"}
PAGES = ("cards/water/", "prove/", "shots/", "intake/")
STATES = ("To do:", "To do again:", "Done:", "Stop:", "Out of its limit:", "Not possible:")
# What is seen of a control: its own words or its label's, without what is only heard.
SEEN = """function () {
  const label = this.labels && this.labels.length ? this.labels[0] : this;
  const plain = (one) => {
    if (one.nodeType === Node.TEXT_NODE) return one.textContent;
    if (one.nodeType !== Node.ELEMENT_NODE || one.matches(".hidden, svg, select, textarea")) return "";
    if (getComputedStyle(one).display === "none" || getComputedStyle(one).visibility === "hidden") return "";
    return [...one.childNodes].map(plain).join("");
  };
  const leads = this.href || (this.form && this.form.action) || "";
  return [plain(label).replace(/\\s+/g, " ").trim(), leads];
}"""


@dataclass(frozen=True)
class Control:
    role: str
    name: str
    seen: str
    leads: str


class Reader:
    """The accessibility tree of a page."""

    def __init__(self, page: Any) -> None:
        self.session = page.context.new_cdp_session(page)
        nodes = self.session.send("Accessibility.getFullAXTree")["nodes"]
        self.nodes = {node["nodeId"]: node for node in nodes}

    def role(self, node: dict[str, Any]) -> str:
        return "" if node.get("ignored") else str(node.get("role", {}).get("value", ""))

    def name(self, node: dict[str, Any]) -> str:
        return " ".join(str(node.get("name", {}).get("value", "")).split())

    def of_role(self, *roles: str) -> list[dict[str, Any]]:
        return [node for node in self.nodes.values() if self.role(node) in roles]

    def below(self, node: dict[str, Any]) -> list[dict[str, Any]]:
        """Return a node's descendants, in the order they are read."""
        found = []
        for child in (self.nodes[pk] for pk in node.get("childIds", []) if pk in self.nodes):
            found += [child, *self.below(child)]
        return found

    def said(self, node: dict[str, Any]) -> str:
        """Return what is read of a node and all below it."""
        texts = (self.name(each) for each in self.below(node) if self.role(each) == "StaticText")
        return " ".join(text for text in texts if text)

    def controls(self) -> list[Control]:
        found = []
        for node in self.of_role(*CONTROLS):
            thing = self.session.send("DOM.resolveNode", {"backendNodeId": node["backendDOMNodeId"]})["object"]
            call = {"functionDeclaration": SEEN, "objectId": thing["objectId"], "returnByValue": True}
            seen, leads = self.session.send("Runtime.callFunctionOn", call)["result"]["value"]
            found.append(Control(self.role(node), self.name(node), seen, leads))
        return found


@pytest.fixture
def ana(walk):
    """An owner in a workshop with a machine at Prove."""
    scenario.at_prove(scenario.open_house(timezone.now()))
    walk.open("/sign-in/")
    walk.type("Name", house.OWNER["username"])
    walk.type("Password", house.OWNER["password"])
    walk.press("Sign in")
    return walk


def words(text: str) -> str:
    """Return letters and figures alone: gaps and marks are not spoken."""
    return "".join(letter for letter in text.casefold() if letter.isalnum())


def nameless(controls: list[Control]) -> list[str]:
    return [f"{one.role} that leads to {one.leads}" for one in controls if not one.name]


def named_otherwise(controls: list[Control]) -> list[str]:
    return [f"{one.name} is seen as {one.seen}" for one in controls if not words(one.name).startswith(words(one.seen))]


def told_apart_by_place_only(controls: list[Control]) -> dict[str, set[str]]:
    leads = defaultdict(set)
    for one in controls:
        if one.role in ("link", "button") and one.leads:
            leads[one.role, words(one.name)].add(one.leads.split("?")[0])
    return {f"{role} “{name}”": where for (role, name), where in leads.items() if len(where) > 1}


def every_control_is_named_as_it_is_seen(ana):
    home, faults = Job.objects.get().machine.get_absolute_url(), []
    for path in PAGES:
        ana.open(home + path)
        ana.page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        reader = Reader(ana.page)
        controls = reader.controls()
        assert len(controls) > 8, path
        faults += [(path, each) for each in nameless(controls) + named_otherwise(controls)]
        faults += [(path, each) for each in told_apart_by_place_only(controls).items()]
        assert Job.objects.get().machine.name in [reader.name(node) for node in reader.of_role("heading")]
    assert faults == []


def rows_of(reader: Reader, table: str) -> list[list[str]]:
    (found,) = (node for node in reader.of_role("table") if reader.name(node).startswith(table))
    rows = (node for node in reader.below(found) if reader.role(node) == "row")
    return [[reader.said(cell) for cell in reader.below(row) if reader.role(cell) == "cell"] for row in rows][1:]


def each_row_says_item_limit_and_state(ana):
    home = Job.objects.get().machine.get_absolute_url()
    ana.open(f"{home}prove/")
    rows = rows_of(Reader(ana.page), "What was asked")
    assert len(rows) > 10
    for what, limit, found, by in rows:
        assert what.startswith(STATES), what
        assert "" not in (limit, found, by), what

    ana.open(f"{home}shots/")
    lines = rows_of(Reader(ana.page), "Shots")
    shots = [row for row in lines if len(row) > 1]  # what was seen and tasted stands in one cell under its shot
    assert [row[0].split(".")[0] for row in shots] == ["5", "4", "3", "2", "1"]
    assert all(row[4] and row[7] for row in shots), shots  # seconds, and the verdict in words

    ana.open(f"{home}cards/water/")
    ana.press("Yes, still so")  # a place was kept on this card
    reader = Reader(ana.page)
    lists = [[reader.said(item) for item in reader.below(one) if reader.role(item) == "listitem"]
             for one in reader.of_role("list")]  # fmt: skip
    rings = [each for each in lists if each and all(item.startswith(STATES) for item in each)]
    assert len(rings) == 2, lists  # the rings in the head, and the card's list

    ana.open(f"{home}intake/")
    lines = rows_of(Reader(ana.page), "Intake is finished when")
    assert len(lines) > 8
    for what, found, *_ in lines:
        assert what.startswith(("done ", "to do ", "there ")), what
        assert found, what


def what_is_busy_and_what_was_saved_is_said(ana):
    page = ana.page
    ana.open(f"{Job.objects.get().machine.get_absolute_url()}cards/water/")
    assert Reader(page).of_role("status")  # there before anything is said, or it would not be heard

    page.route("**/read/", lambda route: (page.wait_for_timeout(300), route.continue_()))
    page.locator(".seen button").first.click(no_wait_after=True)
    expect(page.locator("#busy")).to_have_text("Recording")
    expect(page.locator("#busy")).to_have_text("Recorded Leak after 30 minutes hot: none seen.")
    assert page.locator("#busy").get_attribute("role") == "status"


def test_what_a_screen_reader_is_told(ana):
    every_control_is_named_as_it_is_seen(ana)
    each_row_says_item_limit_and_state(ana)
    what_is_busy_and_what_was_saved_is_said(ana)
