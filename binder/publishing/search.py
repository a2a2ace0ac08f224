"""Search words of the trade: tags, setting numbers, terminals and fault codes stay whole.

The stock splitter breaks at every sign and drops pure numbers: 'P-101' would find every page and
'02.110' none. Here a word keeps its inner signs, its parts are found too, and a pure number is
kept by a letter in front, on the page and in the query.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

from sphinx.search import SearchLanguage

_DASHES = str.maketrans(dict.fromkeys("‐‑‒–—−", "-"))
_WORD = re.compile(r"\w(?:[\w.:/+\-]*\w)?")
_INNER = re.compile(r"[.:/+\-]+")


def words(text: str) -> list[str]:
    """Search words of a text.

    >>> words("-K7:13, code 103")
    ['K7:13', 'K7', 'n13', 'code', 'n103']
    """
    result: list[str] = []
    for whole in _WORD.findall(text.translate(_DASHES)):
        result.append(_kept(whole))
        parts = _INNER.split(whole)
        if len(parts) > 1:
            result += [_kept(part) for part in parts if part]
    return result


def _kept(word: str) -> str:
    """The index drops pure numbers; a letter in front keeps them."""
    return f"n{word}" if word.isdigit() else word


def drop_empty_words(index: Path) -> None:
    """Take words without a page out of a search index: a rebuild leaves them, a fresh build has none."""
    if not index.exists() or ":[]" not in (text := index.read_text("utf-8")):
        return
    head, _, rest = text.partition("(")
    data = json.loads(rest.rpartition(")")[0])
    for name in ("terms", "titleterms"):
        data[name] = {word: pages for word, pages in data[name].items() if pages != []}
    index.write_text(f"{head}({json.dumps(data, separators=(',', ':'), sort_keys=True)})", "utf-8", newline="\n")


class TradeSearch(SearchLanguage):
    """The splitter as Sphinx wants it, for the index and, in JavaScript, for the query."""

    lang = "trade"
    language_name = "Trade"
    js_splitter_code = r"""
var splitQuery = (query) =>
  (query.replace(/[‐‑‒–—−]/g, "-").match(/[\p{L}\p{N}_](?:[\p{L}\p{N}_.:\/+\-]*[\p{L}\p{N}_])?/gu) || [])
    .map((word) => (/^\p{Nd}+$/u.test(word) ? "n" + word : word));
"""

    def split(self, input: str) -> list[str]:  # noqa: A002 - Sphinx names it
        """Split a text into search words."""
        return words(input)

    def word_filter(self, word: str) -> bool:
        """Index every word; nothing a technician types is noise."""
        return bool(word)
