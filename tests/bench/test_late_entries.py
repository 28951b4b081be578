"""Read at a wet bench, entered afterwards: both times are kept and printed, and none is taken that cannot be so."""

from datetime import time, timedelta
from typing import Any

import pytest
from django.urls import reverse

from tests.conftest import NOON
from workshop.bench import say, tempo
from workshop.bench.facts.prove import ItemState
from workshop.core.acts import Refused
from workshop.core.models import JournalEntry, Reading

CARD = "cards/safe-to-power"


def local(minutes: int) -> time:
    """The time of day so many minutes after noon, on the workshop's clock."""
    return say.timezone.localtime(NOON + timedelta(minutes=minutes)).time()


def clock(minutes: int) -> str:
    return f"{local(minutes):%H:%M}"


def test_a_late_entry_keeps_and_says_both_times(bench: Any) -> None:
    bench.read("case_shut")
    bench.minutes = 100
    row = bench.read("earth", "0.09", read_at=local(30))

    assert (row.at, row.read_at) == (NOON + timedelta(minutes=101), NOON + timedelta(minutes=30))
    assert say.by_words_at(row).endswith(f"entered {clock(101)} for {clock(30)}")
    assert JournalEntry.objects.latest("pk").sentence == f"Recorded {row}, read at {clock(30)}"
    assert bench.state("earth") is ItemState.PASSED


def test_a_reading_entered_as_it_is_read_has_one_time(bench: Any) -> None:
    row = bench.read("case_shut")
    assert row.read_at is None
    assert row.done_at == row.at
    assert "entered" not in say.by_words_at(row)


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        (120, "has not come yet"),
        (5, "The case was opened after that"),
    ],
)
def test_a_time_that_cannot_be_so_is_refused_beside_its_box(bench: Any, said: int, sentence: str) -> None:
    bench.minutes = 9
    bench.open_case()
    bench.minutes = 19
    bench.shut_case()
    bench.read("case_shut")
    bench.minutes = 50
    with pytest.raises(Refused, match=sentence) as refused:
        bench.read("earth", "0.09", read_at=local(said))
    assert refused.value.field == "read_at"
    assert not Reading.objects.filter(item="earth").exists()


def test_what_was_read_later_is_not_overtaken(bench: Any) -> None:
    bench.minutes = 40
    bench.read("visual")
    with pytest.raises(Refused, match=f"read after that, at {clock(41)}"):
        bench.read("visual", answer="bad", read_at=local(20))


def test_a_whole_card_entered_late_is_no_rush(bench: Any) -> None:
    bench.minutes = 60
    for code in ("case_shut", "visual"):
        bench.read(code, read_at=local(20))
        bench.minutes = 60  # all of them within the same minute
    bench.read("earth", "0.09", read_at=local(21))
    assert tempo.questions(bench.job, bench.facts) == []


def test_the_box_stands_on_the_card_and_its_refusal_too(client_in: Any, kettle: str, bench: Any) -> None:
    page = client_in.get(f"/machines/{kettle}/{CARD}/?item=case_shut").content.decode()
    assert "Read earlier today, at" in page
    where = reverse("bench:reading_add", args=[kettle, "safe-to-power", "case_shut"])
    newest = {"version": 0, "answer": "good"}

    refused = client_in.post(where, newest | {"read_at": "half three"})
    assert refused.status_code == 422
    assert "Type a time of day, like 14:30." in refused.content.decode()
    assert not Reading.objects.exists()
    assert client_in.post(where, newest | {"read_at": "00:00"}).status_code == 302
    assert Reading.objects.get().read_at is not None
