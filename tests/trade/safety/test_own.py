"""Our own limits: tightened or added freely, loosened only with a reason, never silently."""

from decimal import Decimal

import pytest

from workshop.trade.safety.electrical import OwnLimit, combine, loosens, says_why


def number(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


@pytest.mark.parametrize(
    ("base", "own", "reason", "found", "loosened", "tightened"),
    [
        ((None, "0.139"), (None, "0.1"), "", (None, "0.1"), False, True),  # stricter
        ((None, "0.139"), (None, "0.139"), "", (None, "0.139"), False, False),  # the same
        ((None, "0.139"), (None, "0.14"), "", (None, "0.139"), False, False),  # looser, no word: does not count
        ((None, "0.139"), (None, "0.14"), " ", (None, "0.139"), False, False),  # a blank is no reason
        ((None, "0.139"), (None, "0.2"), "old cords", (None, "0.2"), True, False),
        (("0.3", None), ("1.0", None), "", ("1.0", None), False, True),
        (("0.3", None), ("0.2", None), "", ("0.3", None), False, False),
        (("0.3", None), ("0.2", None), "new rule", ("0.2", None), True, False),
        (("8.5", "12"), ("9", None), "", ("9", "12"), False, True),  # one end only
        (("8.5", "12"), ("9", "13"), "", ("9", "12"), False, True),  # stricter end counts, looser does not
        (("8.5", "12"), ("9", "13"), "it is so", ("9", "13"), True, False),
        ((None, None), (None, "30"), "", (None, "30"), False, True),  # added where there was none
    ],
)
def test_the_stricter_end_counts_and_a_looser_one_only_with_its_reason(base, own, reason, found, loosened, tightened):
    ends = (number(base[0]), number(base[1]))
    combined = combine(ends, OwnLimit(number(own[0]), number(own[1]), reason))
    assert (combined.low, combined.high) == (number(found[0]), number(found[1]))
    assert (combined.loosened, combined.tightened) == (loosened, tightened)


def test_what_loosens_is_known_whether_or_not_it_has_a_reason():
    assert loosens((None, Decimal(1)), OwnLimit(None, Decimal("1.1")))
    assert not loosens((None, Decimal(1)), OwnLimit(Decimal("0.1"), Decimal(1)))
    assert not loosens((None, None), OwnLimit(None, Decimal(9)))


@pytest.mark.parametrize(
    ("reason", "says"),
    [
        ("", False),
        ("x", False),
        ("x x x x", False),
        ("long cords", False),  # nine letters
        ("old long cords", True),
        ("Verlängerungskabel", True),  # one word may say it
        ("0.1 2 3 4", False),
    ],
)
def test_a_reason_says_something_in_three_words_or_twelve_letters(reason: str, says: bool) -> None:
    assert says_why(reason) is says
