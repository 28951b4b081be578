"""Questions and answers on the buyer's page: the list, adding, changing, back to ours. For the owner."""

from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import translation
from django.views.decorators.http import require_GET, require_POST

from handover import answers
from handover.answer_forms import OurAnswerForm, OwnAnswerForm
from handover.answers_ours import OURS, OurAnswer
from handover.models import BuyerMessage, ContactNote, HelpAnswer
from handover.words import Language
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import JournalEntry


@require_GET
def answers_list(request: HttpRequest) -> HttpResponse:
    """Show every question and answer in one language."""
    http.owner_only(request)
    language = _language(request)
    context = {
        "entries": answers.entries(language),
        "languages": Language.choices,
        "language": language,
        "nav": "shop",
    }
    return render(request, "handover/answers.html", context)


def answer_add(request: HttpRequest) -> HttpResponse:
    """Add an answer; `message` names a buyer's message it begins with."""
    http.owner_only(request)
    language = _language(request)
    form = OwnAnswerForm(request.POST) if request.method == "POST" else OwnAnswerForm(initial=_begun(request))
    return _answer(request, form, lambda act: answers.add(act, language, form.values), language, None)


def answer_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change an answer of our own."""
    http.owner_only(request)
    row = get_object_or_404(HelpAnswer, pk=pk, ours="")
    seen = {name: getattr(row, name) for name in ("question", "answer", "position", "version")}
    seen |= {"which": answers.which_of(row), "on_page": not row.retired}
    form = OwnAnswerForm(request.POST) if request.method == "POST" else OwnAnswerForm(initial=seen)
    return _answer(
        request, form, lambda act: answers.change(act, row, form.seen_version, form.values), row.language, None
    )


def answer_ours(request: HttpRequest, code: str, language: str) -> HttpResponse:
    """Word one of ours anew, move it, or take it off the page."""
    http.owner_only(request)
    one, row = _one(code, language)
    entry = next(entry for entry in answers.entries(language) if entry.ours is one)
    seen = {"question": entry.question, "answer": entry.answer, "position": entry.position}
    seen |= {"on_page": not entry.retired, "version": row.version if row else 0}
    form = OurAnswerForm(request.POST) if request.method == "POST" else OurAnswerForm(initial=seen)
    return _answer(
        request,
        form,
        lambda act: answers.word_ours(act, one, language, form.seen_version, form.values),
        language,
        one,
    )


@require_POST
def answer_back(request: HttpRequest, code: str, language: str) -> HttpResponse:
    """Let one of ours be ours again."""
    http.owner_only(request)
    one, _ = _one(code, language)
    row = get_object_or_404(HelpAnswer, ours=code, language=language)
    form = ActForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: answers.back_to_ours(act, row),
        to=_address(language),
        page=lambda f, status: _page(request, f, status, language, one),
    )


def _answer(
    request: HttpRequest,
    form: OurAnswerForm,
    do: Callable[[Act], JournalEntry],
    language: str,
    one: OurAnswer | None,
) -> HttpResponse:
    if request.method != "POST":
        return _page(request, form, 200, language, one)
    return http.answer(
        request,
        form,
        do=do,
        to=_address(language),
        page=lambda f, status: _page(request, f, status, language, one),
    )


def _page(request: HttpRequest, form: ActForm, status: int, language: str, one: OurAnswer | None) -> HttpResponse:
    with translation.override(language):
        ours = (str(one.question), one.answer()) if one else None
    context = {
        "form": form,
        "one": one,
        "ours": ours,
        "language": language,
        "spoken": Language(language).label,
        "changed": bool(one and HelpAnswer.objects.filter(ours=one.code, language=language).exists()),
        "back_form": ActForm(),
        "back": _address(language),
        "nav": "shop",
    }
    return render(request, "handover/answer_edit.html", context, status=status)


def _begun(request: HttpRequest) -> dict[str, object]:
    """Return the first words of a new answer: those of a buyer's message or of a note, with how it was answered."""
    if pk := _number(request, "note"):
        note = get_object_or_404(ContactNote.objects.select_related("machine__notes"), pk=pk)
        return answers.draft(note.asked, note.answered, note.machine.notes)
    if pk := _number(request, "message"):
        message = get_object_or_404(BuyerMessage.objects.select_related("link__job__machine__notes"), pk=pk)
        said = message.answers.order_by("-pk").first()
        return answers.draft(message.words or str(message), said.words if said else "", message.link.job.machine.notes)
    return {}


def _number(request: HttpRequest, name: str) -> int:
    asked = request.GET.get(name, "")
    return int(asked) if asked.isascii() and asked.isdigit() and len(asked) < 10 else 0


def _one(code: str, language: str) -> tuple[OurAnswer, HelpAnswer | None]:
    if code not in OURS or language not in Language.values:
        raise Http404("There is no such answer of ours.")
    return OURS[code], HelpAnswer.objects.filter(ours=code, language=language).first()


def _language(request: HttpRequest) -> str:
    asked = request.GET.get("language", "")
    return asked if asked in Language.values else Language.EN.value


def _address(language: str) -> str:
    return f"{reverse('handover:answers_list')}?language={language}"
