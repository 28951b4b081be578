"""The only door to WeasyPrint: a sheet's content in, its HTML and a tagged, archival PDF out; plain pages beside it.

The same content gives the same bytes, in any process: the dates and the identifier come from the content, the
fonts from our own files, and nothing is fetched but our static files and photos by their address in the store.
Pango is not safe in parallel, so one lock holds every layout; a font configuration a set of styles serves a process.
"""

import atexit
import contextlib
import gc
import hashlib
import io
import os
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, time
from functools import lru_cache
from pathlib import Path
from typing import Any
from urllib.request import url2pathname

from django.conf import settings
from django.template.loader import render_to_string
from django.utils import translation

from handover import fitting, layout
from handover.fitting import Fit
from handover.sheet import SheetContent

STYLES = ("sheet-page.css", "sheet.css", "sheet-large.css")
VARIANT = "pdf/a-3a"  # tagged, archival, and keeps attachments
PHOTO = "photo:"
# Our own table: the machine's own list of file types differs from place to place.
KINDS = {".css": "text/css", ".svg": "image/svg+xml", ".ttf": "font/ttf"}
DRAWER = "sheet-drawer"
_LAYOUT = threading.Lock()


class PdfUnavailable(RuntimeError):
    """The system libraries that draw the PDF are missing; the message says which packages bring them."""

    def __init__(self) -> None:
        super().__init__(
            "The PDF cannot be drawn until the system packages "
            "libpangoft2-1.0-0 and libharfbuzz-subset0 are installed with apt-get install."
        )


class AssetRefused(RuntimeError):
    """A picture, font or stylesheet of the sheet is missing, or lies outside what a sheet may fetch."""


@dataclass(frozen=True, slots=True)
class Attached:
    """A file carried inside the PDF, such as the care dates; `words` say what it is."""

    name: str
    data: bytes
    words: str


@dataclass(frozen=True, slots=True)
class Rendered:
    """One sheet drawn: the HTML it was made from, the PDF, its page count and the PDF's SHA-256."""

    html: str
    pdf: bytes
    pages: int
    sha256: str


def render(content: SheetContent, *, photo: Callable[[str], bytes], attached: tuple[Attached, ...] = ()) -> Rendered:
    """Draw a sheet. `photo` returns the bytes kept under an address.

    :raises PdfUnavailable: the system libraries are missing.
    :raises AssetRefused: a photo, font or stylesheet cannot be had.
    """
    weasyprint = _weasyprint()
    with _LAYOUT, _refusals(), _uncollected():
        html, document = _laid_out(weasyprint, content, photo)
        document.metadata.attachments = [_attachment(weasyprint, file, content) for file in attached]
        pdf: bytes = document.write_pdf(pdf_identifier=_identifier(content), pdf_variant=VARIANT)
    return Rendered(html, pdf, len(document.pages), hashlib.sha256(pdf).hexdigest())


def draw(
    html: str,
    styles: tuple[str, ...],
    measures: str,
    *,
    tagged: bool = False,
    photo: Callable[[str], bytes] | None = None,
) -> bytes:
    """Draw a plain page, such as a tag. `styles` are files of ours; `measures` is CSS that belongs to this page alone.

    `tagged`: a paper that is read, not stuck on, so a screen reader must find its headings and tables. `photo` returns
    the bytes kept under an address, where the page shows any.

    :raises PdfUnavailable: the system libraries are missing.
    :raises AssetRefused: a font or stylesheet cannot be had.
    """
    weasyprint = _weasyprint()
    with _LAYOUT, _refusals(), _uncollected():
        page = weasyprint.HTML(string=html, base_url=_static().as_uri() + "/", url_fetcher=_fetcher(photo or _no_photo))
        fonts, sheets = _styles(styles)
        own = weasyprint.CSS(string=measures, font_config=fonts)
        variant = VARIANT if tagged else None
        document: bytes = page.write_pdf(font_config=fonts, stylesheets=[*sheets, own], pdf_variant=variant)
    return document


def warm() -> None:
    """Load what draws a sheet before anybody waits for one; where the system libraries are missing, nothing."""
    with contextlib.suppress(PdfUnavailable):
        _weasyprint()
        _styles(STYLES)


def html_of(content: SheetContent, fit: Fit) -> str:
    """Return the sheet's whole HTML page, in the sheet's own language whoever asks for it."""
    with translation.override(content.language):
        context = layout.prepare(content, lambda sha: PHOTO + sha, fit)
        return render_to_string("handover/sheet.html", context)


def _laid_out(weasyprint: Any, content: SheetContent, photo: Callable[[str], bytes]) -> tuple[str, Any]:
    """Lay the sheet out, closer or further apart by what ran over (handover.fitting). The fewest pages win."""
    fit: Fit | None = fitting.first(content)
    drawn: list[tuple[str, Any]] = []
    while fit is not None:
        html = html_of(content, fit)
        document = _layout(weasyprint, html, photo)
        drawn.append((html, document))
        fit = fitting.next_try(fit, content, _drawer_page(document), len(document.pages))
    fewest: tuple[str, Any] = min(reversed(drawn), key=lambda each: len(each[1].pages))
    return fewest


