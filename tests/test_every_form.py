"""Every page of the demo opens, and every form on it survives what a tired or a hostile hand can type."""

import pytest
from django.apps import apps
from django.db import transaction
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from demo_fixtures import scenario
from tests import house
from workshop.core.models import User

REFUSED = (400, 403, 404, 405, 409, 422)
ODD = st.sampled_from(
    ["", " ", "0", "-1", "1e9", "NaN", "Infinity", "1,5", "12.5.5", "9" * 20, "£12", "half past 2", "25:99",
     "2026-02-30", "9999-12-31", "on", "\x00", "ß𝔘łé\u202e", "'; DROP TABLE core_job; --", "<b>x</b>", "x" * 5000]
)  # fmt: skip
TYPED = ODD | st.text(max_size=40) | st.integers(-10, 10_000).map(str) | st.decimals(-5, 500, places=2).map(str)


@pytest.fixture
def demo_house(db: None) -> Client:
    scenario.lay(house.NOW)
    client = Client(raise_request_exception=True)
    client.force_login(User.objects.get(role="OWNER"))
    return client


def rows() -> dict[str, int]:
    """Count the rows of every table of ours."""
    ours = [m for m in apps.get_models() if m.__module__.split(".")[0] in ("workshop", "intake", "handover")]
    return {model._meta.label: model._default_manager.count() for model in ours}


def test_every_page_opens_and_every_form_refuses_bad_input_without_storing_half_of_it(demo_house: Client) -> None:
    forms: dict[tuple[str, tuple[str, ...]], house.SeenForm] = {}
    opened = []
    for path, response, found in house.walk(demo_house):
        assert response.status_code in (200, 302), f"{path}: {response.status_code}"
        opened.append(path)
        forms.update({form.kind: form for form in found if form.method == "post" and "sign-out" not in form.action})
    assert len(opened) > 40
    assert len(forms) > 25

    for form in forms.values():
        _survives(demo_house, form)


def _survives(client: Client, form: house.SeenForm) -> None:
    names = [name for name in form.fields if name != "csrfmiddlewaretoken"]

    @settings(max_examples=3, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(st.fixed_dictionaries({}, optional=dict.fromkeys(names, TYPED)))
    def typed(data: dict[str, str]) -> None:
        with transaction.atomic():
            before = rows()
            response = client.post(form.action, data)
            assert response.status_code in (200, 302, *REFUSED), f"{form.action} {data}: {response.status_code}"
            if response.status_code in REFUSED:
                assert rows() == before, f"{form.action} {data} stored something and refused"
            transaction.set_rollback(True)

    typed()
