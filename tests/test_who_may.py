"""Who may do what: every address of the project, looked at and pressed by everyone there is.

The table below says for each address who may look (GET) and who may press (POST). An address without a row fails, and
a row without an address. Pages are not drawn here, only asked for: what is held is who gets past the door.
"""

import re
import sys
from collections.abc import Iterator

import django.shortcuts
import pytest
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from handover.models import BuyerLink, Sheet, ToldLink
from tests.conftest import NOON
from tests.factories import JobFactory, ShopFactory, UserFactory
from tests.handover import sheet_examples

# The ways of an address: open to everybody; by a key in the address, whoever comes; for all who work here; for the
# owner alone; up: it takes a press only, so a look leads to the page above; none: no press is taken.
TABLE: dict[tuple[str, str], str] = {
    ("buyer", "buyer"): """
        buyer_nothing buyer_trouble
    """,
    ("buyer", "none"): """
        buyer_calendar buyer_kept buyer_page buyer_page_typed buyer_photo buyer_record buyer_unplug
    """,
    ("everybody", "everybody"): """
        first_run sign_in sign_out
    """,
    ("everybody", "none"): """
        health
    """,
    ("owner", "none"): """
        answers_list ended past_check past_template people person purchase_receipt wordings
    """,
    ("owner", "owner"): """
        answer_add answer_edit answer_ours give_back instrument_change keep learn lot machine_log_several
        most_to_pay owed past past_columns scrap seller_record shop_edit sighting strip wording_edit
    """,
    ("reader", "none"): """
        told_page told_page_typed told_photo
    """,
    ("reader", "reader"): """
        told_nothing told_read
    """,
    ("staff", "none"): """
        as_found buttons came_back cancel_paper_pdf card card_lists care_due clean condition_score cue_card
        cue_end cue_print decide do_not_use do_not_use_pdf dose handover limits machine machine_record
        machine_tag machine_tag_pdf mend pack_card_pdf payments photo photo_one photo_pin photo_thumb
        photos_compare place_scanned place_tag_pdf places price prove receipt_pdf ring_match scanned sheet_pdf
        sheet_preview sheet_record shots tags tags_pdf test_report test_report_pdf told_pdf told_shown untested
        untested_label
    """,
    ("staff", "staff"): """
        bench consent_record contact_about contact_add drafts earlier_records escape_answer find finding_edit
        finding_end for_sale home intake line_edit loose_part_edit machine_edit machine_log machine_move
        model_notes model_notes_add model_notes_edit outside_report pack part_receive parts place purchase_edit
        recipe_set record reservation_edit seal_answer told_show walk
    """,
    ("up", "owner"): """
        answer_back asking_set decide_choose decide_try extra_add extra_strike instrument_add instrument_retire
        item_ask_again item_remove own_limit_add own_limit_strike past_bring people_forget_due person_erase
        person_export price_sign_off seller_owe seller_pay seller_same sighting_buy sighting_drop
        sighting_take_up untested_sell user_add wording_back
    """,
    ("up", "staff"): """
        as_found_answer as_found_strike bag_clear blind_begin blind_finish box_photo_add button_add
        button_strike buyer_link_renew buyer_link_withdraw care_queue care_send care_told case_open case_shut
        cause_say clean_add clean_sign_off come_back consent_withdraw contact_take_back descale_add
        descale_as_usual descale_not_needed distance_note distance_take_back dose_add dose_strike face_look
        faces_look film_keep film_take_back finding_add flush_add full_set_ask full_set_drop grinder_open
        hand_over handover_sign_off inside_seals_leave intake_sign_off item_photo_add item_skip kept_typing
        line_add line_strike looked_at loose_part_add loose_parts_usual mark_add mark_mend mark_put_back
        mark_take_back mark_unmend mend_sign_off message_answered new_since_add no_work_own nothing_answer
        other_seals_keep pack_track part_add pause payment_add payment_strike photo_add photo_faces photo_keep
        photo_take_back place_add place_retire place_use prove_sign_off reading_add reading_strike recall_record
        received_add reservation_add reservation_cancel residual_check return_open rinse_add rinse_as_computed
        run_strike said_set second_look_same seen_running_add seen_running_strike serial_set sheet_issue
        shot_add shot_strike todays_limits told_add told_link_make told_link_withdraw undo unit_stop unpack
        untested_told wait_begin wait_end walk_again walk_same work_add work_strike
    """,
}
ROWS = {name: may for may, names in TABLE.items() for name in names.split()}
KEYS = ("buyer", "reader")  # the two kinds of key: of the buyer's page, and of what is read before agreeing
PEOPLE = ("stranger", "buyer", "technician", "owner")


def addresses(patterns: list[URLPattern | URLResolver], before: str = "") -> Iterator[tuple[str, str]]:
    """Yield the name and the route of every address."""
    for one in patterns:
        route = before + str(one.pattern)
        if isinstance(one, URLResolver):
            yield from addresses(one.url_patterns, route)
        else:
            yield one.name or "", route


