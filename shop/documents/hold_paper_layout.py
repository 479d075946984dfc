"""How the paper of a hold is set out: what is held, until when, and what becomes of the deposit."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.content import Fact
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Gap, Rule, bulleted, facts_grid, heading
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.hold_paper import HoldPaper
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties


def lay_out(paper: HoldPaper) -> bytes:
    title = f"Hold {paper.extends}, extended" if paper.extends else f"Hold {paper.number}"
    imprint = Imprint(
        title=title,
        subject=paper.description,
        shop_name=paper.shop.name,
        number=paper.number,
        dated=paper.dated,
        content_hash=in_fours(content_hash(paper)),
        running_head=title,
    )
    return print_sheet([*_head(paper, title), *_terms(paper)], imprint)


def _head(paper: HoldPaper, title: str) -> list[Flowable]:
    return [
        *letterhead(paper.shop, f"{title}\n{day_in_words(paper.dated)}"),
        *p(title, styles.TITLE, kind="H1"),
        Rule(colour=styles.INK, before=7, after=6),
        *two_parties(paper.shop, paper.customer),
        Gap(6),
        *facts_grid(tuple(Fact(label, value) for label, value in paper.facts if value)),
        *heading("What is held"),
        *p(paper.description, styles.BODY),
    ]


def _terms(paper: HoldPaper) -> list[Flowable]:
    lines = bulleted([p(words, styles.BODY) for words in paper.terms], width=WIDTH)
    also = [*heading("Also agreed"), *p(paper.also, styles.BODY)] if paper.also else []
    return [*heading("Its terms"), *lines, *also]
