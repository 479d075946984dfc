"""The home-trial agreement: gathered from the record, printed once at the start, and kept as printed."""

from datetime import date

from instruments.actions.whole import whole
from instruments.documents.content import ConditionLine, Fact
from instruments.kept_files import StoredFile
from instruments.models import Instrument
from instruments.problems import Refused
from instruments.states import Condition
from instruments.walks import in_order_of_the_walk
from shop.actions.papers import person_party, print_photos, shop_party
from shop.actions.signatures import keep_screen_signatures
from shop.actions.terms import clauses_of, terms_in_force
from shop.calc.trial_figures import TrialFigures
from shop.documents.clauses import AT_A_DISTANCE, PART_EXCHANGE, REGISTERED, ClauseSet
from shop.documents.trial_agreement import TrialAgreement, TrialInstrument, build_trial_agreement
from shop.models import CreditTerms, Paper, ShopProfile, Trial
from shop.protected import standing_reference
from shop.showing import public_facts
from shop.states import ContractPlace, PaperKind

MOST_PHOTOS = 4
# What tells it from another beside maker, serial, date and compass; the photographs show the rest.
FURTHER_FACTS = {"Height", "Length", "Construction", "Key tops"}


def trial_agreement_of(trial: Trial, *, on: date, is_draft: bool) -> bytes:
    """The PDF as the terms and the record stand today. Takes a while: never inside a transaction."""
    return build_trial_agreement(agreement_words(trial, on=on, is_draft=is_draft))


def agreement_words(trial: Trial, *, on: date, is_draft: bool = False) -> TrialAgreement:
    """All that the agreement says, as plain data. What is signed is the hash of this."""
    terms = terms_for(trial)
    registration = _registration(trial.instrument)
    at_a_distance = trial.agreed_where != ContractPlace.SHOP
    circumstances = [PART_EXCHANGE]
    circumstances += [REGISTERED] if registration else []
    circumstances += [AT_A_DISTANCE] if at_a_distance else []
    return TrialAgreement(
        number=trial.number,
        agreed_on=on,
        shop=shop_party(ShopProfile.current()),
        customer=person_party(trial.person),
        instrument=_instrument(trial.instrument),
        figures=TrialFigures(
            price_minor=trial.price_minor,
            paid_minor=trial.pay_now_minor,
            delivery_minor=trial.delivery_minor,
            credit=trial.credit_terms.rule,
        ),
        starts_on=trial.starts_on,
        ends_on=trial.ends_on,
        place=trial.address,
        clauses=terms.for_agreement(*circumstances),
        terms_version=terms.version,
        delivery_note=trial.delivery_note,
        brought_words=_brought_words(trial),
        special_terms=trial.special_terms,
        cautions=terms.cautions,
        registration=registration,
        cancellation_form=at_a_distance,
        draft=is_draft,
    )


@whole
def keep_agreement(
    *, trial: Trial, stored: StoredFile, terms: dict, agreement: TrialAgreement, agreed_hash: str, by
) -> Paper:
    """Keep the agreement byte for byte, as `stored_paper` put it away, with the hash of its words.

    `agreed_hash` is its `content_hash`, which reads its pictures: taken before, while nobody waits. Raises
    Refused when the terms moved after it was printed.
    """
    if terms_of(trial) != terms:
        raise Refused("The terms were changed a moment ago. Read them again before you start.")
    paper = Paper.objects.create(
        kind=PaperKind.TRIAL_AGREEMENT,
        number=trial.number,
        instrument=trial.instrument,
        trial=trial,
        facts=terms | {"content_hash": agreed_hash},
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    keep_screen_signatures(paper=paper, agreement=agreement, by=by)
    return paper


def terms_of(trial: Trial) -> dict:
    """What was agreed, as plain values that fit into the record."""
    return {
        "number": trial.number,
        "instrument": trial.instrument.stock_number,
        "person": trial.person.name,
        "price_minor": trial.price_minor,
        "pay_now_minor": trial.pay_now_minor,
        "delivery_minor": trial.delivery_minor,
        "credit": credit_facts(trial.credit_terms),
        "starts_on": trial.starts_on.isoformat(),
        "ends_on": trial.ends_on.isoformat(),
        "address": trial.address,
        "delivery_note": trial.delivery_note,
        "special_terms": trial.special_terms,
        "agreed_where": trial.agreed_where,
        "terms_version": terms_for(trial).version,
    }


def credit_facts(terms: CreditTerms) -> dict:
    """The terms of credit as agreed, whole, so that the paper's record stands by itself."""
    return {
        "label": terms.label,
        "scale": terms.scale,
        "fees_that_count": list(terms.rule.fees_that_count),
        "only_dearer": terms.only_dearer,
        "expires_after_months": terms.expires_after_months,
    }


def terms_for(trial: Trial) -> ClauseSet:
    """The words of its agreement: those it was started with, and while it is a draft those in force."""
    return clauses_of(trial.terms) if trial.terms else terms_in_force().clauses


def _brought_words(trial: Trial) -> str:
    before = trial.exchanged_from
    return f"out of what was paid on home trial {before.number}, so far as it counts" if before else ""


def _registration(instrument: Instrument) -> str:
    return standing_reference(instrument, act="lending")


def _instrument(instrument: Instrument) -> TrialInstrument:
    findings = in_order_of_the_walk(instrument.findings.current())
    facts = [fact for fact in public_facts(instrument) if fact.label in FURTHER_FACTS]
    return TrialInstrument(
        maker=instrument.maker_name,
        stock_number=instrument.stock_number,
        serial=instrument.serial,
        serial_read_at=instrument.serial_read_at,
        made=instrument.made_words,
        made_basis=instrument.made_basis_words if instrument.made else "",
        compass=instrument.compass_words,
        further_facts=tuple(Fact(fact.label, fact.value, fact.basis) for fact in facts),
        photos=print_photos(instrument.photos.public(), MOST_PHOTOS),
        condition=tuple(
            ConditionLine(finding.get_part_display(), finding.get_condition_display(), finding.note)
            for finding in findings
            if not finding.is_fault and finding.condition != Condition.NOT_EXAMINED
        ),
        faults=tuple(
            f"{finding.get_part_display()}: {finding.note or finding.get_condition_display().lower()}"
            for finding in findings
            if finding.is_fault
        ),
    )
