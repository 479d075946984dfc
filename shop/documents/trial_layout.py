"""How the trial agreement is set out: the deal on the front, the terms and the places to sign on the back."""

from collections.abc import Iterator

from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import pour, styles
from instruments.documents.columns import Columns, Newspaper
from instruments.documents.content import ConditionLine, Fact
from instruments.documents.dates import day_in_words, weekday_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.gallery import gallery
from instruments.documents.pieces import (
    Gap,
    Rule,
    Together,
    bulleted,
    condition_table,
    facts_grid,
    heading,
    money_column,
    numbered_clauses,
    section,
)
from instruments.documents.sheet import FIRST_PAGE_HEIGHT, FURTHER_PAGE_HEIGHT, WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents import trial_words as words
from shop.documents.cancelling_layout import form_to_cut_off
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties
from shop.documents.signing_block import GAP, HALF, signing_block
from shop.documents.trial_agreement import TrialAgreement

THIRD_GAP = 16
THIRD = (WIDTH - 2 * THIRD_GAP) / 3
# Height of photographs and how tightly the rest is set, largest first.
FRONTS = (
    (28 * mm, styles.LOOSE),
    (24 * mm, styles.LOOSE),
    (20 * mm, styles.LOOSE),
    (20 * mm, styles.TIGHT),
    (16 * mm, styles.TIGHT),
)
SPACE_ABOVE_SIGNING = 10
CLAUSE_SETTINGS = (
    (styles.CLAUSE_HEADING, styles.TERMS),
    (styles.SMALL_CLAUSE_HEADING, styles.SMALL_TERMS),
    (styles.FINE_CLAUSE_HEADING, styles.FINE_TERMS),
)
MOST_PHOTOS = 4
DRAFT = "Draft, not signed"
NO_CONDITION = "Nothing has been written down of its condition."
DRAFT_WIDTH = 120
LINES_FOR_ONE_TABLE = 4


def lay_out(agreement: TrialAgreement) -> bytes:
    imprint = Imprint(
        title=f"Home trial agreement {agreement.number}",
        subject=words.opening_sentence(agreement),
        shop_name=agreement.shop.name,
        number=agreement.number,
        dated=agreement.agreed_on,
        content_hash=in_fours(content_hash(agreement)),
        running_head=f"Home trial agreement {agreement.number}, terms {agreement.terms_version}",
        notice=DRAFT if agreement.draft else "",
    )
    signing = _signing(agreement)
    room = FURTHER_PAGE_HEIGHT - pour.height_of(signing, WIDTH) - SPACE_ABOVE_SIGNING
    front, back = _two_pages(agreement, room)
    turn = [pour.NewPage()] if _fits(front, FIRST_PAGE_HEIGHT) else []
    return print_sheet([*front, *turn, *back, *signing, *_cancellation_form(agreement)], imprint)


def _two_pages(agreement: TrialAgreement, room: float) -> tuple[list[Flowable], list[Flowable]]:
    """As much of how it ends stands in front as leaves both pages room; the rest stands over the terms."""
    figures = _exchange_in_figures(agreement)
    apart = [*heading("An exchange in figures"), *figures] if figures else []
    ways = (
        (lambda setting: [*_endings(agreement, setting), *figures], []),
        (lambda setting: _endings(agreement, setting), apart),
        (lambda setting: [], [*_endings(agreement, styles.TIGHT), *figures]),
    )
    in_front_at_least = None
    for in_front, over_terms in ways:
        fronts = ([*_front(agreement, *each), *_whole(in_front(each[1]))] for each in FRONTS)
        backs = ([*_whole(over_terms), *_terms(agreement, each)] for each in CLAUSE_SETTINGS)
        front, back = _largest_that_fits(fronts, FIRST_PAGE_HEIGHT), _largest_that_fits(backs, room)
        if not _fits(front, FIRST_PAGE_HEIGHT):
            continue
        if _fits(back, room):
            return front, back
        in_front_at_least = in_front_at_least or (front, back)
    return in_front_at_least or (front, back)


def _whole(pieces: list[Flowable]) -> list[Flowable]:
    return [Together(pieces, before=8)] if pieces else []


def _fits(pieces: list[Flowable], room: float) -> bool:
    return pour.height_of(pieces, WIDTH) <= room


def _largest_that_fits(settings: Iterator[list[Flowable]], room: float) -> list[Flowable]:
    """Where none of them fits there is no use in setting it small. What comes after is not even set."""
    if _fits(largest := next(settings), room):
        return largest
    return next((pieces for pieces in settings if _fits(pieces, room)), largest)


def _front(agreement: TrialAgreement, photo_height: float, setting: styles.Setting) -> list[Flowable]:
    return [
        *_head(agreement),
        *two_parties(agreement.shop, agreement.customer),
        *_instrument(agreement, photo_height, setting),
        *_condition(agreement, setting),
        *_money_and_days(agreement, setting),
    ]


def _head(agreement: TrialAgreement) -> list[Flowable]:
    reference = (
        f"Agreement {agreement.number}, terms {agreement.terms_version}\n{day_in_words(agreement.agreed_on)}"
    )
    title = p("Home trial agreement", styles.TITLE, kind="H1")
    draft = [Gap(12), *p(DRAFT, styles.DRAFT)] if agreement.draft else []
    return [
        *letterhead(agreement.shop, reference),
        Columns([title, draft], [WIDTH - DRAFT_WIDTH, DRAFT_WIDTH], gap=0),
        *p(words.opening_sentence(agreement), styles.SENTENCE),
        Rule(colour=styles.INK, before=7, after=6),
    ]


