"""Addresses of handing over."""

from django.urls import path, re_path

from handover import (
    buyer_views,
    contact_views,
    cue_views,
    link_views,
    pack_views,
    report_views,
    return_views,
    tag_views,
    views,
    views_untested,
)

app_name = "handover"
MACHINE = "machines/<slug:name>/hand-over/"
BUYER = "b/<str:token>/"
urlpatterns = [
    path(BUYER, buyer_views.buyer_page, name="buyer_page"),
    path(BUYER + "care.ics", buyer_views.buyer_calendar, name="buyer_calendar"),
    path(BUYER + "mark-<int:number>.jpg", buyer_views.buyer_photo, name="buyer_photo"),
    path(BUYER + "wrong/", buyer_views.buyer_trouble, name="buyer_trouble"),
    path(BUYER + "wrong/kept/", buyer_views.buyer_kept, name="buyer_kept"),
    path(BUYER + "wrong/unplug/", buyer_views.buyer_unplug, name="buyer_unplug"),
    path("b/<str:token>", buyer_views.buyer_page_typed, name="buyer_page_typed"),
    re_path(r"^b/[\s\S]*$", buyer_views.buyer_nothing, name="buyer_nothing"),  # line breaks and all
    path("tags/", tag_views.tags, name="tags"),
    path("tags/sheet.pdf", tag_views.tags_pdf, name="tags_pdf"),
    path("places/<int:pk>/tag.pdf", tag_views.place_tag_pdf, name="place_tag_pdf"),
    path(MACHINE, views.handover, name="handover"),
    path(MACHINE + "told/", views.told_add, name="told_add"),
    path(MACHINE + "reservation/", views.reservation_add, name="reservation_add"),
    path(MACHINE + "reservation/edit/", views.reservation_edit, name="reservation_edit"),
    path(MACHINE + "reservation/cancel/", views.reservation_cancel, name="reservation_cancel"),
    path(MACHINE + "new/", views.new_since_add, name="new_since_add"),
    path(MACHINE + "received/", views.received_add, name="received_add"),
    path(MACHINE + "cue-cards/<int:number>/", cue_views.cue_card, name="cue_card"),
    path(MACHINE + "cue-cards/end/", cue_views.cue_end, name="cue_end"),
    path(MACHINE + "cue-cards/print/", cue_views.cue_print, name="cue_print"),
    path(MACHINE + "film/", cue_views.film_keep, name="film_keep"),
    path(MACHINE + "film/take-back/", cue_views.film_take_back, name="film_take_back"),
    path(MACHINE + "pack/", pack_views.pack, name="pack"),
    path(MACHINE + "pack/photos/", pack_views.box_photo_add, name="box_photo_add"),
    path(MACHINE + "pack/unpack/", pack_views.unpack, name="unpack"),
    path(MACHINE + "pack-card.pdf", pack_views.pack_card_pdf, name="pack_card_pdf"),
    path(MACHINE + "sheet/", views.sheet_preview, name="sheet_preview"),
    path(MACHINE + "sheet/issue/", views.sheet_issue, name="sheet_issue"),
    path(MACHINE + "sheet/<int:number>.pdf", views.sheet_pdf, name="sheet_pdf"),
    path(MACHINE + "test-report/", report_views.test_report, name="test_report"),
    path(MACHINE + "test-report.pdf", report_views.test_report_pdf, name="test_report_pdf"),
    path(MACHINE + "buyers-page/withdraw/", link_views.buyer_link_withdraw, name="buyer_link_withdraw"),
    path(MACHINE + "buyers-page/renew/", link_views.buyer_link_renew, name="buyer_link_renew"),
    path(MACHINE + "wrote/<int:pk>/answered/", link_views.message_answered, name="message_answered"),
    path(MACHINE + "wrote/<int:pk>/note/", contact_views.contact_about, name="contact_about"),
    path(MACHINE + "contact/", contact_views.contact_add, name="contact_add"),
    path(MACHINE + "contact/<int:pk>/undo/", contact_views.contact_take_back, name="contact_take_back"),
    path("machines/<slug:name>/came-back/", return_views.came_back, name="came_back"),
    path("machines/<slug:name>/came-back/open/", return_views.return_open, name="return_open"),
    path("machines/<slug:name>/came-back/cause/", return_views.cause_say, name="cause_say"),
    path(MACHINE + "done/", views.hand_over, name="hand_over"),
    path(MACHINE + "untested/", views_untested.untested, name="untested"),
    path(MACHINE + "untested/told/", views_untested.untested_told, name="untested_told"),
    path(MACHINE + "untested/label/", views_untested.untested_label, name="untested_label"),
    path(MACHINE + "untested/sell/", views_untested.untested_sell, name="untested_sell"),
    path(MACHINE + "sign-off/", views.handover_sign_off, name="handover_sign_off"),
]
