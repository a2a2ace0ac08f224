"""The whole way from workbook to binder with less paper: what one mutant goes through."""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from docutils import nodes
from docutils.utils import new_document
from small_site import few_documents, one_drive, project
from sphinx.application import Sphinx

from binder.cli import main
from binder.documents import blocks
from binder.documents.document import Binder, Document
from binder.exports import site_exports
from binder.project_in_pdf import dumps
from binder.publishing import build as building
from binder.publishing.domain import binder_domain
from binder.publishing.packet import Job, make_packet
from binder.publishing.press import Press
from binder.reissue.current import binder_of, present_state, study_of
from binder.reissue.record import loads
from binder.report import count_text, findings_text, open_text, settings_text

Html = Callable[[Binder, Document], str]


@contextmanager
def html_writer(folder: Path) -> Iterator[Html]:
    """Writes single documents with one Sphinx application for all mutants."""
    site = project(folder / "base", few_documents(one_drive()))
    binder = binder_of(site)
    with building._sphinx(site, folder / "work", binder, linked=False, progress=lambda *_: None) as (app, _):
        app.build()
        settings = app.env.get_doctree("index").settings

        def write(binder: Binder, document: Document) -> str:
            return _html(app, settings, binder, document)

        yield write


def _html(app: Sphinx, settings: object, binder: Binder, document: Document) -> str:
    binder_domain(app.env).take(binder, for_html=True)
    tree = new_document(document.docname, settings)
    tree.settings.env = app.env
    body: list[nodes.Node] = binder.body(document)
    tree += blocks.section(document.title, body, id="top")
    app.env.prepare_settings(document.docname)
    app.env.apply_post_transforms(tree, document.docname)
    tree.settings = app.builder.docsettings
    app.builder.current_docname = document.docname
    translator = app.builder.create_translator(tree, app.builder)
    tree.walkabout(translator)
    return "".join(translator.body)


class ShortPress:
    """Takes workbooks one after the other; counts what was done with them."""

    def __init__(self, folder: Path, html: Html) -> None:
        self.folder, self.html = folder, html
        self.done = {"read": 0, "with drives": 0, "documents": 0, "typeset": 0, "built": 0, "findings": 0}

    def take(self, data: bytes, seed: int) -> None:
        """Read, judge, word, freeze and set a workbook; raises what the tool would call its defect."""
        rng = random.Random(~seed)
        site = self.folder / "site"
        site.mkdir(exist_ok=True)
        (site / "inventory.xlsx").write_bytes(data)
        study = study_of(site)
        self.done["read"] += 1
        self.done["findings"] += len(study.findings)
        assert all(f.code and f.found and (f.remedy or f.accepted) for f in study.findings)
        findings_text(study.findings, "inventory.xlsx")
        json.dumps([f.as_dict() for f in study.findings])
        if not study.inventory.drives:
            assert any(f.grade == "stop" for f in study.findings), "nothing read and nothing said"
            return
        self.done["with drives"] += 1
        for text in (open_text(study), settings_text(study), count_text(study.findings)):
            assert text
        for figures in (study.figures, *(d.figures for d in study.drives)):
            json.dumps([f.as_dict() for f in figures.values()])
        binder = binder_of(site)
        self._issue_record(site, seed)
        self._documents(binder, rng)
        if seed % 10 == 0:
            site_exports(study)
        if seed % 100 == 0:
            assert main(["build", str(site)]) == 0
            assert main(["check", str(site), "--mark", str(site / "marked.xlsx")]) in (0, 1)
            self.done["built"] += 1

    def _issue_record(self, site: Path, seed: int) -> None:
        """What an issue would freeze can be read back."""
        if seed % 4 == 0:
            draft = present_state(site).draft
            assert dumps(loads(dumps(draft))) == dumps(draft)

    def _documents(self, binder: Binder, rng: random.Random) -> None:
        packets = [d for d in binder.documents if d.kind == "packet"]
        chosen = [rng.choice([d for d in binder.documents if d.kind != "packet"])]
        chosen += packets[:1] if rng.random() < 0.4 else []
        press = Press(binder, self.folder / "cache", pages=None, jobs=1, progress=lambda *_: None)
        for document in chosen:
            assert self.html(binder, document).count("<section") >= 1
            job, _ = press._job(document)
            if job is not None and rng.random() < 0.05:
                make_packet(Job(job.number, job.data, self.folder / "cache" / "one.pdf", job.date))
                self.done["typeset"] += 1
            self.done["documents"] += 1
