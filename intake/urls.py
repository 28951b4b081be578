"""Addresses of intake."""

from django.urls import path

from intake.views import intake, log, lot, photos, seller, walk

app_name = "intake"
urlpatterns = [
    path("machines/log/", log.machine_log, name="machine_log"),
    path("machines/log-several/", lot.machine_log_several, name="machine_log_several"),
    path("lots/<int:pk>/", lot.lot, name="lot"),
    path("machines/<slug:name>/tag/", log.machine_tag, name="machine_tag"),
    path("machines/<slug:name>/intake/", intake.intake, name="intake"),
    path("machines/<slug:name>/intake/sign-off/", intake.intake_sign_off, name="intake_sign_off"),
    path("machines/<slug:name>/intake/purchase/", intake.purchase_edit, name="purchase_edit"),
    path("machines/<slug:name>/intake/seller/", seller.seller_record, name="seller_record"),
    path("machines/<slug:name>/intake/seller/same/<int:pk>/", seller.seller_same, name="seller_same"),
    path("machines/<slug:name>/intake/receipt/", seller.purchase_receipt, name="purchase_receipt"),
    path("machines/<slug:name>/intake/serial/", intake.serial_set, name="serial_set"),
    path("machines/<slug:name>/intake/said/", intake.said_set, name="said_set"),
    path("machines/<slug:name>/intake/nothing/", intake.nothing_answer, name="nothing_answer"),
    path("machines/<slug:name>/intake/findings/add/", intake.finding_add, name="finding_add"),
    path("machines/<slug:name>/intake/findings/<int:pk>/", intake.finding_edit, name="finding_edit"),
    path("machines/<slug:name>/intake/loose-parts/as-usual/", intake.loose_parts_usual, name="loose_parts_usual"),
    path("machines/<slug:name>/intake/loose-parts/add/", intake.loose_part_add, name="loose_part_add"),
    path("machines/<slug:name>/intake/loose-parts/<int:pk>/", intake.loose_part_edit, name="loose_part_edit"),
    path("machines/<slug:name>/intake/recall/", intake.recall_record, name="recall_record"),
    path("machines/<slug:name>/photos/add/", photos.photo_add, name="photo_add"),
    path("machines/<slug:name>/photos/<int:pk>/take-back/", photos.photo_take_back, name="photo_take_back"),
    path("machines/<slug:name>/walk/", walk.walk, name="walk"),
    path("machines/<slug:name>/walk/marks/add/", walk.mark_add, name="mark_add"),
    path("machines/<slug:name>/walk/marks/<int:pk>/mend/", walk.mark_mend, name="mark_mend"),
    path("machines/<slug:name>/walk/marks/<int:pk>/unmend/", walk.mark_unmend, name="mark_unmend"),
    path("machines/<slug:name>/walk/marks/<int:pk>/take-back/", walk.mark_take_back, name="mark_take_back"),
    path("machines/<slug:name>/walk/marks/<int:pk>/put-back/", walk.mark_put_back, name="mark_put_back"),
    path("machines/<slug:name>/walk/looked/", walk.face_look, name="face_look"),
    path("machines/<slug:name>/walk/looked-at-all/", walk.faces_look, name="faces_look"),
    path("machines/<slug:name>/walk/again/", walk.walk_again, name="walk_again"),
    path("machines/<slug:name>/walk/same-as-arrived/", walk.walk_same, name="walk_same"),
    path("machines/<slug:name>/walk/blind/begin/", walk.blind_begin, name="blind_begin"),
    path("machines/<slug:name>/walk/blind/finish/", walk.blind_finish, name="blind_finish"),
    path("machines/<slug:name>/photos/compare/", photos.photos_compare, name="photos_compare"),
    path("condition-score/", walk.condition_score, name="condition_score"),
    path("photos/keep/", photos.photo_keep, name="photo_keep"),
    path("photos/<int:pk>/", photos.photo_one, name="photo_one"),
    path("photos/<int:pk>/pin/", photos.photo_pin, name="photo_pin"),
    path("photo/<slug:sha>/", photos.photo, name="photo"),
    path("photo/<slug:sha>/thumb/", photos.photo_thumb, name="photo_thumb"),
]
