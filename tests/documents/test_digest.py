"""The digest of a document: the same whether its texts are kept or let go of on the way."""

from __future__ import annotations

import pytest

from binder.documents import digest
from binder.inventory.records import Drive, Motor


@pytest.mark.parametrize("most", [0, 1, 7, 10_000])
def test_digesting_in_parts_gives_the_same(monkeypatch: pytest.MonkeyPatch, most: int) -> None:
    things = ([("a", "b"), ["c", None, 3.5]] * 4, {"k": (Drive(tag="P-1"), Motor(tag="M-1"))}, "", ())
    whole = digest.digest_of(*things)
    monkeypatch.setattr(digest, "_MOST_KEPT", most)
    assert digest.digest_of(*things) == whole
    assert digest.digest_of(*things, "x") != whole
