"""The door to Pillow: what it keeps, what it drops, what it refuses and how it says so."""

import hashlib
import zlib
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from intake import photos
from intake.photos import PhotoRefused
from tests.intake import pictures


def take_in(data):
    return photos.take_in(BytesIO(data))


def refused(data):
    with pytest.raises(PhotoRefused) as caught:
        take_in(data)
    return caught.value.sentence


def test_a_photo_is_kept_in_both_sizes_under_its_hash(settings):
    sent = pictures.jpeg(3200, 2400)

    kept = take_in(sent)

    large, thumb = photos.open_photo(kept.sha), photos.open_thumb(kept.sha)
    assert hashlib.sha256(large).hexdigest() == kept.sha
    assert hashlib.sha256(sent).hexdigest() == kept.original_sha
    assert (kept.width_px, kept.height_px) == (1600, 1200)
    assert (pictures.opened(large).format, pictures.opened(large).size) == ("JPEG", (1600, 1200))
    assert (pictures.opened(thumb).format, pictures.opened(thumb).size) == ("WEBP", (400, 300))
    folder = Path(settings.MEDIA_ROOT) / kept.sha[:2]
    assert sorted(p.name for p in folder.iterdir()) == [f"{kept.sha}.jpg", f"{kept.sha}.thumb.webp"]


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_each_allowed_kind_is_told_by_its_content(kind):
    assert take_in(pictures.encoded(pictures.picture(), kind)).width_px == 40


def test_a_small_photo_is_not_blown_up():
    assert take_in(pictures.jpeg(40, 30)).width_px == 40


def test_the_same_file_twice_is_one_file(settings):
    assert take_in(pictures.jpeg()) == take_in(pictures.jpeg())
    assert len(list(Path(settings.MEDIA_ROOT).rglob("*.jpg"))) == 1


def test_place_camera_time_and_words_are_gone_from_what_is_kept(settings):
    sent = pictures.jpeg_with_place()
    assert b"GPSLatitude" in sent
    assert pictures.opened(sent).getexif().get_ifd(pictures.ExifTags.IFD.GPSInfo)

    kept = take_in(sent)

    for file in Path(settings.MEDIA_ROOT).rglob(f"{kept.sha}*"):
        data = file.read_bytes()
        assert [word for word in (b"Exif", b"GPS", b"xmp", b"taken at home", b"Invented") if word in data] == []
        assert dict(pictures.opened(data).getexif()) == {}


def test_the_time_it_was_taken_is_kept_beside_it():
    assert take_in(pictures.jpeg_with_place()).taken_at == datetime(2026, 5, 2, 10, 42, tzinfo=UTC)
    assert take_in(pictures.jpeg()).taken_at is None


