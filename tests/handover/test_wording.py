"""A workshop words the named blocks its own way; safety words may be added to, never taken away."""

from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from handover import buyer_rights, compose, ours, wording, wording_page
from handover.blocks import BLOCKS, BlockName
from handover.models import WordingBlock
from handover.outdated import outdated
from handover.sheet import SheetContent
from tests.handover import sheet_examples as examples
from tests.handover.buyers import issue
from tests.house import NOW
from workshop.core import http
from workshop.core.acts import Refused, Stale
from workshop.core.models import JournalEntry
from workshop.desk.services import undo_entry

LID = "caution | The lid is sharp. | Lift it by its tab."


def sheet(job, language="en"):
    return compose.sheet(job, number=9, issued_on=NOW.date(), language=language)


def edit(client, block, language="en", **typed):
    return client.post(reverse("handover:wording_edit", args=[block, language]), {"version": 0, **typed})


def test_every_block_has_its_place_and_its_rule():
    assert set(BLOCKS) == set(BlockName.values)


def test_our_words_stand_until_a_workshop_says_its_own(shop):
    known = wording.of("en")

    assert known.lines(BlockName.AFTER_USE, ("Rinse",)) == ("Rinse",)
    assert known.text(BlockName.CALL, ours.call()) == "Stuck? Call us first"
    assert known.safety == ()


def test_own_words_are_of_one_language_and_name_the_machines_own_tap(act, shop):
    wording.change(act(), BlockName.MILK, "de", 0, "[steam] kurz auf\nKanne schräg halten")

    assert wording.of("de").lines(BlockName.MILK, (), steam="Drehknopf") == (
        "Drehknopf kurz auf",
        "Kanne schräg halten",
    )
    assert wording.of("en").lines(BlockName.MILK, ("ours",)) == ("ours",)


def test_safety_words_are_added_to_ours(act, shop):
    wording.change(act(), BlockName.SAFETY, "en", 0, LID)

    (added,) = wording.of("en").safety
    assert (added.signal, added.hazard, added.avoid) == ("CAUTION", "The lid is sharp.", "Lift it by its tab.")


@pytest.mark.parametrize(
    ("block", "words", "sentence"),
    [
        (BlockName.CALL, "Call us any time of the day or of the night", "A line has room for 22."),
        (BlockName.CALL, "Call us\nat once", "There is room for 1 lines"),
        (BlockName.MILK, "Open [stem]", "Nothing is called [stem] here."),
        (BlockName.SAFETY, "It is hot", "wants three parts"),
        (BlockName.SAFETY, "BEWARE | It is hot. | Wait.", "is no signal word"),
        (BlockName.SAFETY, "CAUTION | It is hot. |", "wants three parts"),
        (BlockName.AFTER_USE, "  \n ", "Type your words"),
    ],
)
def test_words_that_cannot_be_printed_are_refused_with_a_sentence(act, shop, block, words, sentence):
    with pytest.raises(Refused, match=sentence.replace("[", r"\[")):
        wording.change(act(), block, "en", 0, words)
    assert not WordingBlock.objects.exists()


def test_back_to_ours_and_undo_of_both(act, shop, owner):
    worded = wording.change(act("a"), BlockName.CALL, "en", 0, "Call Ana")
    row = WordingBlock.objects.get()
    back = wording.back_to_ours(act("b"), row)
    assert wording.of("en").text(BlockName.CALL, "ours") == "ours"

    undo_entry(act("c"), back)
    assert wording.of("en").text(BlockName.CALL, "ours") == "Call Ana"
    undo_entry(act("d"), worded)
    assert wording.of("en").text(BlockName.CALL, "ours") == "ours"


def test_undo_of_a_wording_that_was_worded_again_is_refused(act, shop):
    first = wording.change(act("a"), BlockName.CALL, "en", 0, "Call Ana")
    wording.change(act("b"), BlockName.CALL, "en", 1, "Call Sam")

    with pytest.raises(Refused, match="worded again since"):
        undo_entry(act("c"), first)
    with pytest.raises(Refused, match="our words already"):
        wording.back_to_ours(act("e"), WordingBlock(words=""))


def test_a_stale_page_changes_nothing(act, shop):
    wording.change(act("a"), BlockName.CALL, "en", 0, "Call Ana")

    with pytest.raises(Stale):
        wording.change(act("b"), BlockName.CALL, "en", 0, "Call Sam")
    assert WordingBlock.objects.get().words == "Call Ana"


def test_the_page_shows_ours_beside_theirs_in_the_language_asked_for(client_in, act):
    wording.change(act(), BlockName.CALL, "de", 0, "Ruf uns an")

    english = client_in.get(reverse("handover:wordings")).content.decode()
    german = client_in.get(reverse("handover:wordings") + "?language=de").content.decode()
    assert "Ruf uns an" not in english
    assert "Ruf uns an" in german
    assert "Yours, printed" in german
    assert "Electric shock" in english
    assert client_in.get(reverse("handover:wordings") + "?language=xx").status_code == 200


def test_a_look_prints_what_was_typed_and_keeps_nothing(client_in):
    seen = edit(client_in, "MILK", words="Swirl it <gently>", look="1")

    assert seen.status_code == 200
    assert "<li>Swirl it &lt;gently&gt;</li>" in seen.content.decode()
    assert not WordingBlock.objects.exists()


def test_the_added_safety_line_is_seen_under_ours_before_it_is_saved(client_in):
    page = edit(client_in, "SAFETY", words=LID, look="1").content.decode()
    printed = page[page.index('id="printed"') :]

    assert printed.index("Never open the case.") < printed.index("The lid is sharp.")


