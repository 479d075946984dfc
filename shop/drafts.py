"""What the record alone would say of an instrument today, in the shop's own words and order."""

from dataclasses import fields, replace

from instruments.calc.wording import names_in
from instruments.models import Instrument
from instruments.standings import Weighed, weighed_statements
from shop.calc.drafting import Draft, Sentence, draft
from shop.calc.voice import Voice, house_voice
from shop.facts import listing_facts
from shop.models import ListingOrder, ListingSentence
from shop.private_names import private_names
from shop.showing import plainly


def voice_in_use() -> Voice:
    """The house's sentences and order, with those the shop has changed in their place."""
    own_sentences = ListingSentence.objects.filter(is_own=True)
    own_orders = ListingOrder.objects.filter(is_own=True)
    voice = house_voice().with_forms({row.code: row.text for row in own_sentences})
    return voice.with_versions({row.version: (tuple(row.topics), row.most_characters) for row in own_orders})


def drafted(
    instrument: Instrument, voice: Voice | None = None, *, weighed: list[Weighed] | None = None
) -> Draft:
    """Without any sentence that repeats what was contradicted, or names who sold it or told of it."""
    written = draft(listing_facts(instrument), voice or voice_in_use())
    names = private_names(instrument)
    fallen = fallen_claims(weighed_statements(instrument) if weighed is None else weighed)

    def may_stand(sentence: Sentence) -> bool:
        words = plainly(sentence.text)
        return not names_in(sentence.text, names) and not any(claim in words for claim in fallen)

    kept = {
        each.name: [sentence for sentence in getattr(written, each.name) if may_stand(sentence)]
        for each in fields(written)
        if isinstance(getattr(written, each.name), list)
    }
    headline = written.headline_from
    if not may_stand(headline):
        headline = replace(headline, text=f"{instrument.maker_name} {instrument.get_kind_display().lower()}")
    return replace(written, headline=headline.text, headline_from=headline, **kept)


def fallen_claims(weighed: list[Weighed]) -> set[str]:
    """What was said and is contradicted by now, as `plainly` writes it."""
    return {plainly(each.statement.text) for each in weighed if not each.standing.may_be_printed} - {""}
