"""A sold machine that is the workshop's again closes its buyer's page, and opens it when that is undone."""

from datetime import date

from django.urls import reverse

from handover import buyer_links
from handover.models import BuyerLink, Sheet
from tests.factories import JobFactory
from tests.handover.distances import LEFT, at_noon, cancelled, leave
from workshop.core.models import Job
from workshop.pricing import services
from workshop.pricing.models import Ending

BACK = date(2026, 3, 9)


def with_page(owner, row):
    sheet = Sheet.objects.get(job=row.job)
    return BuyerLink.objects.create(
        job=row.job, sheet=sheet, token="k" * 40, expires_on=date(2028, 3, 2), made_at=at_noon(LEFT), made_by=owner
    )


def back_here(row):
    return JobFactory(machine=row.job.machine, kind="CAME_BACK", cause="CHANGED_MIND", first_job=row.job)


def opens(link):
    return buyer_links.opened(link.token, BACK) is not None


def test_the_page_closes_once_a_cancelled_machine_is_here_and_stays_closed_as_kept(owner, row, acting, client_in):
    cancelled(owner, row, acting)
    link = with_page(owner, row)
    assert opens(link)  # it is still with its buyer

    back = back_here(row)
    assert not opens(link)
    assert client_in.get(reverse("handover:buyer_page", args=[link.token])).status_code == 404
    page = client_in.get(reverse("handover:handover", args=[row.job.machine.slug])).content.decode()
    assert "Closed: the machine is yours again" in page
    assert link.token not in page

    services.keep(acting(BACK), back, words="sold again under a new log")
    assert not opens(link)


def test_kept_by_agreement_it_closes_too_and_opens_again_with_the_undo(owner, row, acting):
    leave(owner, row)
    link, back = with_page(owner, row), back_here(row)
    assert opens(link)  # its buyer's, here for a repair

    services.keep(acting(BACK), back, words="we bought it back")
    assert not opens(link)

    services.take_back_ending(acting(BACK), Ending.objects.get())
    assert opens(link)


def test_given_back_it_stays_open(owner, row, acting):
    leave(owner, row)
    link, back = with_page(owner, row), back_here(row)
    Job.objects.filter(pk=back.pk).update(closed_at=at_noon(BACK), closed_by=owner, closed_as="GIVEN_BACK")

    assert opens(link)
