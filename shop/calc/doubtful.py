"""What speaks for a machine having sent an enquiry. It is kept all the same: a person looks at it.

The figures are common practice, no source: a sentence takes a person more than a few seconds, and whoever
asks after a piano gives no list of addresses.
"""

import re
import unicodedata

LEAST_SECONDS = 4
MOST_LINKS = 2
LINK = re.compile(r"https?://|\bwww\.|\[url|<a\s", re.IGNORECASE)


def doubts(
    *, seconds: int, trap: str, texts: tuple[str, ...], others_with_these_words: int
) -> tuple[str, ...]:
    """A sentence for each reason to doubt; none for what a person seems to have sent.

    `seconds` between the page and its sending, `trap` what stood in the field that people do not see,
    `texts` all that was typed, and how many others sent the same words of late.
    """
    links = sum(len(LINK.findall(text)) for text in texts)
    found = (
        (bool(trap.strip()), "The field that people do not see was filled in."),
        (seconds < LEAST_SECONDS, f"It was sent within {LEAST_SECONDS} seconds of the page being opened."),
        (links > MOST_LINKS, f"It holds {links} links."),
        (others_with_these_words > 0, "Somebody else sent the same words of late."),
    )
    return tuple(sentence for is_so, sentence in found if is_so)


def bare_words(text: str) -> str:
    """The letters and figures of a text alone, so that spaces and case do not hide the same words."""
    plain = unicodedata.normalize("NFKC", text).casefold()
    return " ".join(re.findall(r"[^\W_]+", plain))
