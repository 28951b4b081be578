"""The writers of money: the only code that changes its rows.

Functions said to work "inside the caller's act" open no act of their own: the room above writes the entry.
"""

from workshop.pricing.services.asking import own_no_work, set_asking_price, strike_asking_price
from workshop.pricing.services.decide import decide, strike_decision
from workshop.pricing.services.endings import (
    PartLine,
    end_as,
    give_back,
    keep,
    scrap,
    strip,
    take_back_ending,
    withdraw_ending,
)
from workshop.pricing.services.extras import add_extra_cost, strike_extra_cost
from workshop.pricing.services.lines import add_line, change_line, put_back_line, strike_line
from workshop.pricing.services.past import PastSale, keep_past_sales
from workshop.pricing.services.payments import (
    owe_seller,
    pay_purchase,
    record_payment,
    strike_payment,
    take_payment,
)
from workshop.pricing.services.sales import agree_sale, cancel_gone_sale, cancel_sale, restore_gone_sale
from workshop.pricing.services.sightings import (
    buy_sighting,
    change_sighting,
    drop_sighting,
    keep_sighting,
    take_up_sighting,
)

__all__ = [
    "PartLine",
    "PastSale",
    "add_extra_cost",
    "add_line",
    "agree_sale",
    "buy_sighting",
    "cancel_gone_sale",
    "cancel_sale",
    "change_line",
    "change_sighting",
    "decide",
    "drop_sighting",
    "end_as",
    "give_back",
    "keep",
    "keep_past_sales",
    "keep_sighting",
    "owe_seller",
    "own_no_work",
    "pay_purchase",
    "put_back_line",
    "record_payment",
    "restore_gone_sale",
    "scrap",
    "set_asking_price",
    "strike_asking_price",
    "strike_decision",
    "strike_extra_cost",
    "strike_line",
    "strike_payment",
    "strip",
    "take_back_ending",
    "take_payment",
    "take_up_sighting",
    "withdraw_ending",
]
