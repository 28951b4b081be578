"""Names and phones are compared as people hear them."""

import pytest

from intake.sameness import earlier, folded, same_phone
from tests.factories import JobFactory, PersonFactory
from tests.intake.factories import LotFactory, PurchaseFactory


@pytest.mark.parametrize(
    ("typed", "heard"),
    [
        ("  RENÉ   O'Dell ", "rene o dell"),
        ("René O’Dell", "rene o dell"),  # the accent as a letter of its own, the quote bent
        ("Müller-Straße", "muller strasse"),
        ("Łukasz Øster", "lukasz oster"),
        ("", ""),
    ],
)
def test_names_without_accents_case_and_points(typed, heard):
    assert folded(typed) == heard


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("01632 960100", "01632960100", True),
        ("+44 1632 960100", "01632 960100", True),
        ("0044 1632 960100", "(01632) 960-100", True),
        ("01632 960100", "01632 960101", False),
        ("960100", "01632 960100", False),  # too short to tell two towns apart
        ("", "", False),
        ("", "01632 960100", False),
    ],
)
def test_phones_by_their_figures(one, other, same):
    assert same_phone(one, other) is same_phone(other, one) is same


def test_each_likeness_is_said_and_strangers_are_left_out(shop):
    for name, phone in (
        ("R. Osgood", "01632 960100"),
        ("r osgood", "01632 960199"),
        ("R Osgood", ""),
        ("S. Other", "+44 1632 960100"),
        ("S. Stranger", "01632 960150"),
    ):
        PurchaseFactory(seller=PersonFactory(name=name, phone=phone))
    mine = PurchaseFactory(seller=PersonFactory(name="R. Osgood", phone="01632960100"))

    assert [(row.name, row.match) for row in earlier(mine, shop)] == [
        ("R. Osgood", "same name, same phone"),
        ("r osgood", "same name, another phone"),
        ("R Osgood", "same name, a phone is missing"),
        ("S. Other", "same phone, another name"),
    ]


def test_what_was_bought_from_them_is_listed_and_machines_of_one_lot_are_not_before_one_another(shop):
    seller, lot = PersonFactory(), LotFactory()
    job = JobFactory()
    PurchaseFactory(seller=seller, job=job, price_minor=8500)
    first, _second = (PurchaseFactory(seller=seller, lot=lot) for _ in range(2))

    (row,) = earlier(first, shop)

    assert row.is_seller
    assert row.bought == ((job.machine.name, job.machine.slug, "2 May 2026, £85.00"),)


def test_a_purchase_without_a_seller_has_nobody_before_it(shop):
    assert earlier(PurchaseFactory(seller=None), shop) == []
