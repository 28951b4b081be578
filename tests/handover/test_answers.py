"""Questions and answers on the buyer's page: ours, theirs, for which machines, in which language."""

import pytest
from django.test import Client
from django.urls import reverse

from handover import answers, buyer_links, messages
from handover.answers_ours import OURS
from handover.models import BuyerMessage, HelpAnswer
from handover.words import Language
from tests.factories import ModelNotesFactory
from tests.house import NOW
from workshop.core.acts import Refused, Stale
from workshop.desk.services import undo_entry
from workshop.trade.sources import Source

TYPED = {"question": "It hums.", "answer": "It may.", "position": 5, "on_page": True}


@pytest.fixture
def notes(db):
    return ModelNotesFactory(kind="HEAT_EXCHANGER", has_steam=True)


@pytest.fixture
def grinder(db):
    return ModelNotesFactory(kind="GRINDER", has_steam=False)


def questions(notes, language="en"):
    return [entry.question for entry in answers.shown(notes, language)]


def test_ours_are_there_from_the_first_day_each_with_its_sources(notes):
    assert len(questions(notes)) == len(OURS) >= 6
    assert all(isinstance(source, Source) for one in OURS.values() for source in one.sources)
    assert all(one.sources for one in OURS.values())


def test_every_figure_in_ours_is_one_of_the_trades():
    # 10 s to let the pressure down: house policy; 200 mg/L: WHO (W-13); 7 days: HSG274 (S-26); 60 °C: C-18.
    told = " ".join(one.answer().replace("\u00a0", " ") for one in OURS.values())
    assert [word for word in told.split() if word[0].isdigit()] == ["10", "200", "7", "60"]


def test_a_grinder_alone_hears_of_grinding_only(notes, grinder):
    assert questions(grinder) == ["It runs out fast and tastes thin or sour.", "It only drips, or tastes bitter."]
    notes.has_steam = False
    assert "My milk tastes burnt." not in questions(notes)


def test_an_own_answer_stands_in_its_place_for_its_kind_or_model(act, notes, grinder):
    answers.add(act("a"), "en", TYPED | {"which": "kind-GRINDER"})
    answers.add(act("b"), "en", TYPED | {"question": "Of this model", "which": f"model-{notes.pk}"})
    answers.add(act("c"), "en", TYPED | {"question": "Of all", "which": "", "position": 999})

    assert questions(grinder)[0] == "It hums."
    assert questions(notes)[0] == "Of this model"
    assert questions(notes)[-1] == questions(grinder)[-1] == "Of all"
    assert "Of all" not in questions(notes, "de")


def test_one_of_ours_is_worded_moved_taken_off_and_ours_again(act, notes):
    one = OURS["hard"]
    answers.word_ours(act("a"), one, "en", 0, TYPED)
    assert questions(notes)[0] == "It hums."

    row = HelpAnswer.objects.get()
    answers.word_ours(act("b"), one, "en", row.version, TYPED | {"on_page": False})
    assert "It hums." not in questions(notes)

    row.refresh_from_db()
    answers.back_to_ours(act("c"), row)
    assert questions(notes).index("Is my water too hard?") == 4
    with pytest.raises(Refused, match="ours already"):
        answers.back_to_ours(act("d"), row)


def test_ours_moved_but_not_worded_still_speaks_every_release(act, notes):
    one = OURS["hard"]
    answers.word_ours(
        act(), one, "en", 0, {"question": str(one.question), "answer": one.answer(), "position": 1, "on_page": True}
    )

    assert questions(notes)[0] == "Is my water too hard?"
    assert HelpAnswer.objects.get().question == ""


def test_changes_of_answers_are_undone(act, notes):
    added = answers.add(act("a"), "en", TYPED | {"which": ""})
    row = HelpAnswer.objects.get()
    changed = answers.change(act("b"), row, row.version, TYPED | {"question": "It hums loudly.", "which": ""})
    assert "It hums loudly." in questions(notes)

    undo_entry(act("c"), changed)
    assert "It hums." in questions(notes)
    undo_entry(act("d"), added)
    assert "It hums." not in questions(notes)


