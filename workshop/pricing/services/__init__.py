"""The writers of money: the only code that changes its rows.

Functions said to work "inside the caller's act" open no act of their own: the room above writes the entry.
"""

from workshop.pricing.services.asking import own_no_work, set_asking_price, strike_asking_price
from workshop.pricing.services.extras import add_extra_cost, strike_extra_cost
from workshop.pricing.services.past import PastSale, keep_past_sales
from workshop.pricing.services.payments import (
    owe_seller,
    pay_purchase,
    record_payment,
    strike_payment,
    take_payment,
)
from workshop.pricing.services.sales import agree_sale, cancel_sale

__all__ = [
    "PastSale",
    "add_extra_cost",
    "agree_sale",
    "cancel_sale",
    "keep_past_sales",
    "owe_seller",
    "own_no_work",
    "pay_purchase",
    "record_payment",
    "set_asking_price",
    "strike_asking_price",
    "strike_extra_cost",
    "strike_payment",
    "take_payment",
]