def _layout(weasyprint: Any, html: str, photo: Callable[[str], bytes]) -> Any:
    page = weasyprint.HTML(string=html, base_url=_static().as_uri() + "/", url_fetcher=_fetcher(photo))
    fonts, styles = _styles(STYLES)
    return page.render(font_config=fonts, stylesheets=list(styles), pdf_variant=VARIANT)


def _drawer_page(document: Any) -> int:
    """Where the drawer's part begins, counted from 0."""
    return next(at for at, page in enumerate(document.pages) if DRAWER in page.anchors)


def _identifier(content: SheetContent) -> bytes:
    return hashlib.sha256(content.to_json().encode()).digest()[:16]


def _attachment(weasyprint: Any, file: Attached, content: SheetContent) -> Any:
    # One-shot objects: made anew for each drawing, dated by the sheet, or the bytes would differ.
    on = datetime.combine(content.issued_on, time(), UTC)
    return weasyprint.Attachment(
        string=file.data, name=file.name, description=file.words, created=on, modified=on, relationship="Supplement"
    )


# --- WeasyPrint, loaded late -----------------------------------------------------------------------------


def _weasyprint() -> Any:
    """Import on first use: it takes a third of a second, and fails where Pango is not installed."""
    try:
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            import weasyprint
    except OSError as missing:
        raise PdfUnavailable from missing
    return weasyprint


def _styles(names: tuple[str, ...]) -> tuple[Any, tuple[Any, ...]]:
    files = tuple(_static() / "css" / name for name in names)
    return _prepared(os.getpid(), files, tuple(file.stat().st_mtime_ns for file in files))


@lru_cache(maxsize=8)  # more than the sets of styles our papers have; one pushed out is read anew each time
def _prepared(process: int, files: tuple[Path, ...], changed: tuple[int, ...]) -> tuple[Any, tuple[Any, ...]]:
    """The fonts and parsed styles, once a process: reading them anew took a quarter of every drawing.

    The keys: a fork must make its own, and so must an edited stylesheet.
    """
    from weasyprint import CSS
    from weasyprint.text.fonts import FontConfiguration

    fonts = FontConfiguration()
    fetcher = _fetcher(_no_photo)
    styles = (CSS(url=file.as_uri(), font_config=fonts, url_fetcher=fetcher) for file in files)
    return fonts, tuple(styles)


# While the library can still tidy its folder of fonts: at the very end of a process it no longer can.
atexit.register(_prepared.cache_clear)


def _no_photo(sha: str) -> bytes:
    raise LookupError(sha)


@contextlib.contextmanager
def _refusals() -> Iterator[None]:
    """Turn the library's BaseException into ours: it would pass `except Exception` and leave the view."""
    from weasyprint.urls import FatalURLFetchingError

    try:
        yield
    except FatalURLFetchingError as refused:
        raise AssetRefused(str(refused)) from refused


@contextlib.contextmanager
def _uncollected() -> Iterator[None]:
    """Keep the garbage collector out of a drawing: walking its growing tree of boxes took a third of the time."""
    collects = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collects:
            gc.enable()


def _static() -> Path:
    return Path(settings.BASE_DIR, "static").resolve()


def _fetcher(photo: Callable[[str], bytes]) -> Any:
    """A fetcher for our static files and photos by address; everything else ends the drawing."""
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class OurFilesOnly(URLFetcher):  # type: ignore[misc]  # the library is untyped
        """Never the network: a sheet that needs it would differ from day to day."""

        def fetch(self, url: str, headers: dict[str, str] | None = None) -> Any:
            """Return the bytes behind one address, or end the drawing."""
            try:
                return URLFetcherResponse(url, _bytes_of(url, photo), {"Content-Type": _kind_of(url)})
            except (OSError, LookupError) as missing:
                raise FatalURLFetchingError(f"The sheet may not or cannot fetch {url}") from missing

    return OurFilesOnly(allow_redirects=False)


def _bytes_of(url: str, photo: Callable[[str], bytes]) -> bytes:
    if url.startswith(PHOTO):
        return photo(url.removeprefix(PHOTO))
    if not url.startswith("file:"):
        raise LookupError(url)
    path = Path(url2pathname(url.removeprefix("file:").removeprefix("//"))).resolve()
    if not path.is_relative_to(_static()):
        raise LookupError(url)
    return path.read_bytes()


def _kind_of(url: str) -> str:
    return "image/jpeg" if url.startswith(PHOTO) else KINDS.get(Path(url).suffix, "application/octet-stream")
