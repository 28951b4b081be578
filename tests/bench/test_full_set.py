"""The full set by request; photos of cut-outs; the do-not-use tag at every failed stop item."""

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from intake.undo import UNDO as INTAKE_UNDO
from tests.bench import factories
from tests.intake.pictures import jpeg
from workshop.bench import pages_prove
from workshop.bench.models import ItemPhoto, ProveBasis
from workshop.bench.services import basis
from workshop.bench.undo import UNDO
from workshop.core.acts import Refused
from workshop.core.models import JournalEntry


def test_the_full_set_may_be_asked_for_and_taken_back(bench: Any) -> None:
    basis.ask_full_set(bench.act(at=bench.now()), bench.job, because="it goes to a café")
    assert (bench.facts.full, bench.facts.full_because) == (True, "it goes to a café")
    with pytest.raises(Refused, match="asked already"):
        basis.ask_full_set(bench.act(at=bench.now()), bench.job, because="again")
    basis.short_set(bench.act(at=bench.now()), bench.job)
    assert not bench.facts.full
    with pytest.raises(Refused, match="Nobody asked"):
        basis.short_set(bench.act(at=bench.now()), bench.job)


def test_the_full_set_asked_for_wants_no_heat_cycles(bench: Any) -> None:
    basis.ask_full_set(bench.act(at=bench.now()), bench.job, because="it goes to a café")
    asked = {standing.item.code for standing in bench.facts.asked()}
    assert {"insulation_hot", "brew_water", "steam_power"} <= asked
    assert "heat_cycle_1" not in bench.facts.states


@pytest.mark.parametrize(("from_minor", "named"), [(None, False), (50000, True)])
def test_the_short_set_names_our_price_figure_where_there_is_one(
    bench: Any, shop: Any, from_minor: int | None, named: bool
) -> None:
    shop.full_set_from_minor = from_minor
    shop.save()
    words = pages_prove.set_words(bench.facts)
    assert words.startswith("Short set. It becomes the full set when boiler, pump or wiring is touched")
    assert ("priced at our figure for it" in words) is named
    assert "500" not in words  # a technician does not see prices


def test_what_is_typed_with_its_own_full_stop_gets_no_second_one(client_in: Any, bench: Any, kettle: str) -> None:
    client_in.post(f"/machines/{kettle}/prove/full-set/", {"because": "It goes to a café.", "key": "k"})
    page = client_in.get(f"/machines/{kettle}/prove/").content.decode()
    assert "It goes to a café." in page
    assert ".." not in " ".join(line for line in page.splitlines() if "café" in line)


def test_asking_is_undone_from_the_record(bench: Any) -> None:
    entry = basis.ask_full_set(bench.act(at=bench.now()), bench.job, because="it goes to a café")
    UNDO["ask_full_set"](bench.act(at=bench.now()), entry)
    assert not bench.facts.full


def test_taking_it_back_leaves_the_full_set_of_deep_work(bench: Any) -> None:
    basis.ask_full_set(bench.act(at=bench.now()), bench.job, because="it goes to a café")
    bench.open_case("boiler element")
    basis.short_set(bench.act(at=bench.now()), bench.job)
    assert bench.facts.full


def test_the_page_asks_and_takes_back(client_in: Any, bench: Any, kettle: str) -> None:
    address = f"/machines/{kettle}/prove/full-set/"
    assert client_in.post(address, {"because": ""}).status_code == 422
    for _ in range(2):
        assert client_in.post(address, {"because": "it goes to a café", "key": "k"}).status_code == 302
    assert ProveBasis.objects.count() == 1
    page = client_in.get(f"/machines/{kettle}/prove/").content.decode()
    assert "Full set: it goes to a café." in page
    assert "The short set is enough" in page
    assert client_in.post(f"/machines/{kettle}/prove/full-set/drop/", {"key": "l"}).status_code == 302
    assert "Short set." in client_in.get(f"/machines/{kettle}/prove/").content.decode()


def test_a_photo_of_a_cut_out_belongs_to_its_item(client_in: Any, bench: Any, kettle: str) -> None:
    factories.SafetyPartFactory(notes=bench.job.machine.notes)
    address = f"/machines/{kettle}/cards/before-lid/part-boiler-cut-out/photos/"
    assert client_in.post(address, {}).status_code == 422
    response = client_in.post(address, {"photos": [SimpleUploadedFile("part.jpg", jpeg(), "image/jpeg")], "key": "one"})
    assert (response.status_code, response["Location"].endswith("?item=part-boiler-cut-out")) == (302, True)
    assert ItemPhoto.objects.get().item == "part-boiler-cut-out"
    page = client_in.get(f"/machines/{kettle}/cards/before-lid/?item=part-boiler-cut-out").content.decode()
    assert "Boiler cut-out, 145 °C, photo 1" in page
    entry = JournalEntry.objects.get(verb="add_photos")
    INTAKE_UNDO["add_photos"](bench.act(at=bench.now()), entry)
    page = client_in.get(f"/machines/{kettle}/cards/before-lid/?item=part-boiler-cut-out").content.decode()
    assert "photo 1" not in page


@pytest.mark.parametrize(("code", "value"), [("earth", "9"), ("visual", None)])
def test_every_failed_stop_item_offers_the_do_not_use_tag(
    client_in: Any, bench: Any, kettle: str, code: str, value: str | None
) -> None:
    bench.read(code, value, answer="bad")
    page = client_in.get(f"/machines/{kettle}/cards/safe-to-power/?item={code}").content.decode()
    assert "Print the do-not-use tag" in page
    tag = client_in.get(f"/machines/{kettle}/do-not-use/").content.decode()
    assert "Print it as a label (PDF)" in tag


def test_the_tag_comes_first_and_its_label_says_failed_when_and_by_whom(
    bench: Any, client_in: Any, kettle: str
) -> None:
    bench.make_safe()
    bench.read("earth", "0.9")
    tag = client_in.get(f"/machines/{kettle}/do-not-use/").content.decode()
    assert tag.count('class="stop-block"') == 1
    assert 'class="rail' not in tag
    (row,) = pages_prove.failed(bench.facts)
    assert row["label"] == "Earth path, plug to metal failed. Ana, 12 May"
