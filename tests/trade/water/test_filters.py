"""Filters with bypass, and how long a cartridge lasts."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.water.filters import FilterKind, Water, after_filter, cartridge_litres

TOWN = Water(Decimal(300), Decimal(250))
waters = st.builds(Water, st.decimals(0, 600, places=1), st.decimals(0, 600, places=1))
shares = st.decimals(0, 1, places=2)


@pytest.mark.parametrize(
    ("kind", "hardness", "alkalinity"),
    [
        (FilterKind.NONE, 300, 250),
        (FilterKind.SOFTENER, 60, 250),  # a fifth of the hardness, the alkalinity untouched
        (FilterKind.DECARBONISING, 100, 50),  # four fifths of 250 taken from both
        (FilterKind.REVERSE_OSMOSIS, 60, 50),
    ],
)
def test_a_fifth_bypassed(kind, hardness, alkalinity):
    assert after_filter(TOWN, kind, bypass=Decimal("0.2")) == Water(Decimal(hardness), Decimal(alkalinity))


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(waters, st.sampled_from(FilterKind), shares, shares)
def test_more_bypass_never_means_softer_water(water, kind, share, more):
    less, more_bypassed = sorted((share, more))
    first, second = after_filter(water, kind, bypass=less), after_filter(water, kind, bypass=more_bypassed)
    assert 0 <= first.hardness_mg_l <= second.hardness_mg_l <= water.hardness_mg_l
    assert 0 <= first.alkalinity_mg_l <= second.alkalinity_mg_l <= water.alkalinity_mg_l


@pytest.mark.parametrize("kind", FilterKind)
def test_all_bypassed_is_the_tap_again(kind):
    assert after_filter(TOWN, kind, bypass=Decimal(1)) == TOWN
    assert kind.label


# A cartridge maker's table, blend 3: litres at dKH; only the ratio of dKH counts.
@pytest.mark.parametrize(("dkh", "printed"), [(4, 17000), (5, 13600), (6, 11330), (8, 8500), (10, 6800)])
def test_a_cartridge_table_from_its_first_row(dkh, printed):
    litres = cartridge_litres(
        rated_litres=Decimal(17000),
        rated_at_mg_l=4 * Decimal("17.848"),
        alkalinity_mg_l=dkh * Decimal("17.848"),
    )
    assert litres == pytest.approx(Decimal(printed), rel=Decimal("0.002"))


@pytest.mark.parametrize("share", ["-0.1", "1.1", "NaN"])
def test_a_share_lies_between_nought_and_one(share):
    with pytest.raises(ValueError, match="bypass share"):
        after_filter(TOWN, FilterKind.SOFTENER, bypass=Decimal(share))


def test_no_alkalinity_is_no_cartridge_reckoning():
    with pytest.raises(ValueError, match="above nought"):
        cartridge_litres(rated_litres=Decimal(1), rated_at_mg_l=Decimal(1), alkalinity_mg_l=Decimal(0))
