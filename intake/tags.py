"""What stands on a tag, on screen and on paper: name, place, the end of the serial, and a code that opens the page."""

from dataclasses import dataclass
from urllib.parse import urljoin, urlsplit

import segno
from django.conf import settings
from django.urls import reverse
from django.utils.safestring import SafeString

from workshop.core.models import Machine

SERIAL_END = 5  # letters: enough to tell two alike machines apart on a shelf. House policy.


@dataclass(frozen=True, slots=True)
class Tag:
    """The words of one machine's tag, and the address its code opens. No price and no person.

    `serial_end` is empty where no serial is known.
    """

    name: str
    place: str
    serial_end: str
    address: str


def machine_tag(machine: Machine) -> Tag:
    """Return what stands on the tag of a machine."""
    place = str(machine.place or "No place yet")
    end = machine.serial[-SERIAL_END:].lstrip("-/. ")
    return Tag(machine.name, place, end, full(reverse("scanned", args=[machine.slug])))


def full(path: str) -> str:
    """Return a short address in full, under the address that people here use (PUBLIC_URL)."""
    return urljoin(f"{settings.PUBLIC_URL}/", path.lstrip("/"))


def is_only_here() -> bool:
    """Say whether a tag's code leads to this computer alone, so that no phone can open it."""
    host = urlsplit(settings.PUBLIC_URL).hostname or ""
    return host in ("localhost", "::1") or host.startswith("127.") or host.endswith(".localhost")


def code(address: str, *, border: int = 2) -> SafeString:
    """Return the code as an SVG drawing without a size; `border` is its quiet margin in modules."""
    drawn = segno.make_qr(address, error="m").svg_inline(omitsize=True, border=border)
    return SafeString(drawn)  # drawn by segno from modules alone: no typed text is in it