def test_a_stale_answer_changes_nothing(act, notes):
    answers.add(act("a"), "en", TYPED | {"which": ""})
    row = HelpAnswer.objects.get()
    with pytest.raises(Stale):
        answers.change(act("b"), row, 99, TYPED | {"question": "Other", "which": ""})
    answers.word_ours(act("c"), OURS["hard"], "en", 0, TYPED)
    with pytest.raises(Stale):
        answers.word_ours(act("d"), OURS["hard"], "en", 0, TYPED | {"answer": "Other"})


def test_the_list_and_its_forms(client_in, act):
    page = client_in.get(reverse("handover:answers_list")).content.decode()
    assert "Is my water too hard?" in page
    assert "Source W-13" in page

    saved = client_in.post(
        reverse("handover:answer_add") + "?language=de",
        {"question": "Es brummt.", "answer": "Das darf es.", "position": "5", "on_page": "on", "which": "", "key": "k"},
    )
    assert saved["Location"].endswith("?language=de")
    row = HelpAnswer.objects.get()
    assert (row.language, row.question) == ("de", "Es brummt.")

    off = client_in.post(
        reverse("handover:answer_edit", args=[row.pk]),
        {"question": "Es brummt.", "answer": "Das darf es.", "position": "5", "which": "", "version": row.version},
    )
    assert off.status_code == 302
    assert "not shown" in client_in.get(reverse("handover:answers_list") + "?language=de").content.decode()


def test_ours_by_the_buttons(client_in):
    address = reverse("handover:answer_ours", args=["hard", "fr"])
    typed = {"question": "Q", "answer": "R", "position": "50", "on_page": "on", "version": "0"}
    assert client_in.post(address, typed).status_code == 302
    assert client_in.post(address, typed).status_code == 409
    assert client_in.post(reverse("handover:answer_back", args=["hard", "fr"]), {"key": "b"}).status_code == 302
    refused = client_in.post(reverse("handover:answer_back", args=["hard", "fr"]), {"key": "c"})
    assert refused.status_code == 422
    assert "ours already" in refused.content.decode()


@pytest.mark.parametrize("path", ["answers/nothing/en/", "answers/hard/xx/", "answers/99/", "answers/add/?message=99"])
def test_unknown_answers_are_not_there(client_in, path):
    assert client_in.get(f"/our-workshop/{path}").status_code == 404


def test_a_missing_question_is_asked_for_and_nothing_typed_is_lost(client_in):
    refused = client_in.post(reverse("handover:answer_add"), {"answer": "Because.", "position": "0"})

    page = refused.content.decode()
    assert refused.status_code == 422
    assert "Type an answer here." in page
    assert "Because." in page
    assert "This is under 1." in page


def test_only_the_owner_edits_answers(technician_in):
    for path in (reverse("handover:answers_list"), reverse("handover:answer_add")):
        assert technician_in.get(path).status_code == 403
        assert technician_in.post(path).status_code in (302, 403, 405)
    assert not HelpAnswer.objects.exists()


@pytest.fixture
def link(today, link):
    return link


def test_the_buyers_page_answers_under_something_is_wrong_without_scripts(demo, link):
    answers.add(demo.act(0, demo.owner), "en", TYPED | {"question": "It <hums>.", "which": ""})

    page = Client().get(reverse("handover:buyer_page", args=[link.token])).content.decode()

    assert page.index(">Something is wrong</a>") < page.index("Often asked") < page.index("Stay safe")
    assert "It &lt;hums&gt;." in page
    assert "My milk tastes burnt." in page


def test_a_message_that_was_answered_becomes_an_answer(demo, link):
    message = buyer_links.write_to_us(link, NOW, key="k", trouble="NOISE", since="Tuesday", words="Why does it hum?")
    messages.answer(demo.act(0, demo.owner), link.job, message, words="The pump hums; a rattle does not belong.")
    ana, sam = Client(), Client()
    ana.force_login(demo.owner)
    sam.force_login(demo.technician)
    station = reverse("handover:handover", args=[link.job.machine.slug])
    address = f"{reverse('handover:answer_add')}?message={message.pk}"

    assert address in ana.get(station).content.decode()
    assert address not in sam.get(station).content.decode()
    page = ana.get(address).content.decode()
    assert 'value="Why does it hum?"' in page
    assert "The pump hums; a rattle does not belong." in page
    assert BuyerMessage.objects.count() == 1


def test_every_language_has_its_list(client_in):
    for language in Language.values:
        assert client_in.get(f"{reverse('handover:answers_list')}?language={language}").status_code == 200
