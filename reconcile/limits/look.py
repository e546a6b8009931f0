"""One text, read once: its tokens, its figures in relation to each other, their meanings."""

from __future__ import annotations

from dataclasses import replace
from hashlib import blake2b

from reconcile.limits.candidates import Option
from reconcile.limits.context import Context
from reconcile.limits.interpret import interpret
from reconcile.limits.meaning import Meaning
from reconcile.measure.quantity import Quantity
from reconcile.notation.grammar import find_drafts
from reconcile.notation.lexicon import Mention, lexicon, unit_words
from reconcile.notation.tokens import Tokens, read_tokens
from reconcile.notation.tradition import Manner, detect
from reconcile.notation.values import ValueReader


def digest_of(text: str) -> str:
    """Digest that the ids of a text's figures begin with."""
    return blake2b(text.encode("utf-8", "surrogatepass"), digest_size=8).hexdigest()


_SURE = 0.85
"""Odds of a tradition, found by its signs, from which a lone line is taken to be of it."""


def interpreted(
    text: str, tradition: str, head: str = "", *, sure: bool = False, speech: bool = False
) -> tuple[Manner, Context, list[Meaning]]:
    """Meanings of every figure in `head` and `text`; the manner is that of `text` alone.

    `sure` asks for more than one sign of a tradition: "r.p.m." or "mph" beside a gallon is
    enough on a page of such, and nothing on a line of its own.
    """
    manner = detect(text, tradition)
    if sure and tradition == "unknown" and manner.odds[0][1] < _SURE:
        manner = manner._replace(tradition="unknown")
    if speech:
        manner = manner._replace(speech=True)
    languages = manner.languages
    if head and "english" not in languages:
        languages = (*languages, "english")  # names of parameters are English
    tokens, mentions, reader = reader_of(head + text, manner, languages)
    ctx = Context(tokens, mentions, find_drafts(reader), manner.tradition)
    ctx.speech = manner.speech  # type: ignore[attr-defined]
    return manner, ctx, interpret(ctx)


def reader_of(
    text: str, manner: Manner, languages: tuple[str, ...]
) -> tuple[Tokens, list[Mention], ValueReader]:
    """A text's tokens, its phrases, and what reads the numbers out of them."""
    lex = lexicon(languages)
    tokens = read_tokens(
        text, unit_words(), spaced=manner.continental, known=lex.words,
        split=lex.split if {"german", "russian"} & set(languages) else None,
    )  # fmt: skip
    mentions = lex.find_terms(tokens)
    reader = ValueReader(
        tokens, {m.i: m for m in reversed(mentions)}, manner.tradition, manner.continental,
        languages, manner.speech,
    )  # fmt: skip
    return tokens, mentions, reader


def option_quantity(option: Option, like: Quantity) -> Quantity:
    """What a figure measures if read so; all else as `like`."""
    return replace(
        like, nominal=option.nominal, lo=option.lo, hi=option.hi, plus_minus=option.plus_minus,
        resolution=option.resolution, unit=option.unit, kind=option.kind,
        form=option.form,  # type: ignore[arg-type]
    )  # fmt: skip
