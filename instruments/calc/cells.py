"""Text in the cells of spreadsheets, where some first characters make a spreadsheet calculate or call out.

Rule and characters: OWASP, "CSV Injection" (= + - @ Tab CR), with LF, NUL and the full-width forms that
some programs fold into the plain ones.
"""

import re

# White space and invisible marks before the character do not disarm it.
ARMED = re.compile("'*[\\s\ufeff\u200b-\u200f\u2060]*[=+\\-@\t\r\n\0＝＋－＠]")
LONGEST_XLSX_TEXT = 32_767  # ECMA-376, the limit that Excel keeps


def guarded(text: str) -> str:
    """For CSV: an apostrophe before any text that a spreadsheet might run. `unguarded` takes it off again."""
    return f"'{text}" if ARMED.match(text) else text


def guarded_for_xlsx(text: str) -> str:
    """For XLSX, where a cell is marked as text: only what `unguarded` would change needs its apostrophe."""
    return f"'{text}" if unguarded(text) != text else text


def unguarded(text: str) -> str:
    """Exactly one apostrophe off a guarded text; every other text as it is."""
    return text[1:] if text.startswith("'") and ARMED.match(text[1:]) else text
