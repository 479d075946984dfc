"""A statement's own page: where it stands and why, what the public would read, and what is put on file."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from instruments.actions.evidence import add_evidence, retract_evidence
from instruments.calc.wording import sentence_for
from instruments.forms.evidence import EvidenceForm, RetractionForm
from instruments.models import Evidence, Statement
from instruments.pieces import pieces_on, wordings_of
from instruments.standings import conflicts_of, saying_of, weighed_statements
from instruments.views.answers import answer_form, the_instrument


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def statement_page(request, stock_number, pk):
    return _page(request, _statement(stock_number, pk))


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def evidence_add(request, stock_number, pk):
    statement = wordings_of(_statement(stock_number, pk))[-1]
    form = EvidenceForm(request.POST, instrument=statement.instrument, user=request.user)

    def act() -> str:
        add_evidence(statement=statement, by=request.user, **form.piece())
        messages.success(request, "Put on file.")
        return _address(statement)

    return answer_form(request, form, act) or _page(request, statement, form=form)


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def evidence_retract(request, stock_number, pk):
    instrument = the_instrument(stock_number)
    evidence = get_object_or_404(Evidence, pk=pk, statement__instrument=instrument)
    statement = wordings_of(evidence.statement)[-1]
    form = RetractionForm(request.POST, prefix=f"piece-{pk}")

    def act() -> str:
        retract_evidence(evidence=evidence, reason=form.cleaned_data["reason"], by=request.user)
        messages.success(request, "Taken back. It stays on file, struck out.")
        return _address(statement)

    return answer_form(request, form, act) or _page(request, statement, retraction=(pk, form))


def _page(request, statement, *, form=None, retraction=(None, None)):
    instrument, wordings = statement.instrument, wordings_of(statement)
    weighed = weighed_statements(instrument)
    own = next(each for each in weighed if each.statement == wordings[-1])
    pieces = pieces_on(wordings, own, request.user)
    context = {
        "instrument": instrument,
        "statement": own.statement,
        "asked": statement,
        "standing": own.standing,
        "questions": own.questions,
        "wordings": wordings[::-1],
        "sides": [(side, words, _of(pieces, side, retraction)) for side, words in SIDES],
        "conflicts": [each for each in conflicts_of(instrument, weighed) if own.claim in each.claims],
        "public": sentence_for(saying_of(own)),
        "in_file": sentence_for(saying_of(own), public=False),
        "in_file_nameless": sentence_for(saying_of(own, with_names=False), public=False),
        "form": form or EvidenceForm(instrument=instrument, user=request.user),
    }
    return render(request, "instruments/statement_page.html", context)


SIDES = (("for", "For it"), ("against", "Against it"))


def _of(pieces, side: str, retraction) -> list[tuple]:
    """The pieces of one side, each with the form that takes it back."""
    sent, form = retraction
    return [
        (piece, form if piece.pk and piece.pk == sent else _retraction_form(piece))
        for piece in pieces
        if piece.side == side
    ]


def _retraction_form(piece) -> RetractionForm | None:
    return RetractionForm(prefix=f"piece-{piece.pk}") if piece.pk else None


def _statement(stock_number: str, pk: int) -> Statement:
    return get_object_or_404(the_instrument(stock_number).statements, pk=pk)


def _address(statement: Statement) -> str:
    return reverse("instruments:statement_page", args=[statement.instrument.stock_number, statement.pk])
