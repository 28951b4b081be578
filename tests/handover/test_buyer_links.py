"""The address of the buyer's page: made by issuing, kept by the next sheet, withdrawn, renewed, undone, expired."""

from datetime import date, timedelta

import pytest

from handover import buyer_address, buyer_links, compose, services
from handover.models import BuyerLink, BuyerMessage, Sheet
from handover.outdated import outdated
from handover.sheet import SheetContent
from tests.handover.buyers import issue
from tests.house import NOW
from workshop.core.acts import Refused, Stale
from workshop.core.models import Job, JournalEntry, Shop
from workshop.desk.services import undo_entry
from workshop.trade.care.spans import add_months


def undo(demo, verb):
    entry = JournalEntry.objects.select_related("job__machine").filter(verb=verb).latest("pk")
    return undo_entry(demo.act(0, demo.owner), entry)


def test_a_token_cannot_be_guessed_and_can_be_typed():
    tokens = {buyer_links.new_token() for _ in range(200)}
    assert len(tokens) == 200
    assert len(buyer_links.SIGNS) ** buyer_links.LENGTH > 2**192  # as many as 24 random bytes
    assert not set("01ilou") & set("".join(tokens))


def test_the_first_sheet_makes_the_page_and_the_next_keeps_its_address(monkeypatch, demo, ready, link):
    again = issue(monkeypatch, demo, ready)

    assert (again.token, again.sheet.number) == (link.token, link.sheet.number + 1)
    assert BuyerLink.objects.count() == 1


def test_the_page_opens_a_year_longer_than_the_warranty(demo, ready, link):
    collected, months = ready.reservations.get().collect_on, Shop.objects.get().warranty_months

    assert link.expires_on == add_months(collected, months + 12)
    assert buyer_links.opened(link.token, link.expires_on) == link
    assert buyer_links.opened(link.token, link.expires_on + timedelta(days=1)) is None


def handed_over(demo, job, sheet, at=NOW):
    row = job.handed_over.create(sheet=sheet, by=demo.owner, at=at)
    buyer_links.last_from(job, at.date())
    return row


def test_the_last_day_counts_from_the_handing_over_once_and_stays(monkeypatch, demo, ready, link):
    handed_over(demo, ready, link.sheet)  # two days before the day that was agreed
    last = add_months(NOW.date(), Shop.objects.get().warranty_months + 12)
    link.refresh_from_db()
    assert link.expires_on == last

    buyer_links.withdraw(demo.act(0), link)
    buyer_links.renew(demo.act(-40), ready)
    assert buyer_links.standing(ready).expires_on == last

    buyer_links.show(demo.act(-40), link.sheet, buyer_links.standing_token(ready), NOW.date() + timedelta(days=40))
    assert buyer_links.standing(ready).expires_on == last


def test_a_withdrawn_page_opens_nothing_and_the_next_sheet_does_not_bring_it_back(monkeypatch, demo, ready, link):
    buyer_links.withdraw(demo.act(0), link)

    assert buyer_links.opened(link.token, NOW.date()) is None
    assert buyer_links.token_for(ready) == ""
    with pytest.raises(BuyerLink.DoesNotExist):
        issue(monkeypatch, demo, ready)
    with pytest.raises(Refused, match="withdrawn already"):
        buyer_links.withdraw(demo.act(0), BuyerLink.objects.get())


def test_withdrawing_is_undone(demo, link):
    buyer_links.withdraw(demo.act(0), link)
    undo(demo, "withdraw_buyer_link")

    assert buyer_links.opened(link.token, NOW.date()) == link
    with pytest.raises(Refused, match="has an address"):
        buyer_links.put_back(demo.act(0), BuyerLink.objects.get())


def test_a_new_address_closes_the_old_one_until_it_is_undone(demo, ready, link):
    buyer_links.renew(demo.act(0), ready)
    new = buyer_links.standing(ready)

    assert new.token != link.token
    assert buyer_links.opened(link.token, NOW.date()) is None
    assert new.expires_on == link.expires_on

    undo(demo, "renew_buyer_link")

    assert buyer_links.opened(link.token, NOW.date()) == link
    assert buyer_links.opened(new.token, NOW.date()) is None


