"""Addresses of the bench."""

from django.urls import path

from workshop.bench.views import as_found, clean, mend, prove, recipe, shots

app_name = "bench"
MACHINE = "machines/<slug:name>/"
urlpatterns = [
    path(MACHINE + "clean/", clean.clean, name="clean"),
    path(MACHINE + "clean/add/", clean.clean_add, name="clean_add"),
    path(MACHINE + "clean/descale/", clean.descale_add, name="descale_add"),
    path(MACHINE + "clean/descale/as-usual/", clean.descale_as_usual, name="descale_as_usual"),
    path(MACHINE + "clean/descale/not-needed/", clean.descale_not_needed, name="descale_not_needed"),
    path(MACHINE + "clean/rinse/", clean.rinse_add, name="rinse_add"),
    path(MACHINE + "clean/rinse/as-computed/", clean.rinse_as_computed, name="rinse_as_computed"),
    path(MACHINE + "clean/residual/", clean.residual_check, name="residual_check"),
    path(MACHINE + "clean/flush/", clean.flush_add, name="flush_add"),
    path(MACHINE + "clean/<slug:kind>/<int:pk>/strike/", clean.run_strike, name="run_strike"),
    path(MACHINE + "clean/sign-off/", clean.clean_sign_off, name="clean_sign_off"),
    path(MACHINE + "mend/", mend.mend, name="mend"),
    path(MACHINE + "mend/findings/<int:pk>/", mend.finding_end, name="finding_end"),
    path(MACHINE + "mend/seals/<int:pk>/", mend.seal_answer, name="seal_answer"),
    path(MACHINE + "mend/seals/keep/", mend.other_seals_keep, name="other_seals_keep"),
    path(MACHINE + "mend/seals/inside/", mend.inside_seals_leave, name="inside_seals_leave"),
    path(MACHINE + "mend/ring/", mend.ring_match, name="ring_match"),
    path(MACHINE + "mend/work/", mend.work_add, name="work_add"),
    path(MACHINE + "mend/work/<int:pk>/strike/", mend.work_strike, name="work_strike"),
    path(MACHINE + "mend/case/open/", mend.case_open, name="case_open"),
    path(MACHINE + "mend/case/shut/", mend.case_shut, name="case_shut"),
    path(MACHINE + "mend/sign-off/", mend.mend_sign_off, name="mend_sign_off"),
    path(MACHINE + "as-found/<slug:item>/answer/", as_found.as_found_answer, name="as_found_answer"),
    path(MACHINE + "as-found/answers/<int:pk>/strike/", as_found.as_found_strike, name="as_found_strike"),
    path(MACHINE + "as-found/seen-running/", as_found.seen_running_add, name="seen_running_add"),
    path(MACHINE + "as-found/seen-running/<int:pk>/strike/", as_found.seen_running_strike, name="seen_running_strike"),
    path(MACHINE + "as-found/cleared/", as_found.bag_clear, name="bag_clear"),
    path(MACHINE + "prove/", prove.prove, name="prove"),
    path(MACHINE + "prove/sign-off/", prove.prove_sign_off, name="prove_sign_off"),
    path(MACHINE + "cards/<slug:card>/", prove.card, name="card"),
    path(MACHINE + "cards/<slug:card>/<slug:item>/read/", prove.reading_add, name="reading_add"),
    path(MACHINE + "cards/<slug:card>/<slug:item>/skip/", prove.item_skip, name="item_skip"),
    path(MACHINE + "cards/<slug:card>/<slug:item>/stop/", prove.unit_stop, name="unit_stop"),
    path(MACHINE + "cards/<slug:card>/readings/<int:pk>/strike/", prove.reading_strike, name="reading_strike"),
    path(MACHINE + "do-not-use/", prove.do_not_use, name="do_not_use"),
    path(MACHINE + "shots/", shots.shots, name="shots"),
    path(MACHINE + "shots/add/", shots.shot_add, name="shot_add"),
    path(MACHINE + "shots/<int:pk>/strike/", shots.shot_strike, name="shot_strike"),
    path(MACHINE + "recipe/", recipe.recipe_set, name="recipe_set"),
]