ROUTES = dict(addresses(get_resolver().url_patterns))


def test_every_address_has_a_row_and_every_row_an_address():
    assert sorted(ROUTES) == sorted(ROWS)
    assert len(ROWS) == sum(len(names.split()) for names in TABLE.values()), "a name stands in two rows"


@pytest.fixture
def keys(db) -> dict[str, str]:
    """One machine in the workshop, its sheet issued, and the keys that were given away."""
    ShopFactory()
    owner = UserFactory(username="ana", role="OWNER")
    UserFactory(username="sam", role="TECHNICIAN")
    job, content = JobFactory(), sheet_examples.heat_exchanger()
    sheet = Sheet.objects.create(
        job=job, number=1, content=content.to_json(), sha256="1" * 64, pages=2, dated=True, by=owner, at=NOON
    )
    known = {"name": job.machine.slug, "buyer": "2" * 40, "reader": "3" * 40}
    made = {"job": job, "made_at": NOON, "made_by": owner, "expires_on": NOON.date().replace(year=2099)}
    BuyerLink.objects.create(token=known["buyer"], sheet=sheet, **made)
    read = {"marks": [], "left": [], "not_tested": []}
    ToldLink.objects.create(token=known["reader"], content=read, **made)
    return known


@pytest.fixture
def doors(keys, monkeypatch) -> dict[str, Client]:
    """Everyone there is, each with a browser; pages are answered with their status alone."""
    _undrawn(monkeypatch)
    people = {who: Client(raise_request_exception=False) for who in PEOPLE}
    for who, username in (("technician", "sam"), ("owner", "ana")):
        people[who].force_login(_user(username))
    people["buyer"].get(path_of("buyer_page", keys))  # whatever it would leave in the browser is there
    return people


def _user(username: str):
    return UserFactory._meta.model.objects.get(username=username)


def _undrawn(monkeypatch) -> None:
    def answered(request, template, context=None, content_type=None, status=None, using=None):
        return HttpResponse(status=status or 200)

    drawn = django.shortcuts.render
    for module in list(sys.modules.values()):
        if getattr(module, "render", None) is drawn:
            monkeypatch.setattr(module, "render", answered)


def path_of(name: str, keys: dict[str, str]) -> str:
    """Return the address with a machine, a key and a number in their places."""
    token = keys["reader" if ROUTES[name].lstrip("^").startswith("t/") else "buyer"]
    parts = {"name": keys["name"], "token": token, "language": "en", "block": "MILK", "code": "hard"}
    route = ROUTES[name].replace(r"^b/[\s\S]*$", "b/more/").replace(r"^t/[\s\S]*$", "t/more/")
    return "/" + re.sub(r"<(\w+):(\w+)>", lambda part: "1" if part[1] == "int" else parts.get(part[2], "x"), route)


def came_to(answer: HttpResponse) -> str:
    """Say in a word where somebody came to: let in, sent to sign in, refused, or that it broke."""
    if answer.status_code >= 500:
        return "broke"
    if answer.status_code == 403:
        return "refused"
    if answer.status_code == 302 and answer["Location"].startswith(reverse("sign_in")):
        return "sign in"
    return "up" if answer.status_code == 302 else "taken none" if answer.status_code == 405 else "in"


def may_come_to(who: str, may: str, press: bool) -> set[str]:
    """Return where somebody may come to by a row of the table."""
    let_in = {"in", "up"} if press or may != "up" else {"up"}
    if may == "everybody":
        return {"in", "up", "sign in"}  # after signing out, or where the first run is over
    if may in KEYS:
        return {"in", "up"}
    if may == "none":
        return {"taken none"} if who in ("technician", "owner") else {"taken none", "sign in", "in"}
    if who in ("stranger", "buyer"):
        return {"sign in", "refused"}
    return {"refused"} if may == "owner" and who == "technician" else let_in


@pytest.mark.parametrize("who", PEOPLE)
def test_everyone_comes_as_far_as_the_table_says(doors, keys, who):
    wrong = []
    for name in sorted(ROWS, key=lambda name: name == "sign_out"):  # it ends the visit
        for press, may in enumerate(ROWS[name]):
            found = came_to(_ask(doors[who], path_of(name, keys), bool(press)))
            if found not in may_come_to(who, may, bool(press)):
                wrong.append(f"{name}, {'pressed' if press else 'looked at'}: {found}, the table says {may}")
    assert wrong == []


def _ask(client: Client, path: str, press: bool) -> HttpResponse:
    with transaction.atomic():  # whatever a press wrote is undone: the next one meets the same workshop
        answer = client.post(path) if press else client.get(path)
        transaction.set_rollback(True)
    return answer
