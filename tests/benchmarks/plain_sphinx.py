"""The reference: the content of a binder as hand-written pages with list-tables, for plain Sphinx.

Run as a script it times both sides at the same work, in full and again with nothing changed: plain
Sphinx on its pages, and the binder from nodes that are made already. Prints four figures of processor
time: python tests/benchmarks/plain_sphinx.py PROJECT SOURCE OUT
"""

from __future__ import annotations

import shutil
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from docutils import nodes
from sphinx.cmd.build import build_main
from sphinx.util.rst import escape

from binder.documents import nodes as own
from binder.documents.document import Binder, Document
from binder.publishing.build import build_binder
from binder.publishing.table_layout import text_of
from binder.reissue.current import binder_of

_UNDER = "=-~^\"'"


def write_pages(binder: Binder, source: Path) -> int:
    """Write every document of a binder as one page of reStructuredText; return how many cells they have.

    Parameters
    ----------
    binder : Binder
    source : Path
        Folder to make, with a conf.py that sets nothing but a name.
    """
    source.mkdir(parents=True)
    (source / "conf.py").write_text('project = "Plain"\n')
    generated = [d for d in binder.documents if d.kind != "page"]
    names = "".join(f"   {d.key}\n" for d in generated)
    (source / "index.rst").write_text(f"Plain\n=====\n\n.. toctree::\n   :maxdepth: 1\n\n{names}")
    writer = _Writer(source)
    for document in generated:
        lines = [*_titled(document.title, 0), *writer.blocks(binder.body(document), 1)]
        (source / f"{document.key}.rst").write_text("\n".join(lines) + "\n", "utf-8")
    return writer.cells


def _titled(text: str, level: int) -> list[str]:
    shown = escape(" ".join(text.split())) or "Untitled"
    return [shown, _UNDER[min(level, len(_UNDER) - 1)] * (2 * len(shown)), ""]


class _Writer:
    """Nodes to lines of reStructuredText; drawings become files."""

    def __init__(self, source: Path) -> None:
        self.source, self.cells, self.drawings = source, 0, 0

    def blocks(self, children: Sequence[nodes.Node], level: int) -> Iterator[str]:
        for node in children:
            yield from self._block(node, level)

    def _block(self, node: nodes.Node, level: int) -> Iterator[str]:
        if isinstance(node, nodes.section):
            title = next(iter(node.findall(nodes.title)), None)
            yield from _titled(title.astext() if title else "", level)
            yield from self.blocks([c for c in node.children if not isinstance(c, nodes.title)], level + 1)
        elif isinstance(node, own.data_table):
            yield from self._table(node["caption"], [[c.title for c in node["columns"]], *self._rows(node)], 1)
        elif isinstance(node, own.key_values):
            yield from self._table("", [[name, text_of(value)] for name, value in node["pairs"]], 0)
        elif isinstance(node, own.sign_off):
            yield from self._table(node["title"], [[s.role, s.name, "", s.date] for s in node["signatures"]], 0)
        elif isinstance(node, own.drawing):
            yield from self._drawing(node)
        elif isinstance(node, own.caution_box):
            yield from self._box(node, level)
        elif isinstance(node, own.Leaf):
            yield from (escape(text) for text in node.words())
            yield ""
        elif isinstance(node, nodes.bullet_list | nodes.enumerated_list):
            yield from (f"- {escape(' '.join(item.astext().split()))}" for item in node.children)
            yield ""
        elif isinstance(node, nodes.Element) and not isinstance(node, nodes.TextElement):
            yield from self.blocks(node.children, level)
        else:
            yield from [escape(" ".join(node.astext().split())), ""]

    def _box(self, node: own.caution_box, level: int) -> Iterator[str]:
        inner = list(self.blocks(node.children, level))
        yield from [f".. admonition:: {escape(node['title']) or node['grade']}", ""]
        yield from (f"   {line}" if line else "" for line in inner or ["\\"])

    @staticmethod
    def _rows(node: own.data_table) -> Iterator[list[str]]:
        width = len(node["columns"])
        for row in node["rows"]:
            cells = [text_of(cell) for cell in row.cells][:width]
            yield [*cells, *[""] * (width - len(cells))]

    def _table(self, caption: str, rows: Sequence[Sequence[str]], heads: int) -> Iterator[str]:
        if not any(rows):
            return
        yield from [f".. list-table:: {escape(caption)}".rstrip(), f"   :header-rows: {heads}", ""]
        for row in rows:
            self.cells += len(row)
            for n, cell in enumerate(row):
                text = escape(" ".join(cell.split()))
                yield f"   {'*' if n == 0 else ' '} - {text}".rstrip()
        yield ""

    def _drawing(self, node: own.drawing) -> Iterator[str]:
        self.drawings += 1
        name = f"drawing-{self.drawings:05}.svg"
        (self.source / name).write_text(node["svg"], "utf-8")
        yield from [f".. figure:: {name}", f"   :alt: {escape(' '.join(node['alt'].split()))}", ""]
        yield from [f"   {escape(' '.join(node['title'].split())) or name}", ""]


def _twice(render: Callable[[], object]) -> list[float]:
    """Processor time of the first time and of the second. [s]"""
    took = []
    for _ in range(2):
        start = time.process_time()
        render()
        took.append(time.process_time() - start)
    return took


def main(project: Path, source: Path, out: Path) -> None:
    """Time both."""
    binder = binder_of(project)
    made = {d.key: binder.body(d) for d in binder.documents if d.kind != "page"}

    def body(document: Document) -> list[nodes.Node]:
        return [node.deepcopy() for node in made[document.key]]

    shutil.rmtree(project / "build", ignore_errors=True)
    given = replace(binder, body=body)
    ours = _twice(lambda: build_binder(project, given, html=True, pdf=False))
    plain = _twice(lambda: build_main(["-q", "-b", "html", str(source), str(out)]))
    sys.stdout.write(f"{' '.join(map(str, (*ours, *plain)))}\n")


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:]))
