"""Where a buyer's page stands: its address, and whether a phone at the buyer's can reach it."""

import ipaddress
from urllib.parse import urlsplit

from django.conf import settings
from django.urls import reverse
from django.utils.translation import gettext as _

from handover.sheet import NBSP, BuyerAddress
from workshop.core.models import Shop

# Names that only a house's own network knows: RFC 6761, RFC 6762, RFC 8375, and what routers make up.
HOUSE_NETWORK = ("localhost", "local", "home.arpa", "internal", "lan", "home", "test", "invalid")


def reachable(public_url: str) -> bool:
    """Say whether a page of this workshop can be opened from outside: https and a public name."""
    parts = urlsplit(public_url)
    host = (parts.hostname or "").rstrip(".")
    if parts.scheme != "https" or "." not in host:
        return False
    if any(host.endswith(f".{end}") for end in HOUSE_NETWORK):
        return False
    try:
        return ipaddress.ip_address(host).is_global
    except ValueError:  # a name, not a number
        return True


def of(token: str) -> str:
    """Return the full address of the page behind a token."""
    base: str = settings.PUBLIC_URL
    return base + reverse("handover:buyer_page", args=[token])


def printed(shop: Shop, token: str) -> BuyerAddress | None:
    """Return what the paper's QR opens: the buyer's page where a phone can reach it, else the workshop's phone.

    A code that opens nothing in the buyer's kitchen is worse than a phone number.
    """
    if token and reachable(settings.PUBLIC_URL):
        full = of(token)
        short = full.split("://", 1)[1].rstrip("/")
        return BuyerAddress(full, short, _("Care dates and help:"))
    return _phone(shop)


def tel(phone: str) -> str:
    """Return a phone number as a link calls it (RFC 3966), or nothing where there is none."""
    digits = "".join(c for c in phone if c.isdigit() or c == "+")
    return f"tel:{digits}" if digits else ""


def _phone(shop: Shop) -> BuyerAddress | None:
    called = tel(shop.phone)
    if not called:
        return None
    words = _("Something is wrong? Point your phone here to call us:")
    return BuyerAddress(called, shop.phone.replace(" ", NBSP), words)
