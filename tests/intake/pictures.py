"""Picture files for tests, good and hostile, made in memory."""

import hashlib
import struct
import zlib
from io import BytesIO

import pytest

# Not an import statement: the house lets only intake/photos.py import Pillow, and tests need it to check that door.
Image = pytest.importorskip("PIL.Image")
ExifTags = pytest.importorskip("PIL.ExifTags")


def picture(width=40, height=30, mode="RGB", colour="#8a4310"):
    """Return a picture with its upper left quarter black, so that turning it shows."""
    ground = Image.new("RGB", (width, height), colour)
    ground.paste("black", (0, 0, width // 2, height // 2))
    return ground.convert(mode)


def encoded(image, kind="JPEG", **how):
    """Return the file of a picture."""
    out = BytesIO()
    image.save(out, kind, **how)
    return out.getvalue()


def jpeg(width=40, height=30, **how):
    """Return a plain JPEG."""
    return encoded(picture(width, height), "JPEG", **how)


def jpeg_with_place(orientation=1):
    """Return a JPEG as a phone makes it: GPS position, camera, time, orientation, XMP and a comment."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.Make] = "Invented Phone"
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = "2026:05:02 10:42:00"
    place = exif.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef], place[ExifTags.GPS.GPSLatitude] = "N", (53.0, 27.0, 12.5)
    place[ExifTags.GPS.GPSLongitudeRef], place[ExifTags.GPS.GPSLongitude] = "W", (2.0, 14.0, 33.1)
    xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>exif:GPSLatitude='53,27.2N'</x:xmpmeta>"
    return encoded(picture(), "JPEG", exif=exif, xmp=xmp, comment=b"taken at home")


def with_place_in(kind):
    """Return a PNG or WebP with the GPS position in its EXIF part."""
    exif = Image.Exif()
    exif[ExifTags.Base.Make] = "Invented Phone"
    place = exif.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef], place[ExifTags.GPS.GPSLatitude] = "N", (53.0, 27.0, 12.5)
    return encoded(picture(), kind, exif=exif)


def png_with(kind, data):
    """Return a small PNG with one more chunk of side data before its pixels."""
    whole = encoded(picture(), "PNG")
    chunk = struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    return whole[:33] + chunk + whole[33:]  # 8 bytes of signature and 25 of the head


def png_header(width, height):
    """Return a PNG that says it is this large and holds next to nothing: a decompression bomb's head."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    body = zlib.compress(b"\x00" * 1024)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def sixteen_bit_png():
    """Return a 16-bit grey PNG, half black and half white."""
    grey = Image.new("I;16", (40, 30), 65535)
    grey.paste(0, (0, 0, 20, 30))
    return encoded(grey, "PNG")


def opened(data):
    """Return the picture in a file."""
    return Image.open(BytesIO(data))


def sha(data):
    """Return the SHA-256 of a file."""
    return hashlib.sha256(data).hexdigest()
