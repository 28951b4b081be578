"""Decide: four ways side by side, nothing typed lost, figures for the owner alone."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from intake.models import Purchase
from tests.factories import JobFactory
from tests.pricing.factories import (
    AskingPriceFactory,
    DecisionFactory,
    MovementFactory,
    PartFactory,
    WorkFactory,
    past_job,
    worked_machine,
    worked_shop,
)
from workshop.desk import morning
from workshop.pricing import services
from workshop.pricing.models import Decision

TYPED = {
    "hours": "2",
    "parts_minor": "40",
    "price_minor": "300",
    "in_ten": "8",
    "strip_minor": "90",
    "strip_hours": "1",
    "pass_on_minor": "60",
    "give_back_minor": "70",
}
CHOICE = {"way": "MEND", "because": "the boiler is sound"}


@pytest.fixture
def bought(job, shop, owner):
    """The worked machine: bought for 120.00, other costs 95.00, the fees of the trade's own check."""
    worked_shop(shop, hourly_rate_minor=2400, tax_rule="UK_MARGIN")
    return worked_machine(job, owner)


def post(client, job, page, **typed):
    return client.post(reverse(f"pricing:{page}", args=[job.machine.slug]), typed)


def words(response):
    return " ".join(response.content.decode().replace("\u00a0", " ").split())


def test_the_ways_stand_side_by_side_with_the_trades_own_figures(client_in, bought):
    page = words(post(client_in, bought, "decide_try", **TYPED))

    for figure in ("£105.20", "£66.00", "£51.96", "£70.00", "-£22.00 to £137.00"):
        assert figure in page
    assert "Mend it leaves £105.20: £35.20 more than “Give it back”." in page
    assert "£52.60 for each hour still to come" in page


def test_the_page_says_that_money_spent_is_left_out(client_in, bought):
    assert "£215.00 was spent already. It is left out" in words(
        client_in.get(reverse("pricing:decide", args=[bought.machine.slug]))
    )


def test_working_it_out_keeps_nothing_and_loses_nothing(client_in, bought):
    tried = post(client_in, bought, "decide_try", **TYPED, because="not yet sure")

    assert (tried.status_code, Decision.objects.count()) == (200, 0)
    assert 'value="not yet sure"' in words(tried)
    assert 'value="70"' in words(tried)


def test_a_choice_is_recorded_with_its_reason_and_shown_on_the_machine_page(client_in, bought):
    post(client_in, bought, "decide_choose", **TYPED, **CHOICE)

    assert Decision.objects.get().net_minor == 10520
    page = words(client_in.get(bought.machine.get_absolute_url()))
    assert "the boiler is sound" in page
    assert "£105.20" in page


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (TYPED, "Choose one."),
        (TYPED | CHOICE | {"in_ten": "11"}, "This is over 10"),
        (TYPED | CHOICE | {"hours": "half"}, "This is not a number."),
        (TYPED | CHOICE | {"way": "STRIP", "strip_minor": ""}, "type what it would bring first"),
    ],
)
def test_what_cannot_be_decided_is_said_beside_its_box_and_kept(client_in, bought, typed, sentence):
    refused = post(client_in, bought, "decide_choose", **typed)

    assert refused.status_code == 422
    assert sentence in words(refused)
    assert 'value="40"' in words(refused)
    assert Decision.objects.count() == 0


def test_a_machine_nothing_is_known_of_asks_to_be_thought_about(client_in, job):
    page = words(client_in.get(reverse("pricing:decide", args=[job.machine.slug])))

    assert "Nothing is decided yet." in page
    assert "press “Work it out”" in page


def test_what_came_back_is_decided_without_a_price(client_in, shop):
    back = JobFactory(kind="CAME_BACK")
    page = words(client_in.get(reverse("pricing:decide", args=[back.machine.slug])))
    assert "there is no price to weigh" in page

    post(client_in, back, "decide_choose", hours="1", **CHOICE)

    assert (Decision.objects.get().minutes, Decision.objects.get().price_minor) == (60, None)


def test_a_technician_sees_the_way_and_the_reason_and_no_figure(technician_in, bought, owner):
    DecisionFactory(job=bought, by=owner, net_minor=10520)

    page = words(technician_in.get(reverse("pricing:decide", args=[bought.machine.slug])))

    assert "the boiler is sound" in page
    assert "£" not in page
    assert post(technician_in, bought, "decide_try", **TYPED).status_code == 403
    assert post(technician_in, bought, "decide_choose", **TYPED, **CHOICE).status_code == 403


def test_asked_again_it_is_the_next_step_and_stands_among_what_is_stuck(client_in, bought, owner):
    DecisionFactory(job=bought, by=owner, minutes=30)
    WorkFactory(job=bought, by=owner, minutes=45)
    again = "Decide again: 45 min worked since 12 May, 30 min were thought enough."

    page = words(client_in.get(bought.machine.get_absolute_url()))
    questions = {q.title: q for q in morning.morning(Decision.objects.get().at.date(), shows_money=True).questions}

    assert page.count(again) == 2  # the next step, and the Decision section
    assert [row.words.replace("\u00a0", " ") for row in questions["Stuck"].rows] == [again]
    assert questions["Ready"].rows == []


def test_a_long_history_takes_no_more_queries(client_in, bought, owner):
    url = reverse("pricing:decide", args=[bought.machine.slug])
    counts = []
    for more in (1, 29):
        for _ in range(more):
            DecisionFactory(job=bought, by=owner)
            WorkFactory(job=bought, by=owner)
            MovementFactory(part=PartFactory(), job=bought, by=owner)
        client_in.get(url)
        with CaptureQueriesContext(connection) as seen:
            client_in.get(url)
        counts.append(len(seen))

    assert counts[0] == counts[1]


def test_once_the_job_has_ended_the_decision_stands_as_it_was_taken(client_in, act, bought, owner):
    DecisionFactory(
        job=bought,
        by=owner,
        way="STRIP",
        net_minor=1726,
        price_minor=30000,
        parts_minor=4000,
        in_ten=8,
        strip_minor=9000,
    )
    address = reverse("pricing:decide", args=[bought.machine.slug])
    before = words(client_in.get(address))
    services.keep(act(), bought, words="For our own counter.")

    after = words(client_in.get(address))

    assert "What each way leaves" in before
    assert "What each way leaves" not in after
    assert "Record the decision" not in after
    for figure in ("£17.26", "£300.00", "£40.00", "8 times in 10", "£90.00"):
        assert figure in after


def test_the_likely_price_says_where_it_comes_from(client_in, bought):
    address = reverse("pricing:decide", args=[bought.machine.slug])

    def told():
        form = client_in.get(address).context["form"]
        return form["price_minor"].value(), form.fields["price_minor"].help_text

    assert told()[1] == "No sale tells it: what it must fetch for the profit wanted."
    past_job(bought.machine.notes, sold_minor=18000, minutes=60)
    assert told() == ("180.00", "From our own sales. Sold for £180.00, once: too few to tell a spread.")
    Purchase.objects.filter(job=bought).update(lot_weight_minor=20000)
    assert told() == ("200.00", "What it should fetch, as its lot says.")
    AskingPriceFactory(job=bought, price_minor=35000)
    assert told() == ("350.00", "As asked since 12 May.")
    DecisionFactory(job=bought, price_minor=26000)
    assert told() == ("260.00", "As thought on 12 May.")
