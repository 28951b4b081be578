"""Wording: the named blocks of the sheet and of the buyer's page in the workshop's own words. For the owner."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from handover import wording, wording_page
from handover.blocks import BLOCKS, Block
from handover.models import WordingBlock
from handover.wording_forms import BackForm, WordingForm
from handover.words import Language
from workshop.core import http
from workshop.core.forms import ActForm


@require_GET
def wordings(request: HttpRequest) -> HttpResponse:
    """Show every block in one language, ours beside theirs."""
    http.owner_only(request)
    asked = request.GET.get("language", "")
    language = asked if asked in Language.values else Language.EN.value
    context = {
        "rows": wording_page.rows(http.the_shop(), language),
        "languages": wording_page.worded(),
        "language": language,
        "example": wording_page.example(),
        "nav": "shop",
    }
    return render(request, "handover/wordings.html", context)


def wording_edit(request: HttpRequest, block: str, language: str) -> HttpResponse:
    """Show one block and how it will be printed; word it anew."""
    http.owner_only(request)
    rule, row = _found(block, language)
    if request.method != "POST":
        seen = {"words": row.words, "version": row.version} if row else {"version": 0}
        return _page(request, rule, language, WordingForm(initial=seen, block=rule), 200)
    form = WordingForm(request.POST, block=rule)
    if "look" in request.POST:
        return _page(request, rule, language, form, 200 if form.is_valid() else 422)
    return http.answer(
        request,
        form,
        do=lambda act: wording.change(act, rule.name, language, form.seen_version, form.values["words"]),
        to=_address(language),
        page=lambda f, status: _page(request, rule, language, f, status),
    )


@require_POST
def wording_back(request: HttpRequest, block: str, language: str) -> HttpResponse:
    """Let a block be ours again."""
    http.owner_only(request)
    rule, _ = _found(block, language)
    row = get_object_or_404(WordingBlock, block=rule.name, language=language)
    return http.answer(
        request,
        BackForm(request.POST),
        do=lambda act: wording.back_to_ours(act, row),
        to=_address(language),
        page=lambda f, status: _page(request, rule, language, f, status),
    )


def _found(block: str, language: str) -> tuple[Block, WordingBlock | None]:
    rule = BLOCKS.get(block)
    if rule is None or language not in Language.values:
        raise Http404("There is no such block of words.")
    return rule, WordingBlock.objects.filter(block=rule.name, language=language).first()


def _address(language: str) -> str:
    return f"{reverse('handover:wordings')}?language={language}"


def _page(request: HttpRequest, rule: Block, language: str, form: ActForm, status: int) -> HttpResponse:
    shop, row = http.the_shop(), WordingBlock.objects.filter(block=rule.name, language=language).first()
    words = row.words if row else ""
    typed = form if isinstance(form, WordingForm) else WordingForm(initial={"words": words}, block=rule)
    if typed.is_bound and not wording.faults(rule.name, typed.data.get("words", "")):
        words = typed.data.get("words", "")
    context = {
        "rule": rule,
        "language": language,
        "spoken": Language(language).label,
        "ours": wording_page.our_lines(rule.name, shop, language),
        "printed": wording_page.printed(rule.name, words, shop, language, http.today()),
        "is_own": bool(row and row.words),
        "form": form,
        "words_form": typed,
        "back_form": BackForm(),
        "back": _address(language),
        "nav": "shop",
    }
    return render(request, "handover/wording_edit.html", context, status=status)
