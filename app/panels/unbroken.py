"""No line of what is said ends inside a number and its unit, a place, an equation, a quotient, or a short name in bold."""

import re

LONGEST_NAME = 16
"""Letters; a longer name may go on in the next line."""

_BOLD = "(?:</?b>)?"
_KEPT_TOGETHER = re.compile(
    r"(?<=\d)(?P<before>" + _BOLD + r") (?P<after>" + _BOLD + r")(?=(?:mm|deg|%)(?!\w))"
    r"|(?<=\d,) (?=[\N{MINUS SIGN}-]?[\d.]+\))"
    r"|(?<=\S) (?=[=/])|(?<=[=/]) (?=\S)"
)
_NAME = re.compile(rf"<b>[^<]{{1,{LONGEST_NAME}}}</b>")
_BLANK = "\N{NO-BREAK SPACE}"


def unbroken(sentence: str) -> str:
    """The sentence with blanks at which no line may end; plain words, or rich text in which some are bold."""
    kept = _KEPT_TOGETHER.sub(lambda found: f"{found['before'] or ''}{_BLANK}{found['after'] or ''}", sentence)
    return _NAME.sub(lambda found: found[0].replace(" ", _BLANK), kept)
