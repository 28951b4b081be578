"""Addresses of this app."""

from django.urls import path

from workshop.pricing.views import decide, endings, lines, most_to_pay, payments, price

app_name = "pricing"
MACHINE = "machines/<slug:name>/"
urlpatterns = [
    path("most-to-pay/", most_to_pay.most_to_pay, name="most_to_pay"),
    path("most-to-pay/<int:pk>/", most_to_pay.sighting, name="sighting"),
    path("most-to-pay/<int:pk>/buy/", most_to_pay.sighting_buy, name="sighting_buy"),
    path("most-to-pay/<int:pk>/drop/", most_to_pay.sighting_drop, name="sighting_drop"),
    path("most-to-pay/<int:pk>/take-up/", most_to_pay.sighting_take_up, name="sighting_take_up"),
    path(MACHINE + "price/", price.price, name="price"),
    path(MACHINE + "price/asking/", price.asking_set, name="asking_set"),
    path(MACHINE + "price/extras/add/", price.extra_add, name="extra_add"),
    path(MACHINE + "price/extras/<int:pk>/strike/", price.extra_strike, name="extra_strike"),
    path(MACHINE + "price/no-work/", price.no_work_own, name="no_work_own"),
    path(MACHINE + "price/same-as-arrived/", price.second_look_same, name="second_look_same"),
    path(MACHINE + "price/sign-off/", price.price_sign_off, name="price_sign_off"),
    path(MACHINE + "decide/", decide.decide, name="decide"),
    path(MACHINE + "decide/try/", decide.decide_try, name="decide_try"),
    path(MACHINE + "decide/choose/", decide.decide_choose, name="decide_choose"),
    path(MACHINE + "strip/", endings.strip, name="strip"),
    path(MACHINE + "scrap/", endings.scrap, name="scrap"),
    path(MACHINE + "give-back/", endings.give_back, name="give_back"),
    path(MACHINE + "keep/", endings.keep, name="keep"),
    path(MACHINE + "ended/", endings.ended, name="ended"),
    path(MACHINE + "payments/", payments.payments, name="payments"),
    path(MACHINE + "payments/sales/<int:pk>/add/", payments.payment_add, name="payment_add"),
    path(MACHINE + "payments/sales/<int:pk>/extras/add/", lines.line_add, name="line_add"),
    path(MACHINE + "payments/extras/<int:pk>/", lines.line_edit, name="line_edit"),
    path(MACHINE + "payments/extras/<int:pk>/strike/", lines.line_strike, name="line_strike"),
    path(MACHINE + "payments/<int:pk>/strike/", payments.payment_strike, name="payment_strike"),
    path(MACHINE + "payments/seller/owe/", payments.seller_owe, name="seller_owe"),
    path(MACHINE + "payments/seller/pay/", payments.seller_pay, name="seller_pay"),
]
