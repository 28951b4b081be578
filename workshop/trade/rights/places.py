"""Which rule a place falls under: its own where it has one, the Union's for its members, else none that was read."""

from workshop.trade.safety.profiles import EU_PLACES

EU, ELSEWHERE = "EU", ""


def key_of(place_code: str, known: frozenset[str]) -> str:
    """Return the key of a place among `known`: "AU-VIC" falls back to "AU", a member state to "EU", others to ""."""
    code = place_code.strip().upper()
    country = code.partition("-")[0]
    for key in (code, country, EU if country in EU_PLACES else ELSEWHERE):
        if key in known:
            return key
    return ELSEWHERE
