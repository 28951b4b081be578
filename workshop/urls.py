"""All addresses. A few names without a namespace are the only ones lower floors may reverse upward."""

from django.urls import include, path

from workshop.core import views as core_views

urlpatterns = [
    path("health/", core_views.health, name="health"),
    path("sign-in/", core_views.sign_in, name="sign_in"),
    path("sign-out/", core_views.sign_out, name="sign_out"),
    path("first-run/", core_views.first_run, name="first_run"),
    path("", include("workshop.core.urls")),
    path("", include("intake.urls")),
    path("", include("workshop.parts.urls")),
    path("", include("workshop.bench.urls")),
    path("", include("workshop.pricing.urls")),
    path("", include("handover.urls")),
    path("", include("workshop.desk.urls")),
]
