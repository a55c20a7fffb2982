"""Findings and verdicts (code and data) made words; the window, the command line and the reports all use these.

Every function takes the translator last: a callable from an English text to the text to show, as Qt's `tr` is.
"""

from core.sentences.checks import check_sentence, only_together, way_out_sentence, why
from core.sentences.cover import caution, not_covered_sentences, unchecked_reason, unchecked_sentence
from core.sentences.findings import finding_sentence
from core.sentences.line import change_line, verdict_line
from core.sentences.numbers import Translator, degree_sign, mm, plain
from core.sentences.together import together_sentence
from core.sentences.verdict import counts_sentence, telling_check, verdict_sentence

__all__ = [
    "Translator",
    "caution",
    "change_line",
    "check_sentence",
    "counts_sentence",
    "degree_sign",
    "finding_sentence",
    "mm",
    "not_covered_sentences",
    "only_together",
    "plain",
    "telling_check",
    "together_sentence",
    "unchecked_reason",
    "unchecked_sentence",
    "verdict_line",
    "verdict_sentence",
    "way_out_sentence",
    "why",
]
