"""The buyer's page in the eyes of a stranger: what it shows, what it never shows, and that nothing else opens."""

import re
from dataclasses import replace
from datetime import timedelta
from itertools import product
from urllib.parse import quote

import pytest
from django.core.cache import cache
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from handover import buyer_links, compose, visits
from handover.models import BuyerMessage, Sheet
from handover.sheet import SheetContent
from handover.words import BuyerWater
from tests.handover import sheet_examples as examples
from tests.handover.buyers import issue
from tests.house import NOW
from workshop.core import http
from workshop.core.models import Job, User

OPEN = {"health", "sign_in", "first_run"}
PROXY = ("HTTP_X_FORWARDED_PROTO", "https")
HOSTILE = [
    "a",
    "a" * 40,
    "2" * 5000,
    "%00",
    "2" * 39 + "%00",
    "ß𝔘łé\u202e",
    "..",
    "%2e%2e%2f%2e%2e%2fetc%2fpasswd",
    "' OR 1=1 --",
    "<b>x</b>",
    "2" * 39 + "\n",
    "1",  # the number of a row, of a sheet, of a job
    "-1",
    "acacia-acre",
    "0" * 64,
    "A" * 40,
    "2" * 40 + " ",
    ".%2e/%2e./static/css/base.css",
    "%c0%ae%c0%ae",
    "%ff%fe",
    "..;",
    "%7b%7b7*7%7d%7d",
]


@pytest.fixture
def link(today, link):
    return link


def show(link, content):
    """Let a page show another sheet."""
    link.sheet = Sheet.objects.create(
        job=link.job, number=content.number, content=content.to_json(), sha256="1" * 64, pages=2, dated=True,
        by=link.made_by, at=NOW,
    )  # fmt: skip
    link.save()


def url(name, link, **more):
    return reverse(f"handover:{name}", kwargs={"token": link.token, **more})


def read(client, address):
    answer = client.get(address)
    return answer.status_code, answer.content.decode()


def test_it_opens_without_sign_in_and_says_what_the_sheet_says(stranger, link):
    status, page = read(stranger, url("buyer_page", link))

    content = SheetContent.from_json(link.sheet.content)
    assert status == 200
    assert 'href="tel:01632960147"' in page
    for words in (content.name, "16.5", content.milk[0], content.left[0], *content.received[:2], content.care[0].words):
        assert str(words).replace("'", "&#x27;") in page
    assert "Next 2" in page or "Next 1" in page


def test_it_shows_what_was_measured_and_where_the_photos_are(stranger, link):
    _, page = read(stranger, url("buyer_page", link))
    content = SheetContent.from_json(link.sheet.content)

    assert content.readings
    for row in content.readings:
        assert row.what in page
        assert row.measured in page
    for mark in content.condition.marks:
        assert (url("buyer_photo", link, number=mark.number) in page) == bool(mark.photo_sha)
    assert any(row.limit == "recorded, no limit" for row in (*content.readings, *content.more_readings))
    assert "no limit" not in page  # a measure without a limit shows none
    assert "without names" in page
    assert "It says what sheet" not in page


def test_it_names_nobody_and_no_price(stranger, link, ready):
    _, page = read(stranger, url("buyer_page", link))

    people = [*User.objects.values_list("first_name", flat=True), ready.reservations.get().buyer.name]
    assert [name for name in people if name in page] == []
    assert "£" not in page
    assert "520" not in page


def test_nobody_hears_of_its_address(stranger, link):
    for name in ("buyer_page", "buyer_calendar", "buyer_trouble"):
        answer = stranger.get(url(name, link))
        assert answer["X-Robots-Tag"].startswith("noindex")
        assert answer["Referrer-Policy"] == "no-referrer"
        assert "private" in answer["Cache-Control"]
        assert "script-src 'none'" in answer["Content-Security-Policy"]
        assert "default-src 'none'" in answer["Content-Security-Policy"]
        assert not answer.cookies
        assert b"<script" not in answer.content
    assert b'name="robots" content="noindex' in stranger.get(url("buyer_page", link)).content