def _instrument(agreement: TrialAgreement, photo_height: float, setting: styles.Setting) -> list[Flowable]:
    instrument = agreement.instrument
    facts = [
        Fact("Maker", instrument.maker),
        Fact("Serial", instrument.serial or "none found", instrument.serial_read_at),
        Fact("Made", instrument.made or "date not known", instrument.made_basis),
        Fact("Stock number", instrument.stock_number),
        Fact("Compass", instrument.compass),
        *instrument.further_facts,
        Fact("Goes with it", instrument.goes_with_it),
        Fact("Registration of protected material", agreement.registration),
    ]
    return [
        *heading("The instrument", setting),
        *facts_grid(tuple(fact for fact in facts if fact.value)),
        *gallery(instrument.photos[:MOST_PHOTOS], width=WIDTH, group=False, tallest_row=photo_height),
    ]


def _condition(agreement: TrialAgreement, setting: styles.Setting) -> list[Flowable]:
    instrument = agreement.instrument
    faults = bulleted([p(fault, styles.DATA) for fault in instrument.faults], width=WIDTH)
    nothing = not instrument.condition and not faults
    return [
        *heading("As it goes out", setting),
        *(p(NO_CONDITION, styles.DATA) if nothing else []),
        *_condition_tables(instrument.condition),
        *(p("Faults we both know of", styles.LABEL_APART, kind="H3") if faults else []),
        *faults,
    ]


def _condition_tables(lines: tuple[ConditionLine, ...]) -> list[Flowable]:
    """Of a long list, what has a note stands in tables, and the rest in a sentence for each grade."""
    if len(lines) <= LINES_FOR_ONE_TABLE:
        return condition_table(lines)
    parts: dict[str, list[str]] = {}
    for line in lines:
        if not line.note:
            parts.setdefault(line.grade, []).append(line.part.lower())
    told = [f"{grade}: {', '.join(those)}." for grade, those in parts.items()]
    noted = _side_by_side(tuple(line for line in lines if line.note))
    return [*noted, *(piece for words in told for piece in p(words, styles.DATA))]


def _side_by_side(lines: tuple[ConditionLine, ...]) -> list[Flowable]:
    if len(lines) <= LINES_FOR_ONE_TABLE:
        return condition_table(lines)
    middle = (len(lines) + 1) // 2
    tables = [condition_table(half, width=HALF) for half in (lines[:middle], lines[middle:])]
    return [Columns(tables, [HALF, HALF], gap=GAP)]


def _money_and_days(agreement: TrialAgreement, setting: styles.Setting) -> list[Flowable]:
    money = [*heading("The money", setting), *money_column(words.money_lines(agreement), width=HALF)]
    facts = (
        Fact("First day", weekday_in_words(agreement.starts_on)),
        Fact("Last day, fixed", weekday_in_words(agreement.ends_on), words.length_in_words(agreement)),
    )
    days = [
        *heading("The days and the place", setting),
        *facts_grid(facts, width=HALF, across=2),
        *facts_grid((Fact("Where it stands", agreement.place),), width=HALF, across=1),
    ]
    return [Together([Columns([money, days], [HALF, HALF], gap=GAP)], before=8)]


def _endings(agreement: TrialAgreement, setting: styles.Setting) -> list[Flowable]:
    figures = agreement.figures
    endings = (
        ("Keep it", words.keep_words(figures)),
        ("Exchange it", words.exchange_words(figures)),
        ("Return it", words.return_words(figures)),
    )
    columns = [[*p(title, styles.LEAD_IN, kind="H3"), *p(text, styles.DATA)] for title, text in endings]
    return [
        *heading("How the trial ends: you choose one of three", setting),
        Columns(columns, [THIRD] * 3, gap=THIRD_GAP, space_after=5),
    ]


def _exchange_in_figures(agreement: TrialAgreement) -> list[Flowable]:
    figures = agreement.figures
    rule = words.credit_rule_words(agreement) if figures.counting_minor else ""
    return [*p(rule, styles.TERMS), *p(words.worked_example(figures), styles.TERMS)]


def _terms(agreement: TrialAgreement, setting) -> list[Flowable]:
    clauses = numbered_clauses(words.filled_clauses(agreement), width=HALF, setting=setting)
    special = p(agreement.special_terms, styles.TERMS)
    return [
        *heading("Terms"),
        Newspaper(clauses, WIDTH, gap=GAP),
        *section("Agreed besides", special, width=WIDTH, setting=styles.LOOSE),
    ]


def _signing(agreement: TrialAgreement) -> list[Flowable]:
    signers = (
        (f"For {agreement.shop.name}", agreement.shop_signature),
        (agreement.customer.name, agreement.customer_signature),
    )
    return signing_block(signers, words.filled(agreement, *agreement.cautions))


def _cancellation_form(agreement: TrialAgreement) -> list[Flowable]:
    """On a page of its own, to be cut off by whoever wishes to use it; any clear statement does as well."""
    if not agreement.cancellation_form:
        return []
    about, declaration = words.about_the_form(agreement), words.cancellation(agreement)
    return [pour.NewPage(), *form_to_cut_off(about, declaration)]
