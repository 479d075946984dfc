"""How the guarantee is set out: part by part, what it needs, what is not in it, how to ask for it."""

from collections.abc import Iterable

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Rule, Together, bulleted, facts_grid, heading
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.tables import plain_table
from instruments.documents.text import p
from shop.documents.guarantee import CoveredLine, GuaranteePaper
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties

WIDTHS = (WIDTH * 0.27, WIDTH * 0.1, WIDTH * 0.16, WIDTH * 0.47)
HEADINGS = ("Part", "For", "Until", "What of it")


def lay_out(paper: GuaranteePaper) -> bytes:
    title = f"Guarantee {paper.number}"
    imprint = Imprint(
        title=title,
        subject=f"{paper.instrument}, guaranteed by {paper.shop.name}",
        shop_name=paper.shop.name,
        number=paper.number,
        dated=paper.given_on,
        content_hash=in_fours(content_hash(paper)),
        running_head=f"{title}, continued",
    )
    return print_sheet([*_head(paper), *_covered(paper), *_words(paper), *_closing(paper)], imprint)


def _head(paper: GuaranteePaper) -> list[Flowable]:
    return [
        *letterhead(paper.shop, f"Guarantee {paper.number}\n{day_in_words(paper.given_on)}"),
        *p("Guarantee", styles.TITLE, kind="H1"),
        *p(f"For {paper.instrument}", styles.SENTENCE),
        Rule(colour=styles.INK, before=7, after=6),
        *two_parties(paper.shop, paper.buyer),
        *heading("The instrument"),
        *facts_grid(paper.facts),
        *p(paper.caution, styles.CAUTION),
    ]


def _covered(paper: GuaranteePaper) -> list[Flowable]:
    rows = [_row(line) for line in paper.covered]
    return [
        *heading("What we put right at our cost"),
        *p(paper.begins, styles.BODY),
        *plain_table(HEADINGS, rows, WIDTHS),
        *_part("Not in it", p("; ".join(paper.not_covered), styles.DATA) if paper.not_covered else []),
    ]


def _row(line: CoveredLine) -> list:
    return [p(line.part, styles.DATA_STRONG), line.months, line.until, line.note]


def _words(paper: GuaranteePaper) -> list[Flowable]:
    return [
        *_part("What it needs", _listed(paper.needs)),
        *_part("What is no fault", p(paper.excluded, styles.DATA)),
        *_part("Tunings", _listed(paper.tunings)),
        *_part("Agreed besides", p(paper.special, styles.DATA) if paper.special else []),
    ]


def _closing(paper: GuaranteePaper) -> list[Flowable]:
    block = [
        Rule(before=0, after=5),
        *p("If something is wrong", styles.LEAD_IN, kind="H2"),
        *p(paper.how_to_claim, styles.DATA),
    ]
    return [Together(block, before=8, at_foot=True)]


def _part(title: str, pieces: list[Flowable]) -> list[Flowable]:
    return [*heading(title), *pieces] if pieces else []


def _listed(lines: Iterable[str]) -> list[Flowable]:
    return bulleted([p(line, styles.DATA) for line in lines], width=WIDTH)
