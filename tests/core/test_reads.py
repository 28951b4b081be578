"""Facts are read once for a page that is looked at, and anew at every press."""

import pytest
from django.test import RequestFactory

from workshop.core import reads
from workshop.core.middleware import LookingMiddleware


@pytest.fixture
def asked():
    return []


@pytest.fixture
def read(asked):
    @reads.once_a_page
    def facts(job_ids):
        asked.append(list(job_ids))
        return {pk: f"fact {len(asked)}" for pk in job_ids}

    return facts


def test_a_page_looked_at_reads_each_set_of_jobs_once(read, asked):
    with reads.looking():
        assert read([2, 1]) == read([1, 2]) == {1: "fact 1", 2: "fact 1"}
        read([1])

    assert asked == [[2, 1], [1]]


def test_what_one_caller_adds_is_not_anothers(read):
    with reads.looking():
        read([1])[9] = "mine"
        assert read([1]) == {1: "fact 1"}


def test_the_next_page_reads_again(read):
    for expected in ("fact 1", "fact 2"):
        with reads.looking():
            assert read([1]) == {1: expected}


@pytest.mark.parametrize(("method", "read_times"), [("get", 1), ("head", 1), ("post", 2)])
def test_only_looking_keeps_what_was_read(read, asked, method, read_times):
    def answer(request):
        read([1])
        read([1])

    LookingMiddleware(answer)(getattr(RequestFactory(), method)("/"))

    assert len(asked) == read_times