def test_the_call_is_seen_on_the_tag_with_the_day(client_in, monkeypatch):
    monkeypatch.setattr(http, "today", lambda: date(2026, 5, 14))
    page = edit(client_in, "CALL", words="Ring us first", look="1").content.decode()

    assert "Issued 14 May 2026" in page[page.index('id="printed"') :].replace("\xa0", " ")


def test_saving_and_going_back_by_the_buttons(client_in):
    saved = edit(client_in, "CALL", words="Call Ana", key="k1")
    assert (saved.status_code, saved["Location"]) == (302, reverse("handover:wordings") + "?language=en")
    assert edit(client_in, "CALL", words="Call Ana", key="k1").status_code == 302  # pressed twice
    assert JournalEntry.objects.filter(verb="word_block").count() == 1

    back = client_in.post(reverse("handover:wording_back", args=["CALL", "en"]), {"key": "k2"})
    assert back.status_code == 302
    assert client_in.post(reverse("handover:wording_back", args=["CALL", "en"]), {"key": "k3"}).status_code == 422


def test_typed_words_that_do_not_fit_stay_in_their_box(client_in):
    refused = edit(client_in, "CALL", words="x" * 40)

    assert refused.status_code == 422
    assert "x" * 40 in refused.content.decode()
    assert "A line has room for 22." in refused.content.decode()


@pytest.mark.parametrize("path", ["wording/NOTHING/en/", "wording/MILK/xx/", "wording/milk/en/"])
def test_unknown_blocks_and_languages_are_not_there(client_in, path):
    assert client_in.get(f"/our-workshop/{path}").status_code == 404


def test_only_the_owner_words(technician_in):
    for path in (reverse("handover:wordings"), reverse("handover:wording_edit", args=["MILK", "en"])):
        assert technician_in.get(path).status_code == 403
    assert edit(technician_in, "MILK", words="x").status_code == 403
    assert technician_in.post(reverse("handover:wording_back", args=["MILK", "en"])).status_code == 403


def test_wording_asks_equally_often_for_no_words_and_for_all(client_in, act, django_assert_max_num_queries):
    for name in BLOCKS:
        words = LID if name == "SAFETY" else "Short words"
        wording.change(act(name), BlockName(name), "en", 0, words)
    with django_assert_max_num_queries(8):
        client_in.get(reverse("handover:wordings"))


def test_a_sheet_issued_from_now_on_carries_the_words_and_one_issued_before_stays(monkeypatch, demo, ready):
    before = issue(monkeypatch, demo, ready).sheet.content
    owner = demo.owner
    for block, words in {
        BlockName.CALL: "Ring us, 9 to 17",
        BlockName.SAFETY: LID,
        BlockName.MILK: "[steam], a short burst\n[jug]\nSwirl it",
        BlockName.AFTER_USE: "Rinse everything",
        BlockName.NEVER: "Never without water.",
        BlockName.WARRANTY: "We mend it.",
    }.items():
        wording.change(demo.act(0, owner), block, "en", 0, words)

    link = issue(monkeypatch, demo, ready)
    content = SheetContent.from_json(link.sheet.content)
    assert content.call == "Ring us, 9 to 17"
    assert content.safety[-1].hazard == "The lid is sharp."
    assert len(content.safety) == len(SheetContent.from_json(before).safety) + 1
    assert content.milk[0] == "Right tap, a short burst"
    assert content.milk[-1] == "Swirl it"
    assert content.after_use[-1] == "Rinse everything"
    assert content.never[-1] == "Never without water."
    assert len(content.never) > 1
    assert f"We mend it. {buyer_rights.beside_warranty('GB')}" in "".join(run.words for run in content.warranty)
    assert ready.sheets.order_by("number").first().content == before

    monkeypatch.setattr(http, "today", lambda: NOW.date())
    page = Client().get(reverse("handover:buyer_page", args=[link.token])).content.decode()
    for words in ("Ring us, 9 to 17", "The lid is sharp.", "Swirl it", "Never without water.", "We mend it."):
        assert words in page


def test_another_language_keeps_our_words(ready, demo):
    wording.change(demo.act(0, demo.owner), BlockName.AFTER_USE, "en", 0, "Rinse everything")

    assert "Rinse everything" in sheet(ready).after_use
    assert "Rinse everything" not in sheet(ready, "de").after_use


def test_a_new_wording_asks_for_no_new_sheet(monkeypatch, demo, ready):
    link = issue(monkeypatch, demo, ready)
    wording.change(demo.act(0, demo.owner), BlockName.AFTER_USE, "en", 0, "Rinse everything")

    assert outdated(ready, link.sheet) == ""


def test_a_line_whose_word_a_machine_has_not_is_left_out():
    assert wording.lines_of("[jug]\nSwirl it", jug="") == ("Swirl it",)


@pytest.mark.parametrize("language", ["en", "de", "fr", "it", "es"])
@pytest.mark.parametrize("block", list(BLOCKS))
def test_our_words_fit_their_own_place_in_every_language(shop, block, language):
    lines = wording_page.our_lines(BlockName(block), shop, language)
    rule = BLOCKS[block]
    if not rule.added and (block != "CALL" or language == "en"):  # the others are looked at on the paper
        assert len(lines) <= rule.most_lines
        assert [line for line in lines if len(line) > rule.line_signs] == []


def test_a_sheet_once_read_without_the_workshops_call_is_read_still():
    old = examples.heat_exchanger().to_json().replace(' "call": "",\n', "")
    assert SheetContent.from_json(old).call == ""