def test_a_machine_that_came_back_keeps_its_page(demo, link, ready):
    Job.objects.filter(pk=ready.pk).update(closed_at=NOW, closed_by=demo.owner, closed_as="SOLD_PROVED")
    back = Job.objects.create(machine=ready.machine, kind="CAME_BACK", first_job=ready, opened_at=NOW)
    assert buyer_links.standing(back) == link
    assert buyer_links.token_for(back) == link.token

    sheet = Sheet.objects.create(
        job=back, number=9, content="{}", sha256="1", pages=2, dated=True, by=demo.owner, at=NOW
    )
    buyer_links.show(demo.act(0), sheet, link.token, NOW.date())
    assert buyer_links.opened(link.token, NOW.date()).sheet == sheet

    buyer_links.renew(demo.act(0), back)
    assert buyer_links.standing(ready).sheet == sheet


def test_there_is_no_page_before_a_sheet(demo, ready):
    with pytest.raises(Refused, match="Issue the handover sheet first"):
        buyer_links.renew(demo.act(0), ready)


def test_an_address_changed_while_the_sheet_was_drawn_is_not_printed(demo, ready, link):
    with pytest.raises(Stale):
        buyer_links.show(demo.act(0), link.sheet, "another", date(2026, 5, 14))


@pytest.mark.parametrize(
    ("address", "reached"),
    [
        ("https://workshop.example", True),
        ("https://8.8.8.8", True),
        ("http://workshop.example", False),
        ("https://localhost", False),
        ("https://tramshed.local", False),
        ("https://till.home.arpa:8443", False),
        ("https://192.168.1.5", False),
        ("https://tramshed", False),
        ("http://127.0.0.1:8000", False),
    ],
)
def test_the_paper_prints_the_page_only_where_a_phone_can_reach_it(settings, shop, address, reached):
    settings.PUBLIC_URL, shop.phone = address, "01632 960147"
    token = buyer_links.new_token()

    printed = buyer_address.printed(shop, token)

    assert printed.full == (f"{address}/b/{token}/" if reached else "tel:01632960147")


def test_without_a_page_and_without_a_phone_there_is_no_code(settings, shop):
    settings.PUBLIC_URL = "https://workshop.example"
    assert buyer_address.printed(shop, "") is None


def test_a_new_address_asks_for_the_next_sheet(settings, monkeypatch, demo, ready):
    settings.PUBLIC_URL = "https://workshop.example"
    link = issue(monkeypatch, demo, ready)
    assert link.token in SheetContent.from_json(link.sheet.content).buyer_address.full
    assert outdated(ready, link.sheet) == ""

    buyer_links.renew(demo.act(0), ready)

    assert "the address of the buyer's page" in outdated(ready, link.sheet)


def test_care_and_habits_are_frozen_with_their_reasons(demo, ready, link):
    content = SheetContent.from_json(link.sheet.content)
    assert content.care_from == ready.reservations.get().collect_on
    assert all(row.why and row.code and row.every_days > 7 for row in content.care)
    assert all(row.why and (row.every_days or 0) <= 7 for row in content.habits)


def test_the_drawn_sheet_carries_the_care_dates(monkeypatch, demo, ready):
    seen = {}
    monkeypatch.setattr(
        services.pdf, "render", lambda content, photo, attached: seen.update({a.name: a.data for a in attached})
    )
    services._draw(compose.sheet(ready, number=1, issued_on=NOW.date()), lambda sha: b"")
    assert seen["care.ics"].startswith(b"BEGIN:VCALENDAR")


def message(link, **changes):
    values = {"key": "k1", "trouble": "NOISE", "since": "Tuesday", "words": ""}
    return buyer_links.write_to_us(link, NOW, **{**values, **changes})


def test_a_message_pressed_twice_is_one_and_never_changed(link):
    first = message(link)

    assert message(link, words="again") == first
    with pytest.raises(Exception, match="append-only"):
        BuyerMessage.objects.update(words="else")


def test_a_sixth_message_a_day_asks_to_call(link):
    for number in range(buyer_links.MESSAGES_A_DAY):
        message(link, key=f"k{number}")
    with pytest.raises(Refused, match="Please call"):
        message(link, key="one more")

    assert BuyerMessage.objects.count() == buyer_links.MESSAGES_A_DAY
