"""Fixed texts in a second language: cautions, lockout cards and door cards, which crews must understand.

A catalogue is one JSON file a language, groups of English text -> translation. Nothing is
translated twice or by rule: a text that is not in the catalogue stays as it is, and so do tags,
numbers, units and whatever a person typed.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import TypeVar

from docutils import nodes

from binder.documents.nodes import caution_box

Block = TypeVar("Block", bound=nodes.Element)

ENGLISH = "English"

#: Language of the binder, as on the Site sheet -> languages in which its cards are printed, in this order.
SPOKEN: Mapping[str, tuple[str, ...]] = {
    ENGLISH: (ENGLISH,),
    "Spanish": ("Spanish",),
    "English and Spanish": (ENGLISH, "Spanish"),
}

#: Language -> its code, which names the catalogue and marks its texts for screen readers.
CODES = {ENGLISH: "en", "Spanish": "es"}

#: Signal words as ANSI Z535.6-2011 gives them in Spanish (from memory, check).
_SIGNAL_WORDS = {
    "Spanish": {
        "danger": "PELIGRO",
        "warning": "ADVERTENCIA",
        "caution": "PRECAUCIÓN",
        "notice": "AVISO",
        "stop": "ALTO",
        "note": "NOTA",
    }
}

# What may stand in a place of a pattern, by its name: {n} a number, {t} a tag or mark, {WORD} another entry of the
# catalogue, {word} any text.
_NUMBER = r"[+-]?\d[\d.,]*"
_MARK = r"[A-Z0-9.:+/-]+(?: [A-Z0-9.:+/-]+)?"
_PLACE = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True)
class _Pattern:
    """A catalogue entry with places; `known` are places whose text must be an entry itself."""

    match: re.Pattern[str]
    translation: str
    known: frozenset[str]


@dataclass(frozen=True, slots=True)
class _Catalogue:
    phrases: Mapping[str, str]
    patterns: tuple[_Pattern, ...]


def spoken(site_language: str) -> tuple[str, ...]:
    """Languages in which cards are printed.

    Parameters
    ----------
    site_language : str
        As on the Site sheet; anything unknown is English.

    Returns
    -------
    tuple of str
    """
    return SPOKEN.get(site_language, (ENGLISH,))


def say(text: str, language: str) -> str:
    """A text in a language.

    Parameters
    ----------
    text : str
        English, as the pages are written: a fixed sentence, one with values, or pieces parted by
        ';' or ','.
    language : str
        A key of `CODES`, or 'English and Spanish' for both, parted by a stroke.

    Returns
    -------
    str
        What the catalogue does not hold stays as it is.

    Examples
    --------
    >>> say("Open the covers. Reach into nothing yet.", "Spanish")
    'Abra las tapas. Todavía no meta las manos.'
    >>> say("DS-101", "Spanish"), say("480 V, 3-phase", "Spanish")
    ('DS-101', '480 V, 3 fases')
    """
    if language == ENGLISH or not text:
        return text
    if language in SPOKEN and len(SPOKEN[language]) > 1:
        return " / ".join(dict.fromkeys(say(text, one) for one in SPOKEN[language]))
    return _said(text, CODES[language])


def translated(text: str, language: str) -> str | None:
    """The translation of a whole text, or None when the catalogue does not hold it.

    Parameters
    ----------
    text : str
    language : str
        A key of `CODES` other than English.

    Returns
    -------
    str or None
    """
    return _whole(text, CODES[language])


@lru_cache(maxsize=8192)
def _said(text: str, code: str) -> str:
    """The whole text, else piece by piece."""
    found = _whole(text, code)
    if found is not None:
        return found
    for mark in ("; ", ", "):
        pieces = text.split(mark)
        if len(pieces) > 1:
            return mark.join(_said(piece, code) for piece in pieces)
    return text


@lru_cache(maxsize=8192)
def _whole(text: str, code: str) -> str | None:
    fixed = _phrase(text, code)
    if fixed is not None:
        return fixed
    for pattern in _catalogue(code).patterns:
        found = pattern.match.fullmatch(text)
        if found is None:
            continue
        parts = found.groupdict()
        if all(_phrase(parts[name], code) is not None for name in pattern.known):
            said = {name: _said(part, code) for name, part in parts.items()}
            return pattern.translation.format(**said)
    return None


def _phrase(text: str, code: str) -> str | None:
    """A text without places; one that opens a sentence has its first letter raised."""
    phrases = _catalogue(code).phrases
    if text in phrases:
        return phrases[text]
    found = phrases.get(text[:1].lower() + text[1:])
    return None if found is None else found[:1].upper() + found[1:]


@lru_cache(maxsize=4)
def _catalogue(code: str) -> _Catalogue:
    groups = json.loads((files("binder.documents") / "words" / f"{code}.json").read_text(encoding="utf-8"))
    entries = {english: other for group in groups.values() for english, other in group.items()}
    patterns = [(english, other) for english, other in entries.items() if "{" in english]
    # The longest fixed text first: the narrow pattern wins over the wide one.
    patterns.sort(key=lambda entry: (-len(_PLACE.sub("", entry[0])), entry[0]))
    plain = {english: other for english, other in entries.items() if "{" not in english}
    return _Catalogue(plain, tuple(_pattern(english, other) for english, other in patterns))


def _pattern(english: str, other: str) -> _Pattern:
    made, at, names = "", 0, []
    for place in _PLACE.finditer(english):
        name = place[1]
        shape = {"n": _NUMBER, "t": _MARK}.get(name.rstrip("0123456789"), ".+?")
        made += re.escape(english[at : place.start()]) + f"(?P<{name}>{shape})"
        at = place.end()
        names.append(name)
    return _Pattern(
        re.compile(made + re.escape(english[at:]), re.DOTALL), other, frozenset(n for n in names if n.isupper())
    )


# Nodes ---------------------------------------------------------------------------------------------


def speak_cautions(made: Sequence[nodes.Node], language: str) -> list[nodes.Node]:
    """Put every caution box into the binder's languages.

    Parameters
    ----------
    made : sequence of nodes
        Changed in place.
    language : str
        As on the Site sheet.

    Returns
    -------
    list of nodes
        The same nodes. With two languages the texts of a box stand one below the other.
    """
    for node in made:
        if isinstance(node, nodes.Element):
            for box in list(node.findall(caution_box)):
                _speak_box(box, spoken(language))
    return list(made)


def speak_texts(made: Iterable[nodes.Node], language: str) -> list[nodes.Node]:
    """Put caution boxes, paragraphs and list items into the binder's languages.

    Parameters
    ----------
    made : iterable of nodes
        Changed in place.
    language : str
        As on the Site sheet.

    Returns
    -------
    list of nodes
    """
    top = nodes.compound("", *made)  # a top of its own, so that each node has a place to be replaced in
    speak_cautions([top], language)
    for paragraph in list(top.findall(nodes.paragraph)):
        if not isinstance(paragraph.parent, caution_box):
            _speak_paragraph(paragraph, spoken(language))
    found = list(top.children)
    for node in found:
        top.remove(node)
    return found


def caution_title(grade: str, title: str, language: str) -> str:
    """A caution's title in a language, with the signal word before it where that is not English."""
    word = _SIGNAL_WORDS.get(language, {}).get(grade)
    said = say(title, language)
    return f"{word}: {said}" if word else said


def _speak_box(box: caution_box, languages: Sequence[str]) -> None:
    if languages == (ENGLISH,):
        return
    box["title"] = " / ".join(caution_title(box["grade"], box["title"], one) for one in languages)
    for paragraph in list(box.findall(nodes.paragraph)):
        _speak_paragraph(paragraph, languages)


def _speak_paragraph(paragraph: nodes.paragraph, languages: Sequence[str]) -> None:
    """Follow a paragraph by its translation, or put that in its place; one that is not known stays alone."""
    text = paragraph.astext()
    said = [spoken_paragraph(say(text, one), one) for one in languages if one != ENGLISH and say(text, one) != text]
    if said:
        paragraph.parent.replace(paragraph, [paragraph, *said] if ENGLISH in languages else said)


def spoken_paragraph(text: str, language: str) -> nodes.paragraph:
    """A paragraph marked with its language."""
    return marked(nodes.paragraph("", "", nodes.Text(text)), language)


def marked(node: Block, language: str) -> Block:
    """Mark a block with its language, for voices that read aloud; English is that of the page."""
    if language != ENGLISH:
        node["classes"].append(f"language-{CODES[language]}")  # docutils makes it the attribute lang
    return node