def test_no_link_leads_into_the_workshop(stranger, link):
    for name in ("buyer_page", "buyer_trouble", "buyer_kept", "buyer_unplug"):
        _, page = read(stranger, url(name, link))
        links = [part.split('"')[0] for part in page.split("<a ")[1:] for part in part.split('href="')[1:2]]
        allowed = (f"/b/{link.token}/", "tel:", "#", f"webcal://testserver/b/{link.token}/")
        assert links
        assert [one for one in links if not one.startswith(allowed)] == []


def addresses(patterns, before=""):
    for one in patterns:
        route = before + str(one.pattern)
        if isinstance(one, URLResolver):
            yield from addresses(one.url_patterns, route)
        elif isinstance(one, URLPattern):
            yield one.name or "", route


def shut(answer):
    """A stranger is led to sign-in, or refused."""
    if answer.status_code == 403:
        return True
    return answer.status_code == 302 and answer["Location"].startswith(reverse("sign_in"))


def test_every_other_address_asks_a_stranger_to_sign_in(stranger, link):
    tried = 0
    for name, route in addresses(get_resolver().url_patterns):
        if name in OPEN or (name.startswith(("buyer_", "told_")) and route.lstrip("^").startswith(("b/", "t/"))):
            continue
        path = "/" + re.sub(r"<(\w+):\w+>", lambda found: "1" if found[1] == "int" else "fig", route)
        assert shut(stranger.get(path)), path
        assert shut(stranger.post(path)), path
        tried += 1
    assert tried > 100


def test_hostile_addresses_get_the_plain_page(stranger, link):
    for token in HOSTILE:  # one workshop for all of them: making it takes seconds
        cache.clear()
        whole = token if "%" in token else quote(token)
        under = ("", "/", "/care.ics", "/wrong/", "/mark-1.jpg", "/x/y")
        pages = {read(stranger, f"/b/{whole}{more}") for more in under}

        assert {status for status, _ in pages} == {404}, token
        assert len({page for _, page in pages}) == 1, token


def test_the_ids_and_names_of_other_rows_open_nothing(stranger, link, ready):
    sheet = link.sheet
    others = [link.pk, sheet.pk, sheet.number, sheet.sha256, ready.pk, ready.machine.slug, ready.machine.name]
    others += [mark.photo_sha for mark in SheetContent.from_json(sheet.content).condition.marks if mark.photo_sha]

    answers = {read(stranger, f"/b/{quote(str(one))}/") for one in others}
    assert {status for status, _ in answers} == {404}
    assert len(answers) == 1


def test_a_press_at_a_hostile_address_keeps_nothing(stranger, link):
    for token in HOSTILE:
        cache.clear()
        whole = token if "%" in token else quote(token)
        assert stranger.post(f"/b/{whole}/wrong/", ANSWERS).status_code == 404, token
    assert BuyerMessage.objects.count() == 0


def test_whatever_is_typed_is_kept_whole_or_refused(stranger, link):
    hostile = ("\x00", "a\x00b", "\u202e" * 30, "😀" * 60, "<script>x</script>", "' OR 1=1 --", "x" * 9000)
    for box, typed in product(("trouble", "since", "words", "key"), hostile):
        cache.clear()
        with transaction.atomic():  # one workshop for all of them, as no press had been before
            answer = stranger.post(url("buyer_trouble", link), ANSWERS | {box: typed})

            assert answer.status_code in (302, 422), (box, typed)
            assert BuyerMessage.objects.count() == (answer.status_code == 302), (box, typed)
            assert "<script>x" not in answer.content.decode(), (box, typed)
            transaction.set_rollback(True)


def test_the_followed_address_tells_of_the_newest_sheet_and_moves_its_dates(monkeypatch, stranger, demo, ready, link):
    def dates():
        file = stranger.get(url("buyer_calendar", link)).content.decode()
        return {key: re.findall(rf"^{key}[^:]*:(.+?)\r$", file, re.MULTILINE) for key in ("UID", "SEQUENCE", "DTSTART")}

    before = dates()
    ready.reservations.update(collect_on=ready.reservations.get().collect_on + timedelta(days=9))
    again = issue(monkeypatch, demo, ready)
    after = dates()

    assert again.token == link.token
    assert after["UID"] == before["UID"]
    assert all(new != old for new, old in zip(after["DTSTART"], before["DTSTART"], strict=True))
    assert min(map(int, after["SEQUENCE"])) > max(map(int, before["SEQUENCE"]))


