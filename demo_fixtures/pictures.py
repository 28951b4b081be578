"""Photos of the invented machines, drawn by script: a grey case, six faces, a flaw ringed where there is one."""

import io

SIZE = (1200, 900)
_CASE = {"FRONT": 200, "BACK": 170, "LEFT": 185, "RIGHT": 190, "TOP": 210, "UNDER": 130}


def face(name: str, seed: int) -> io.BytesIO:
    """Return a JPEG of one face of a machine; `seed` sets shade and slots so that no two look alike."""
    from PIL import Image, ImageDraw

    grey = _CASE.get(name, 190) - (seed * 7) % 24
    picture = Image.new("RGB", SIZE, (226, 222, 214))
    pen = ImageDraw.Draw(picture)
    pen.rectangle((0, 760, 1200, 900), fill=(120, 112, 100))
    pen.rounded_rectangle((170, 120, 1030, 790), 36, fill=(grey, grey, grey + 4), outline=(60, 60, 64), width=6)
    if name == "FRONT":
        _front(pen)
    else:
        for slot in range(4 + seed % 5):
            pen.rounded_rectangle((640, 200 + slot * 52, 960, 220 + slot * 52), 10, fill=(84, 84, 88))
    return _jpeg(picture)


def _front(pen: object) -> None:
    draw = pen  # an ImageDraw
    draw.ellipse((250, 190, 390, 330), fill=(245, 243, 238), outline=(50, 50, 54), width=6)  # type: ignore[attr-defined]
    draw.line((320, 260, 360, 220), fill=(50, 50, 54), width=6)  # type: ignore[attr-defined]
    draw.rounded_rectangle((500, 330, 720, 420), 18, fill=(70, 70, 74))  # type: ignore[attr-defined]
    draw.rounded_rectangle((560, 420, 660, 470), 10, fill=(40, 40, 42))  # type: ignore[attr-defined]
    draw.line((900, 250, 960, 560), fill=(70, 70, 74), width=16)  # type: ignore[attr-defined]
    draw.rectangle((230, 690, 970, 770), fill=(95, 95, 100))  # type: ignore[attr-defined]


def flaw(kind: str, seed: int) -> io.BytesIO:
    """Return a close photo of one mark, ringed."""
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", SIZE, (176 - seed % 20,) * 3)
    pen = ImageDraw.Draw(picture)
    pen.rounded_rectangle((90, 90, 1110, 810), 30, fill=(190, 190, 192), outline=(90, 90, 94), width=6)
    x, y = 420 + (seed * 83) % 320, 380 + (seed * 47) % 180
    if kind == "SCRATCH":
        pen.line((x - 110, y + 26, x - 20, y - 18, x + 110, y + 6), fill=(245, 245, 245), width=9)
    elif kind == "DENT":
        pen.ellipse((x - 46, y - 34, x + 46, y + 34), fill=(160, 160, 164), outline=(215, 215, 218), width=6)
    else:
        pen.ellipse((x - 70, y - 44, x + 70, y + 44), fill=(140, 122, 100))
    pen.ellipse((x - 170, y - 170, x + 170, y + 170), outline=(255, 255, 255), width=20)
    pen.ellipse((x - 182, y - 182, x + 182, y + 182), outline=(25, 25, 25), width=10)
    return _jpeg(picture)


def plate(seed: int) -> io.BytesIO:
    """Return a photo of a worn maker's plate."""
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", SIZE, (198, 198, 200))
    pen = ImageDraw.Draw(picture)
    pen.rectangle((250, 250, 950, 650), fill=(232, 232, 228), outline=(60, 60, 60), width=5)
    for line in range(5):
        pen.rectangle((300, 300 + line * 64, 620 + (seed * 37 + line * 53) % 260, 322 + line * 64), fill=(96, 96, 96))
    return _jpeg(picture)


def _jpeg(picture: object) -> io.BytesIO:
    kept = io.BytesIO()
    picture.save(kept, "JPEG", quality=82)  # type: ignore[attr-defined]
    kept.seek(0)
    return kept