# Orientation as EXIF 2.32 numbers it: where the picture's upper left corner ends up once it is upright.
@pytest.mark.parametrize(
    ("orientation", "size", "corner"),
    [
        (1, (40, 30), "upper left"),
        (2, (40, 30), "upper right"),
        (3, (40, 30), "lower right"),
        (4, (40, 30), "lower left"),
        (5, (30, 40), "upper left"),
        (6, (30, 40), "upper right"),
        (7, (30, 40), "lower right"),
        (8, (30, 40), "lower left"),
    ],
)
def test_a_photo_is_turned_upright(orientation, size, corner):
    kept = take_in(pictures.jpeg_with_place(orientation))

    upright = pictures.opened(photos.open_photo(kept.sha)).convert("L")
    width, height = upright.size
    spots = {
        "upper left": (width // 8, height // 8),
        "upper right": (width * 7 // 8, height // 8),
        "lower left": (width // 8, height * 7 // 8),
        "lower right": (width * 7 // 8, height * 7 // 8),
    }
    assert (upright.size, min(spots, key=lambda name: upright.getpixel(spots[name]))) == (size, corner)


def test_cmyk_becomes_rgb():
    kept = take_in(pictures.encoded(pictures.picture(mode="CMYK")))

    large = pictures.opened(photos.open_photo(kept.sha))
    assert large.mode == "RGB"
    red, green, blue = large.getpixel((35, 25))
    assert (abs(red - 0x8A) < 8, abs(green - 0x43) < 8, abs(blue - 0x10) < 8) == (True, True, True)


def test_sixteen_bits_are_scaled_and_not_cut_off():
    large = pictures.opened(photos.open_photo(take_in(pictures.sixteen_bit_png()).sha)).convert("L")

    assert (large.getpixel((5, 15)), large.getpixel((35, 15))) == (0, 255)


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P", "L", "1"])
def test_every_mode_of_png_is_taken(mode):
    image = pictures.picture(mode="L").convert("LA") if mode == "LA" else pictures.picture(mode=mode)

    kept = take_in(pictures.encoded(image, "PNG"))

    assert pictures.opened(photos.open_photo(kept.sha)).mode == "RGB"


def test_what_is_see_through_becomes_white():
    clear = pictures.Image.new("RGBA", (40, 30), (255, 0, 0, 0))

    large = pictures.opened(photos.open_photo(take_in(pictures.encoded(clear, "PNG")).sha))

    assert large.getpixel((20, 15)) == (255, 255, 255)


@pytest.mark.parametrize("kind", ["WEBP", "PNG"])
def test_of_a_moving_picture_the_first_one_is_kept(kind):
    first, second = pictures.picture(), pictures.picture(colour="blue")

    kept = take_in(pictures.encoded(first, kind, save_all=True, append_images=[second], duration=100))

    red, _, blue = pictures.opened(photos.open_photo(kept.sha)).getpixel((35, 25))
    assert red > blue


def test_what_hangs_behind_a_picture_is_not_kept(settings):
    payload = b"<script>alert(1)</script>PK\x03\x04"

    kept = take_in(pictures.jpeg() + payload)

    files = list(Path(settings.MEDIA_ROOT).rglob(f"{kept.sha}*"))
    assert [payload in file.read_bytes() for file in files] == [False, False]


def test_a_photo_that_is_a_page_as_well_keeps_its_pixels_only(settings):
    page = b"<html><script>alert(1)</script></html>"

    kept = take_in(pictures.encoded(pictures.picture(), "JPEG", comment=page))

    files = list(Path(settings.MEDIA_ROOT).rglob(f"{kept.sha}*"))
    assert [b"<script>" in file.read_bytes() for file in files] == [False, False]


def test_a_page_that_begins_like_a_photo_is_refused():
    assert refused(b"\xff\xd8\xff\xe0<html><script>alert(1)</script></html>").startswith("This ")


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_place_data_is_gone_whatever_the_format(settings, kind):
    sent = pictures.with_place_in(kind)
    assert pictures.opened(sent).getexif().get_ifd(pictures.ExifTags.IFD.GPSInfo)

    kept = take_in(sent)

    for file in Path(settings.MEDIA_ROOT).rglob(f"{kept.sha}*"):
        assert dict(pictures.opened(file.read_bytes()).getexif()) == {}


def test_a_second_picture_with_its_own_place_inside_a_photo_is_gone(settings):
    """Phones put a second picture (depth, a preview) with its own side data behind the first."""
    frames = [pictures.picture(), pictures.picture(colour="blue")]
    exif = pictures.Image.Exif()
    exif[pictures.ExifTags.Base.ImageDescription] = "at home"
    sent = pictures.encoded(frames[0], "MPO", save_all=True, append_images=frames[1:], exif=exif)
    assert sent.count(b"\xff\xd8\xff") > 1

    kept = take_in(sent)

    large = photos.open_photo(kept.sha)
    assert (large.count(b"\xff\xd8\xff"), b"at home" in large) == (1, False)


# Pillow warns from 89 megapixels on; at work that is a line in the log, here warnings are errors.
@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")
def test_a_hundred_megapixels_are_refused_even_when_they_are_all_there():
    wide = pictures.encoded(pictures.Image.new("L", (10_000, 10_000)), "PNG")

    assert refused(wide) == "This photo has 100 megapixels. At most 60 megapixels are kept: send it smaller."


@pytest.mark.filterwarnings("ignore:image file could not be identified:UserWarning")
def test_side_data_that_unpacks_without_end_is_refused():
    bomb = b"Comment\x00\x00" + zlib.compress(b"a" * 50_000_000)

    assert refused(pictures.png_with(b"zTXt", bomb)).startswith("This ")


@pytest.mark.parametrize(("width", "height"), [(1, 20_000), (20_000, 1), (1, 1)])
def test_a_strip_of_a_picture_is_kept(width, height):
    kept = take_in(pictures.encoded(pictures.Image.new("RGB", (width, height)), "PNG"))

    assert min(kept.width_px, kept.height_px) >= 1
    assert pictures.opened(photos.open_photo(kept.sha)).size == (kept.width_px, kept.height_px)


def test_an_empty_file_is_refused():
    assert refused(b"") == "This file is empty. Choose the photo again."


def test_a_file_over_the_limit_is_refused(settings):
    settings.PHOTO_MAX_BYTES = 1024**2

    assert refused(b"\xff\xd8" + b"0" * 1024**2) == "This photo is over 1 MB. Send it in a smaller size."


@pytest.mark.parametrize(
    "data",
    [
        b"hello",
        b"%PDF-1.7",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"GIF89a\x01\x00\x01\x00\x00\x00\x00;",
        pictures.encoded(pictures.picture(), "GIF"),
        pictures.encoded(pictures.picture(), "BMP"),
        pictures.encoded(pictures.picture(), "TIFF"),
    ],
    ids=["text", "pdf", "svg", "gif head", "gif", "bmp", "tiff"],
)
def test_what_is_no_photo_is_refused_whatever_it_is_called(data):
    assert refused(data) == "This is not a photo we can read. Send JPEG, PNG or WebP."


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("part", [0.5, 0.9])
def test_a_file_that_is_cut_short_is_refused(kind, part):
    noise = pictures.Image.effect_noise((300, 200), 90).convert("RGB")
    data = pictures.encoded(noise, kind)

    assert refused(data[: int(len(data) * part)]).startswith("This photo is")


def test_a_file_that_is_cut_short_is_refused_after_a_pdf_was_drawn_too(monkeypatch):
    """WeasyPrint sets this switch of Pillow's when it is imported, for the whole process."""
    monkeypatch.setattr("PIL.ImageFile.LOAD_TRUNCATED_IMAGES", True)
    data = pictures.jpeg()

    assert refused(data[: len(data) // 2]).startswith("This photo is")


def test_sixty_megapixels_are_the_most_and_nothing_is_decoded_to_find_out():
    sentence = refused(pictures.png_header(10_000, 6_001))

    assert sentence == "This photo has 60 megapixels. At most 60 megapixels are kept: send it smaller."


@pytest.mark.parametrize("side", [10_000, 14_000, 60_000])
def test_a_bomb_is_refused(side):
    assert "megapixels are kept: send it smaller." in refused(pictures.png_header(side, side))


# Pillow warns of side data it cannot read; at work that is a line in the log, here warnings are errors.
@pytest.mark.filterwarnings("ignore:Corrupt EXIF data", "ignore:Truncated", "ignore:Possibly corrupt")
def test_damaged_side_data_does_not_cost_a_good_picture():
    broken = pictures.encoded(
        pictures.picture(), "JPEG", exif=b"Exif\x00\x00II*\x00\xff\xff\xff\xff", icc_profile=b"no"
    )

    kept = take_in(broken)

    assert (kept.width_px, kept.taken_at) == (40, None)


def test_nothing_is_left_behind_by_a_refused_file(settings):
    refused(pictures.jpeg(300, 200)[:600])

    assert list(Path(settings.MEDIA_ROOT).rglob("*")) == []


@pytest.mark.parametrize("sha", ["0" * 64, "../../etc/passwd", "0" * 63, "G" * 64, ""])
def test_an_unknown_hash_is_not_found(sha):
    with pytest.raises(FileNotFoundError):
        photos.open_photo(sha)
    assert photos.is_kept(sha) is False


_SEED = pictures.jpeg_with_place(6)
_SEEDS = (_SEED, pictures.encoded(pictures.picture(mode="RGBA"), "PNG"), pictures.encoded(pictures.picture(), "WEBP"))


@pytest.mark.filterwarnings("ignore::UserWarning:PIL")
@hypothesis_settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.sampled_from(_SEEDS), hits=st.lists(st.tuples(st.integers(0, 10**6), st.integers(0, 255)), max_size=12))
def test_a_damaged_file_is_kept_or_refused_and_never_breaks_the_page(seed, hits):
    data = bytearray(seed)
    for place, value in hits:
        data[place % len(data)] = value
    try:
        kept = take_in(bytes(data))
    except PhotoRefused as caught:
        answer = caught.sentence
    else:
        answer = "Kept." if photos.is_kept(kept.sha) else "Lost"
    assert answer.endswith(".")
