"""Six 12 MP photos: how long the door takes, beside a bare decode-and-shrink of the same files on the same machine.

Run from the project: `python -m tests.benchmarks.photos`. Never part of the suite. The budget is 3 s, and 1.3 times
bare. Processor seconds are printed beside the clock's, for a machine that others use as well.
"""

# ruff: noqa: PLC0415, T201  (Django wants its folder first, and a benchmark prints what it measured)
import os
import sys
import tempfile
import time
from io import BytesIO
from pathlib import Path

PHOTOS, WIDE, HIGH = 6, 4000, 3000


def made():
    """Return six files as a phone makes them: much detail, JPEG at 90."""
    from PIL import Image

    files = []
    for number in range(PHOTOS):
        grain = Image.effect_noise((WIDE // 4, HIGH // 4), 40 + number).resize((WIDE, HIGH)).convert("RGB")
        out = BytesIO()
        grain.save(out, "JPEG", quality=90)
        files.append(out.getvalue())
    return files


def bare(data):
    """Decode and shrink with nothing else."""
    from PIL import Image

    picture = Image.open(BytesIO(data))
    picture.thumbnail((1600, 1600), Image.Resampling.LANCZOS, reducing_gap=2.0)
    picture.load()


def seconds(work, files):
    """Return the best of three rounds over all files: seconds by the clock, and of the processor."""
    clock, processor = [], []
    for _ in range(3):
        began, busy = time.perf_counter(), time.process_time()
        for data in files:
            work(data)
        clock.append(time.perf_counter() - began)
        processor.append(time.process_time() - busy)
    return min(clock), min(processor)


def main():
    """Print both times and their ratio."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
    with tempfile.TemporaryDirectory() as folder:
        os.environ["DATA_DIR"] = folder
        import django

        django.setup()
        from intake import photos

        files = made()
        print(f"{PHOTOS} photos of {WIDE * HIGH // 10**6} MP, {sum(map(len, files)) / 1024**2:.1f} MB in all")
        plain = seconds(bare, files)

        def keep(data):
            kept = photos.take_in(BytesIO(data))
            for file in Path(folder).rglob(f"{kept.sha}*"):
                file.unlink()  # the next round writes it anew

        kept = seconds(keep, files)
        print(f"bare decode and shrink: {plain[0]:.2f} s by the clock, {plain[1]:.2f} s of the processor")
        print(f"kept in both sizes:     {kept[0]:.2f} s by the clock, {kept[1]:.2f} s of the processor")
        print(f"ratio {kept[1] / plain[1]:.2f}")


if __name__ == "__main__":
    sys.exit(main())
