"""How often the buyer's pages may be asked for: counted a minute, a caller and a page, in the server's own memory.

House policy, far above what a family with a slow phone needs: a page and its photos are under 20 requests. Each
server process counts for itself and a restart forgets; that is enough to make guessing and hammering useless.
"""

import ipaddress

from django.conf import settings
from django.core.cache import cache
from django.http import HttpRequest

WINDOW_S = 60
PER_CALLER = 120
PER_PAGE = 240
_NETWORK_BITS = {4: 32, 6: 64}  # one home has a whole /64 of the new addresses


def too_many_from(request: HttpRequest) -> bool:
    """Count a request of this caller; say whether it is one too many this minute."""
    return _over(f"buyer-from-{caller(request)}", PER_CALLER)


def too_many_of(page: int | str) -> bool:
    """Count a request of this page; say whether it is one too many this minute."""
    return _over(f"buyer-page-{page}", PER_PAGE)


def caller(request: HttpRequest) -> str:
    """Return the network a request comes from; a proxy in front is believed only where the settings say so."""
    address = request.META.get("REMOTE_ADDR", "")
    if settings.SECURE_PROXY_SSL_HEADER:  # the last one is what our own proxy saw
        address = request.META.get("HTTP_X_FORWARDED_FOR", address).rsplit(",", 1)[-1].strip()
    try:
        number = ipaddress.ip_address(address)
    except ValueError:
        return "unknown"
    return str(ipaddress.ip_network(f"{number}/{_NETWORK_BITS[number.version]}", strict=False).network_address)


def _over(key: str, allowed: int) -> bool:
    if cache.add(key, 1, WINDOW_S):
        return False
    try:
        return cache.incr(key) > allowed
    except ValueError:  # the minute ended between the two
        return False
