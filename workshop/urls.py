"""All addresses. A few names without a namespace are the only ones lower floors may reverse upward."""

from django.urls import include, path

from handover import tag_views
from workshop.core.views import door

urlpatterns = [
    path("health/", door.health, name="health"),
    path("sign-in/", door.sign_in, name="sign_in"),
    path("sign-out/", door.sign_out, name="sign_out"),
    path("first-run/", door.first_run, name="first_run"),
    path("machines/<slug:name>/tag.pdf", tag_views.machine_tag_pdf, name="machine_tag_pdf"),
    path("machines/<slug:name>/do-not-use.pdf", tag_views.do_not_use_pdf, name="do_not_use_pdf"),
    path("", include("workshop.core.urls")),
    path("", include("intake.urls")),
    path("", include("workshop.parts.urls")),
    path("", include("workshop.bench.urls")),
    path("", include("workshop.pricing.urls")),
    path("", include("handover.urls")),
    path("", include("workshop.desk.urls")),
]
