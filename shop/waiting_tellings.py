"""Who agreed to be told, and was not told yet of what is in the window."""

from instruments.models.together import asking
from shop.tellings import to_tell
from shop.waiting_lines import MOST, Group, Waiting, named


@asking
def tellings_waiting():
    found = yield from to_tell.later()
    lines = [
        Waiting(
            f"{each.wanted.person}: {named(each.instrument)}",
            f"It did not go: {each.telling.said}" if each.telling else "; ".join(each.match.reasons),
            each.url,
            is_late=each.telling is not None,
        )
        for each in found[:MOST]
    ]
    return [Group("In the window now, and asked to be told", lines)] if lines else []
