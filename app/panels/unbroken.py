"""No line of what is said ends inside a number and its unit, a place, an equation or a quotient."""

import re

_BOLD = "(?:</?b>)?"
_KEPT_TOGETHER = re.compile(
    r"(?<=\d)(?P<before>" + _BOLD + r") (?P<after>" + _BOLD + r")(?=(?:mm|deg|%)(?!\w))"
    r"|(?<=\d,) (?=[\N{MINUS SIGN}-]?[\d.]+\))"
    r"|(?<=\S) (?=[=/])|(?<=[=/]) (?=\S)"
)


def unbroken(sentence: str) -> str:
    """The sentence with blanks at which no line may end; plain words, or rich text in which some are bold."""
    return _KEPT_TOGETHER.sub(lambda found: f"{found['before'] or ''}\N{NO-BREAK SPACE}{found['after'] or ''}", sentence)