def test_unknown_withdrawn_and_expired_look_and_cost_the_same(stranger, demo, link, monkeypatch):
    seen = []

    def ask(token):
        with CaptureQueriesContext(connection) as asked:
            seen.append((*read(stranger, f"/b/{token}/"), len(asked)))

    ask("2" * 40)
    ask("/../" * 10)
    monkeypatch.setattr(http, "today", lambda: link.expires_on.replace(year=link.expires_on.year + 1))
    ask(link.token)
    monkeypatch.setattr(http, "today", lambda: NOW.date())
    buyer_links.withdraw(demo.act(0), link)
    ask(link.token)

    assert len(set(seen)) == 1
    assert seen[0][0] == 404
    assert "Tram Shed" not in seen[0][1]


def test_a_typed_address_needs_no_slash_at_its_end(stranger, link):
    assert read(stranger, f"/b/{link.token}")[0] == 200


def test_a_page_asks_equally_often_for_one_mark_and_for_thirty(stranger, link, ready):
    def asked_with(marks):
        content = examples.heat_exchanger()
        many = replace(content.condition, marks=content.condition.marks[:1] * marks)
        show(link, replace(content, number=90 + marks, condition=many))
        with CaptureQueriesContext(connection) as asked:
            assert read(stranger, url("buyer_page", link))[0] == 200
        return len(asked)

    # its address, film, record, wording, answers, the workshop, and the day it left where the sheet has no date
    assert asked_with(1) == asked_with(30) <= 7


def test_the_workshop_withdraws_the_page_when_its_machine_came_back(link, ready, demo):
    Job.objects.filter(pk=ready.pk).update(closed_at=NOW, closed_by=demo.owner, closed_as="SOLD_PROVED")
    Job.objects.create(machine=ready.machine, kind="CAME_BACK", first_job=ready, opened_at=NOW)
    ana = Client()
    ana.force_login(demo.owner)

    assert f"/b/{link.token}/" in ana.get(reverse("handover:handover", args=[ready.machine.slug])).content.decode()
    ana.post(reverse("handover:buyer_link_withdraw", args=[ready.machine.slug]), {"key": "w2"})
    assert buyer_links.opened(link.token, NOW.date()) is None


def test_only_photos_on_the_sheet_are_served(stranger, link):
    content = SheetContent.from_json(link.sheet.content)
    first = next(mark.number for mark in content.condition.marks if mark.photo_sha)

    served = stranger.get(url("buyer_photo", link, number=first))
    assert (served.status_code, served["Content-Type"], served.content[:2]) == (200, "image/jpeg", b"\xff\xd8")
    assert stranger.get(url("buyer_photo", link, number=99)).status_code == 404
    sha = next(mark.photo_sha for mark in content.condition.marks if mark.photo_sha)
    assert stranger.get(reverse("intake:photo", args=[sha])).status_code == 302


def test_the_calendar_is_a_file_to_take_in_and_an_address_to_follow(stranger, link):
    answer = stranger.get(url("buyer_calendar", link))
    _, page = read(stranger, url("buyer_page", link))

    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer.content.startswith(b"BEGIN:VCALENDAR")
    assert link.token.encode() not in answer.content
    assert f"webcal://testserver/b/{link.token}/care.ics" in page


def test_without_a_day_there_are_no_dates_until_it_is_handed_over(monkeypatch, stranger, demo, ready):
    monkeypatch.setattr(http, "today", lambda: NOW.date())
    ready.reservations.update(collect_on=None)
    link = issue(monkeypatch, demo, ready)

    _, page = read(stranger, url("buyer_page", link))
    assert "week 3" in page
    assert "count from the day you take it home" in page
    assert stranger.get(url("buyer_calendar", link)).status_code == 404

    ready.handed_over.create(sheet=link.sheet, by=demo.owner, at=NOW)
    assert stranger.get(url("buyer_calendar", link)).status_code == 200
    assert "Next" in read(stranger, url("buyer_page", link))[1]


