"""The demo's house as a test bed: every page a signed-in person can reach, and every form on those pages."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urldefrag, urljoin, urlsplit

from django.test import Client

A_KIND = 3  # pages of one kind that are visited: more tell nothing new
NOW = datetime(2026, 5, 14, 12, 0, tzinfo=UTC)


@dataclass
class SeenForm:
    """A form as a browser sees it: where it goes, how, and its fields with their first values."""

    page: str
    action: str
    method: str
    fields: dict[str, str] = field(default_factory=dict)

    @property
    def kind(self) -> tuple[str, tuple[str, ...]]:
        """Forms that differ only in the machine or the row are one kind."""
        return kind(self.action), tuple(sorted(self.fields))


def kind(address: str) -> str:
    """Return an address without what tells one machine, row or item from another."""
    path = urlsplit(address).path
    return "/".join("*" if part[:1].isdigit() or "-" in part else part for part in path.split("/"))


class _Reader(HTMLParser):
    def __init__(self, page: str) -> None:
        super().__init__()
        self.page, self.links, self.forms = page, [], []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        if tag == "a" and values.get("href"):
            self.links.append(urldefrag(urljoin(self.page, values["href"]))[0])
        elif tag == "form":
            action = urljoin(self.page, values.get("action", "") or self.page)
            self.forms.append(SeenForm(self.page, action, values.get("method", "get").lower()))
        elif tag in ("input", "select", "textarea", "button") and self.forms and values.get("name"):
            self.forms[-1].fields.setdefault(values["name"], values.get("value", ""))


def read(client: Client, path: str) -> tuple[Any, list[str], list[SeenForm]]:
    """Return the answer of a page, its links and its forms."""
    response = client.get(path)
    if "text/html" not in response.get("Content-Type", "") or response.status_code != 200:
        for _ in response.streaming_content if response.streaming else ():
            pass  # a paper is a file: read to its end, the test's client closes it
        return response, [], []
    reader = _Reader(path)
    reader.feed(response.content.decode())
    return response, reader.links, reader.forms


def walk(client: Client, start: str = "/") -> Iterator[tuple[str, Any, list[SeenForm]]]:
    """Visit every page reachable by links, each once; pages of many rows count once a kind of query."""
    waiting, seen, kinds = [start], {start}, Counter()
    while waiting:
        path = waiting.pop(0)
        response, links, forms = read(client, path)
        yield path, response, forms
        for link in links:
            parts = urlsplit(link)
            known = parts.netloc or parts.scheme not in ("", "http") or link in seen
            if known or kinds[kind(link)] >= A_KIND:
                continue
            seen.add(link)
            kinds[kind(link)] += 1
            waiting.append(link)