def test_large_print_goes_from_page_to_page(stranger, link):
    _, usual = read(stranger, url("buyer_page", link))
    _, large = read(stranger, url("buyer_page", link) + "?large=1")

    assert f'href="{url("buyer_page", link)}?large=1">Large print' in usual
    assert 'class="large"' in large
    assert f"{url('buyer_trouble', link)}?large=1" in large
    assert f'href="{url("buyer_page", link)}">Usual print' in large


ANSWERS = {"trouble": "NOISE", "since": "since Tuesday", "words": "It hums.", "key": "pressed"}


def test_what_the_buyer_writes_is_kept_once_and_seen_by_the_workshop(stranger, link, ready):
    for _ in range(2):
        answer = stranger.post(url("buyer_trouble", link), ANSWERS)
        assert (answer.status_code, answer["Location"]) == (302, url("buyer_kept", link))

    assert BuyerMessage.objects.get().words == "It hums."
    ana = Client()
    ana.force_login(User.objects.get(role="OWNER"))
    for page in (ready.machine.get_absolute_url(), reverse("handover:handover", args=[ready.machine.slug])):
        assert "since Tuesday" in ana.get(page).content.decode()


@pytest.mark.parametrize("trouble", ["WATER", "BURNING", "SHOCK"])
def test_a_danger_is_answered_with_the_plug_and_the_phone(stranger, link, trouble):
    _, asked = read(stranger, url("buyer_trouble", link))
    answer = stranger.post(url("buyer_trouble", link), ANSWERS | {"trouble": trouble}, follow=True)

    assert "Pull the plug out" in asked
    assert asked.index("tel:") < asked.index("<form")
    page = answer.content.decode()
    assert "Pull the plug out now" in page
    assert "tel:01632960147" in page


def test_missing_answers_are_asked_for_and_nothing_typed_is_lost(stranger, link):
    answer = stranger.post(url("buyer_trouble", link), {"words": "It hums & drips"})

    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Choose one." in page
    assert "It hums &amp; drips" in page
    assert BuyerMessage.objects.count() == 0


def test_too_many_messages_ask_to_call(stranger, link):
    for number in range(buyer_links.MESSAGES_A_DAY):
        stranger.post(url("buyer_trouble", link), ANSWERS | {"key": f"k{number}"})
    refused = stranger.post(url("buyer_trouble", link), ANSWERS | {"key": "more"})

    assert refused.status_code == 422
    assert "Please call instead" in refused.content.decode()


def test_a_danger_is_kept_and_led_on_after_the_days_messages_are_used_up(stranger, link, monkeypatch):
    for number in range(buyer_links.MESSAGES_A_DAY):
        stranger.post(url("buyer_trouble", link), ANSWERS | {"key": f"k{number}"})
    shock = ANSWERS | {"trouble": "SHOCK", "words": "I felt a shock"}
    answer = stranger.post(url("buyer_trouble", link), shock | {"key": "d1"})

    assert answer["Location"] == url("buyer_unplug", link)
    assert BuyerMessage.objects.latest("pk").words == "I felt a shock"


def test_whoever_floods_with_dangers_still_reads_to_pull_the_plug(stranger, link, monkeypatch):
    monkeypatch.setattr(buyer_links, "DANGERS_A_DAY", 1)
    shock = ANSWERS | {"trouble": "SHOCK"}
    stranger.post(url("buyer_trouble", link), shock | {"key": "d1"})
    page = stranger.post(url("buyer_trouble", link), shock | {"key": "d2"})

    text = page.content.decode()
    assert (page.status_code, BuyerMessage.objects.count()) == (429, 1)
    assert "Pull the plug out now" in text
    assert "What you wrote is kept" not in text
    assert "Please call instead" in text


def test_a_caller_who_asks_too_often_waits_and_others_do_not(stranger, link, monkeypatch):
    monkeypatch.setattr(visits, "PER_CALLER", 3)
    answers = [stranger.get("/b/guess/").status_code for _ in range(5)]
    busy = stranger.get(url("buyer_page", link))

    assert answers == [404, 404, 404, 429, 429]
    assert (busy.status_code, busy["Retry-After"], busy["X-Robots-Tag"][:7]) == (429, "60", "noindex")
    assert "Please wait a minute" in busy.content.decode()
    assert stranger.get(url("buyer_page", link), REMOTE_ADDR="203.0.113.9").status_code == 200


def test_one_page_asked_for_by_many_waits_too(stranger, link, monkeypatch):
    monkeypatch.setattr(visits, "PER_PAGE", 2)
    many = [stranger.get(url("buyer_page", link), REMOTE_ADDR=f"203.0.113.{n}").status_code for n in range(4)]

    assert many == [200, 200, 429, 429]


@pytest.mark.parametrize(
    ("proxy", "sent", "counted"),
    [
        (None, {"REMOTE_ADDR": "203.0.113.9", "HTTP_X_FORWARDED_FOR": "9.9.9.9"}, "203.0.113.9"),
        (PROXY, {"REMOTE_ADDR": "10.0.0.1", "HTTP_X_FORWARDED_FOR": "9.9.9.9, 203.0.113.9"}, "203.0.113.9"),
        (None, {"REMOTE_ADDR": "2001:db8:1:2:3::4"}, "2001:db8:1:2::"),
        (None, {"REMOTE_ADDR": ""}, "unknown"),
    ],
)  # fmt: skip
def test_a_caller_is_told_by_the_network(rf, settings, proxy, sent, counted):
    settings.SECURE_PROXY_SSL_HEADER = proxy
    assert visits.caller(rf.get("/b/x/", **sent)) == counted


def test_the_workshop_sees_withdraws_and_renews_it(link, ready):
    ana = Client()
    ana.force_login(User.objects.get(role="OWNER"))
    station = reverse("handover:handover", args=[ready.machine.slug])
    assert f"/b/{link.token}/" in ana.get(station).content.decode()

    typed = {"key": "r1", "version": link.pk}
    renewed = ana.post(reverse("handover:buyer_link_renew", args=[ready.machine.slug]), typed)
    assert renewed["Location"] == station + "#buyers-page"
    new = buyer_links.standing(ready)
    assert f"/b/{new.token}/" in ana.get(station).content.decode()

    ana.post(reverse("handover:buyer_link_withdraw", args=[ready.machine.slug]), {"key": "w1"})
    page = ana.get(station).content.decode()
    assert "Withdrawn: its address opens nothing." in page
    assert "/b/" not in page


@pytest.mark.parametrize("seen", ["old", ""])
def test_an_old_tab_does_not_kill_an_address_made_meanwhile(link, ready, seen):
    ana = Client()
    ana.force_login(User.objects.get(role="OWNER"))
    renew = reverse("handover:buyer_link_renew", args=[ready.machine.slug])
    ana.post(renew, {"key": "r1", "version": link.pk})
    made = buyer_links.standing(ready)

    stale = ana.post(renew, {"key": "r2", "version": link.pk if seen else ""})

    assert (stale.status_code, buyer_links.standing(ready)) == (409, made)
    assert "has another address now" in stale.content.decode()
    assert f'name="version" value="{made.pk}"' in stale.content.decode()


def test_a_grinder_alone_has_its_page(stranger, ready, link):
    notes = ready.machine.notes
    notes.kind, notes.has_steam, notes.has_three_way_valve, notes.has_grinder = "GRINDER", False, False, True
    notes.save()
    show(link, compose.sheet(Job.objects.for_page().get(pk=ready.pk), number=9, issued_on=NOW.date()))

    status, page = read(stranger, url("buyer_page", link))
    assert status == 200
    assert "Burrs cut." in page
    assert "brush out the grinder" in page
    assert stranger.get(url("buyer_calendar", link)).status_code == 200


def test_the_strip_is_planned_for_its_hard_end(ready):
    ready.reservations.update(water=BuyerWater.STRIP, strip_fields=2)
    content = compose.sheet(ready, number=1, issued_on=NOW.date())
    # 2 fields of 7 dH each end at 14 dH; a table of conversions gives 17.85 mg/L as CaCO3 for one dH: 249.9
    assert any(row.words.replace("\u00a0", " ") == "Descale: 250 mg/L, your water, by strip" for row in content.care)
