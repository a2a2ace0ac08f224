"""The PDF of an invented binder: literal texts, sound structure, links that land, nothing done twice."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from docutils import nodes
from invented_binder import HOSTILE, invented_binder
from pdf_text import file_text, page_text, plain

from binder.documents import blocks
from binder.documents.document import Binder
from binder.publishing.kept_volumes import RECORD
from binder.publishing.packet import TEMPLATE, nearest, typeset
from binder.publishing.pdf import PdfResult, PrintError, write_pdfs
from binder.publishing.press import volume_starts
from binder.publishing.typst import drawing_source

HERE = Path(__file__).parent


def numbers(tree: Any) -> Iterator[tuple[int, Any]]:
    """Entries of a number tree."""
    for kid in tree.get("/Kids", ()):
        yield from numbers(kid)
    leaf = list(tree.get("/Nums", ()))
    yield from ((int(leaf[n]), leaf[n + 1]) for n in range(0, len(leaf), 2))


def names(tree: Any) -> Iterator[tuple[bytes, Any]]:
    """Entries of a name tree."""
    for kid in tree.get("/Kids", ()):
        yield from names(kid)
    leaf = list(tree.get("/Names", ()))
    yield from ((bytes(leaf[n]), leaf[n + 1]) for n in range(0, len(leaf), 2))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[PdfResult, Path]:
    folder = tmp_path_factory.mktemp("pdf")
    return write_pdfs(invented_binder(packets=3), folder / "out", cache_dir=folder / "cache", jobs=1), folder


@pytest.fixture(scope="module")
def joined(made: tuple[PdfResult, Path]) -> Iterator[pikepdf.Pdf]:
    with pikepdf.open(made[0].joined[0]) as pdf:
        yield pdf


# Content -----------------------------------------------------------------------------------


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_comes_out_as_typed(made: tuple[PdfResult, Path], text: str) -> None:
    assert plain(text) in file_text(made[0].files["OWW-P-101"])


def test_drawing_text_is_text(made: tuple[PdfResult, Path]) -> None:
    text = file_text(made[0].files["OWW-P-101"])
    assert "W101-11" in text
    assert "<script>#panic()" in text


def test_a_sign_without_a_glyph_is_shown_and_told(made: tuple[PdfResult, Path]) -> None:
    assert "�isChineseforpump." in file_text(made[0].files["OWW-S-001"])
    assert [f.code for f in made[0].findings] == ["P101"]
    assert "U+6CF5" in made[0].findings[0].found


def test_every_sheet_carries_number_revision_status_and_count(made: tuple[PdfResult, Path]) -> None:
    with pikepdf.open(made[0].files["OWW-P-101"]) as pdf:
        for n, page in enumerate(pdf.pages, 1):
            text = plain(page_text(page))
            assert "OWW-P-101" in text
            assert text.count(f"{n}of{len(pdf.pages)}") == 2, "header and title block agree"
            assert "RevB" in text
            assert "FORREVIEW" in text
            assert "NOTFITFORHANDOVER" in text


def test_a_packet_warns_of_its_own_stops_alone(made: tuple[PdfResult, Path]) -> None:
    warned = {n: "NOTFITFORHANDOVER" in file_text(path) for n, path in made[0].files.items()}
    assert warned == {
        "OWW-B-001": True, "OWW-S-001": True, "OWW-P-101": True, "OWW-P-102": False, "OWW-P-103": False,
        "OWW-X-001": True,
    }  # fmt: skip
    with pikepdf.open(made[0].files["OWW-B-001"]) as pdf:
        assert "1openstop:seethefindings.OnP-101." in plain(page_text(pdf.pages[0]))
        assert "OWW-P-101#findings" in [str(a.A.D) for a in pdf.pages[0].Annots]


def test_a_stop_on_one_drive_leaves_the_other_packets(made: tuple[PdfResult, Path]) -> None:
    _, folder = made
    free = write_pdfs(invented_binder(packets=3, stops=0), folder / "free", cache_dir=folder / "cache", jobs=1)
    assert free.typeset == ["OWW-S-001", "OWW-P-101", "OWW-X-001", "OWW-B-001"]


def test_the_running_head_says_the_tag_once_and_a_code_has_its_words(tmp_path: Path) -> None:
    binder = invented_binder(packets=1)
    named = [replace(d, title=f"{d.subject} Weir pump") if d.subject else d for d in binder.documents]
    files = write_pdfs(replace(binder, documents=named), tmp_path / "out", cache_dir=tmp_path / "c", jobs=1).files
    with pikepdf.open(files["OWW-P-101"]) as pdf:
        texts = [plain(page_text(page)) for page in pdf.pages]
    assert all("P-101WeirpumpOPENSTOPS" in text for text in texts)
    assert all(f"Sheet{n}of{len(texts)}" in text for n, text in enumerate(texts, 1))
    assert any("DocumentOWW-P-101" in text for text in texts)


def test_the_frame_of_a_sheet_is_one_form_of_its_document(tmp_path: Path) -> None:
    files = write_pdfs(invented_binder(packets=1), tmp_path / "out", cache_dir=tmp_path / "c", jobs=1).files
    for path in files.values():
        with pikepdf.open(path) as pdf:
            frames = {(tuple(page.mediabox), page.resources.XObject["/Frame"].objgen) for page in list(pdf.pages)[1:]}
            assert len(frames) == len({size for size, _ in frames})
            assert "0123456789" not in "".join(plain(page_text(page)) for page in pdf.pages)


def test_no_stop_no_banner_and_no_watermark_when_issued(tmp_path: Path) -> None:
    binder = invented_binder(stops=0, packets=1)
    binder = replace(binder, documents=[replace(d, status="issued") for d in binder.documents])
    text = file_text(write_pdfs(binder, tmp_path, cache_dir=tmp_path / "c", jobs=1).files["OWW-S-001"])
    assert "HANDOVER" not in text
    assert "ISSUED" in text


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_paper_and_fold_out(tmp_path: Path, paper: str, size: tuple[int, int]) -> None:
    result = write_pdfs(invented_binder(paper=paper, packets=1), tmp_path, cache_dir=tmp_path / "c", jobs=1)
    with pikepdf.open(result.files["OWW-P-101"]) as pdf:
        sizes = [(round(float(page.MediaBox[2])), round(float(page.MediaBox[3]))) for page in pdf.pages]
    assert sizes[0] == size
    assert size[::-1] in sizes, "the drawing lies on a landscape sheet"


# Structure ---------------------------------------------------------------------------------


def test_archival_and_tagged(joined: pikepdf.Pdf) -> None:
    root: Any = joined.Root
    xmp = root.Metadata.read_bytes().decode()
    assert "<pdfaid:part>2</pdfaid:part>" in xmp
    assert "<pdfuaid:part>1</pdfuaid:part>" in xmp
    assert root.MarkInfo.Marked
    assert str(root.Lang) == "en"
    assert len(root.OutputIntents) == 1
    assert "Drive commissioning binder" in xmp
    assert f"<xmpTPg:NPages>{len(joined.pages)}</xmpTPg:NPages>" in xmp


def test_every_page_has_its_own_place_in_the_parent_tree(joined: pikepdf.Pdf) -> None:
    keys = [int(page.obj.StructParents) for page in joined.pages]
    keys += [int(a.StructParent) for page in joined.pages for a in page.get("/Annots", ())]
    assert len(keys) == len(set(keys))
    tree = dict(numbers(joined.Root.StructTreeRoot.ParentTree))
    assert set(keys) == set(tree)
    assert list(tree) == sorted(tree)
    for page in joined.pages:
        for element in tree[int(page.obj.StructParents)]:
            assert element.Pg.objgen == page.obj.objgen


def test_marked_content_and_parent_tree_agree(joined: pikepdf.Pdf) -> None:
    tree = dict(numbers(joined.Root.StructTreeRoot.ParentTree))
    for page in joined.pages:
        marks = set()
        for operands, operator in pikepdf.parse_content_stream(page):
            if str(operator) == "BDC" and isinstance(operands[1], pikepdf.Dictionary) and "/MCID" in operands[1]:
                marks.add(int(operands[1].MCID))
        assert marks == set(range(len(tree[int(page.obj.StructParents)])))


def test_every_element_knows_its_parent(joined: pikepdf.Pdf) -> None:
    def walk(element: Any) -> int:
        kids = element.get("/K", [])
        count = 1
        for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
            if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
                assert kid.P.objgen == element.objgen
                count += walk(kid)
        return count

    root = joined.Root.StructTreeRoot
    document = root.K[0]
    assert document.P.objgen == root.objgen
    assert [str(part.T) for part in document.K] == [
        "OWW-B-001", "OWW-S-001", "OWW-P-101", "OWW-P-102", "OWW-P-103", "OWW-X-001",
    ]  # fmt: skip
    assert walk(document) > 500


def test_rows_are_named_for_a_voice(joined: pikepdf.Pdf) -> None:
    heads = {"Row": 0, "Column": 0}
    bare = 0
    for element in joined.objects:
        if not isinstance(element, pikepdf.Dictionary) or str(element.get("/S")) != "/TH":
            continue
        scopes = [str(a.Scope)[1:] for a in (element.A if isinstance(element.A, pikepdf.Array) else [element.A])]
        assert len(scopes) == 1
        heads[scopes[0]] += 1
    for element in joined.objects:
        if isinstance(element, pikepdf.Dictionary) and str(element.get("/S")) == "/Table":
            bare += b"/TH" not in b"".join(str(kid.S).encode() for kid in deep(element))
    assert bare == 0, "a table without any header cell"
    assert heads["Row"] > 150
    assert heads["Column"] > 50


def deep(element: Any) -> Iterator[Any]:
    """A structure element and all below it."""
    yield element
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield from deep(kid)


def test_headings_do_not_skip_a_level(made: tuple[PdfResult, Path]) -> None:
    for sidecar in made[0].sidecars.values():
        levels = [level for level, *_ in sidecar.outline]
        assert levels[0] == 1
        assert all(b <= a + 1 for a, b in pairwise(levels))


def test_every_link_lands_on_its_heading(joined: pikepdf.Pdf, made: tuple[PdfResult, Path]) -> None:
    places = {name.decode(): place for name, place in names(joined.Root.Names.Dests)}
    assert list(places) == sorted(places, key=str.encode)
    pages = {page.obj.objgen: n for n, page in enumerate(joined.pages)}
    starts, first = {}, 0
    for number, sidecar in (
        (d, made[0].sidecars[d]) for d in ("OWW-B-001", "OWW-S-001", "OWW-P-101", "OWW-P-102", "OWW-P-103", "OWW-X-001")
    ):
        starts[number] = first
        first += sidecar.pages
    seen = 0
    for page in joined.pages:
        for annotation in page.get("/Annots", ()):
            if str(annotation.Subtype) == "/Widget":
                continue
            assert str(annotation.A.S) == "/GoTo"
            target = str(annotation.A.D)
            number = target.partition("#")[0]
            within = made[0].sidecars[number].destinations[target][0]
            assert pages[places[target][0].objgen] == starts[number] + within
            seen += 1
    assert seen > 60
    settings = places["OWW-P-102#settings"]
    assert "Settings,inwritingorder" in plain(page_text(joined.pages[pages[settings[0].objgen]]))


def test_a_packet_alone_leads_to_the_files_beside_it(made: tuple[PdfResult, Path]) -> None:
    with pikepdf.open(made[0].files["OWW-P-101"]) as pdf:
        actions = [a.A for page in pdf.pages for a in page.get("/Annots", ()) if "/A" in a]
    outward = [action for action in actions if str(action.S) == "/GoToR"]
    assert [(str(a.F), str(a.D)) for a in outward] == [("OWW-P-102.pdf", "OWW-P-102#settings")]
    assert (made[0].files["OWW-P-101"].parent / "OWW-P-102.pdf").exists()


def test_contents_tell_pages_and_sheets(joined: pikepdf.Pdf, made: tuple[PdfResult, Path]) -> None:
    text = plain(page_text(joined.pages[1]))
    page = 1
    for number in ("OWW-B-001", "OWW-S-001", "OWW-P-101", "OWW-P-102", "OWW-P-103", "OWW-X-001"):
        sheets = made[0].sidecars[number].pages
        row = text[text.index(number) :]
        assert f"B{sheets}{page}" in row
        assert number in plain(page_text(joined.pages[page - 1]))
        page += sheets


def test_bookmarks_and_page_labels(joined: pikepdf.Pdf) -> None:
    with joined.open_outline() as outline:
        assert [item.title.split()[0] for item in outline.root] == [
            "OWW-B-001", "OWW-S-001", "OWW-P-101", "OWW-P-102", "OWW-P-103", "OWW-X-001",
        ]  # fmt: skip
        assert [kid.title for kid in outline.root[2].children][:3] == [
            "Data sheet", "Lockout card", "Settings, in writing order",
        ]  # fmt: skip
    assert joined.pages[2].label == "OWW-S-001 / 1"


def test_documents_share_their_fonts(joined: pikepdf.Pdf) -> None:
    fonts = {font.objgen for page in joined.pages for font in page.obj.Resources.get("/Font", {}).values()}
    assert len(fonts) <= 8
    assert all(
        "/FontFile2" in font.DescendantFonts[0].FontDescriptor
        for page in joined.pages
        for font in page.obj.Resources.Font.values()
    )


# Speed and repetition ----------------------------------------------------------------------


def test_nothing_changed_nothing_typeset(made: tuple[PdfResult, Path]) -> None:
    result, folder = made
    stamps = {path: path.stat().st_mtime_ns for path in (folder / "cache").glob("*.pdf")}
    again = write_pdfs(invented_binder(packets=3), folder / "again", cache_dir=folder / "cache", jobs=1)
    assert again.typeset == []
    assert {path: path.stat().st_mtime_ns for path in (folder / "cache").glob("*.pdf")} == stamps
    assert again.joined[0].read_bytes() == result.joined[0].read_bytes()
    assert [f.code for f in again.findings] == ["P101"], "findings come on every run"


def test_one_change_one_document(made: tuple[PdfResult, Path]) -> None:
    _, folder = made
    changed = invented_binder(packets=3, note="A new note.")
    again = write_pdfs(changed, folder / "changed", cache_dir=folder / "cache", jobs=1)
    assert again.typeset == ["OWW-P-101"]


def test_bodies_of_unchanged_documents_are_not_made(made: tuple[PdfResult, Path]) -> None:
    _, folder = made
    asked = []
    binder = invented_binder(packets=3)

    def body(document: Any) -> list[nodes.Node]:
        asked.append(document.kind)
        return binder.body(document)

    write_pdfs(replace(binder, body=body), folder / "lazy", cache_dir=folder / "cache", jobs=1)
    assert asked == ["front"]


@pytest.mark.parametrize("damage", ["cut", "sidecar", "empty"])
def test_a_damaged_cache_is_made_again(tmp_path: Path, damage: str) -> None:
    binder = invented_binder(packets=1)
    write_pdfs(binder, tmp_path / "a", cache_dir=tmp_path / "c", jobs=1)
    victim = next((tmp_path / "c").glob("k0031-*.pdf"))
    if damage == "cut":
        victim.write_bytes(victim.read_bytes()[:5000])
    elif damage == "sidecar":
        victim.with_suffix(".json").write_text("{")
    else:
        victim.with_suffix(".json").unlink()
    assert write_pdfs(binder, tmp_path / "b", cache_dir=tmp_path / "c", jobs=1).typeset == ["OWW-P-101"]


def test_the_cache_keeps_a_few_states(tmp_path: Path) -> None:
    for note in "abcde":
        result = write_pdfs(invented_binder(packets=1, note=note), tmp_path / "o", cache_dir=tmp_path / "c", jobs=1)
    assert len(list((tmp_path / "c").glob("k0031-*.pdf"))) == 3
    assert result.typeset == ["OWW-P-101"]


class Volumes:
    """A binder in volumes, built again and again in one folder; tells which of them were joined."""

    def __init__(self, folder: Path, patch: pytest.MonkeyPatch) -> None:
        self.folder, self.joined, self.before = folder, list[str](), dict[str, bytes]()
        self.binder = invented_binder(packets=4)
        patch.setattr("binder.publishing.press.VOLUME_PAGES", 10)
        patch.setattr("binder.publishing.pdf._joined", self._join)

    def _join(self, volumes: Sequence[Any], _press: object) -> Iterator[list[str]]:
        for volume in volumes:
            self.joined.append(volume.out.name)
            yield volume.join()

    def build(self, binder: Binder | None = None) -> list[str]:
        """Build over what stands there; the files must be those of a build from nothing."""
        self.joined.clear()
        out, cache = self.folder / "out", self.folder / "cache"
        made = write_pdfs(binder or self.binder, out, cache_dir=cache, jobs=1)
        again = list(self.joined)
        self.before = {path.name: path.read_bytes() for path in made.joined}
        fresh = write_pdfs(binder or self.binder, self.folder / "fresh", cache_dir=self.folder / "other", jobs=1)
        assert self.before == {path.name: path.read_bytes() for path in fresh.joined}
        assert made.findings == fresh.findings
        (self.folder / "other" / RECORD).unlink()
        return again


@pytest.fixture
def volumes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Volumes:
    made = Volumes(tmp_path, monkeypatch)
    assert len(made.build()) == len(made.before) > 2
    return made


def test_a_volume_is_joined_when_a_document_of_it_changed(volumes: Volumes) -> None:
    assert volumes.build() == []
    changed = invented_binder(packets=4, note="A new note.")
    assert volumes.build(changed) == ["binder-volume-1.pdf"]
    documents = list(volumes.binder.documents)
    last, other = [n for n, d in enumerate(documents) if d.kind == "packet"][-2:]
    documents[last], documents[other] = documents[other], documents[last]
    assert volumes.build(replace(volumes.binder, documents=tuple(documents))) != []
    retitled = replace(volumes.binder, site=replace(volumes.binder.site, binder_title="Another title"))
    assert len(volumes.build(retitled)) == len(volumes.before)


@pytest.mark.parametrize("damage", ["cut", "altered", "gone", "record", "no record", "software"])
def test_a_volume_in_doubt_is_joined_again(volumes: Volumes, damage: str, monkeypatch: pytest.MonkeyPatch) -> None:
    victim, record = volumes.folder / "out" / "binder-volume-2.pdf", volumes.folder / "cache" / RECORD
    if damage == "software":
        monkeypatch.setattr("binder.publishing.join.software_digest", lambda: "another")
    elif damage == "gone":
        victim.unlink()
    elif damage == "no record":
        record.unlink()
    else:
        path = record if damage == "record" else victim
        data = path.read_bytes()
        path.write_bytes(data[:100] if damage == "cut" else data.replace(data[200:201], b"?", 1))
    again = volumes.build()
    assert again == ["binder-volume-2.pdf"] if damage in ("cut", "altered", "gone") else len(again) > 2


def test_a_record_of_volumes_that_cannot_be_written_costs_time_alone(volumes: Volumes) -> None:
    record = volumes.folder / "cache" / RECORD
    record.unlink()
    record.mkdir()
    assert len(volumes.build()) > 2


@pytest.mark.slow
def test_same_bytes_in_other_folders_seeds_and_processes(tmp_path: Path) -> None:
    code = (
        "import sys; sys.path.insert(0, sys.argv[2])\n"
        "from pathlib import Path\nfrom invented_binder import invented_binder\n"
        "from binder.publishing.pdf import write_pdfs\n"
        "if __name__ == '__main__':\n"
        "    out = Path(sys.argv[1])\n"
        "    write_pdfs(invented_binder(packets=4), out, cache_dir=out / 'c', jobs=int(sys.argv[3]))\n"
    )
    script = tmp_path / "run.py"
    script.write_text(code)
    results = []
    for n, (seed, zone, jobs) in enumerate([("1", "UTC", "1"), ("2", "Pacific/Auckland", "2")]):
        out = tmp_path / f"folder {n} ü"
        root = str(Path(__file__).resolve().parents[2])
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": root}
        subprocess.run([sys.executable, str(script), str(out), str(HERE), jobs], env=env, check=True)
        results.append(
            {p.relative_to(out).as_posix(): p.read_bytes() for p in out.rglob("*.pdf") if p.parent.name != "c"}
        )
    assert results[0] == results[1]


# Refusals ----------------------------------------------------------------------------------


def test_the_template_imports_nothing() -> None:
    text = TEMPLATE.read_text("utf-8")
    assert "@preview" not in text
    assert "#import" not in text
    assert "eval(" not in text
    assert "read(" not in text


def test_a_broken_drawing_names_its_document(tmp_path: Path) -> None:
    binder = invented_binder(packets=1)
    broken = replace(binder, body=lambda _: [blocks.section("A", blocks.drawing("<svg", "alt", "title"))])
    with pytest.raises(PrintError, match=r"OWW-S-001 cannot be typeset: a drawing is not well formed"):
        write_pdfs(broken, tmp_path, cache_dir=tmp_path / "c", jobs=1)


def test_a_dangling_link_is_told(tmp_path: Path) -> None:
    binder = invented_binder(packets=1)
    stray = blocks.section("A", blocks.paragraph(blocks.cross_reference("gone", "OWW-P-999", "settings")))
    result = write_pdfs(replace(binder, body=lambda _: [stray.deepcopy()]), tmp_path, cache_dir=tmp_path / "c", jobs=1)
    assert {(f.code, f.tag) for f in result.findings} == {("P102", "OWW-P-999#settings")}


def test_links_fall_back_to_table_section_document() -> None:
    known = {"A#settings": 0, "A#top": 0}
    assert nearest("A#settings-01-02", known) == "A#settings"
    assert nearest("A#nowhere", known) == "A#top"
    assert nearest("B#settings", known) is None


def test_volumes_begin_at_a_packet_and_hold_so_many_pages() -> None:
    documents = invented_binder(packets=60, drives=1).documents
    starts = volume_starts(documents, {d.number: 50 for d in documents})
    assert {documents[n].kind for n in starts[1:]} == {"packet"}
    assert [b - a for a, b in pairwise([*starts, len(documents)])] == [16, 16, 16, 15]


def test_links_between_volumes_lead_to_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("binder.publishing.press.VOLUME_PAGES", 10)
    result = write_pdfs(invented_binder(packets=3), tmp_path, cache_dir=tmp_path / "c", jobs=1)
    assert [path.name for path in result.joined] == [f"binder-volume-{n}.pdf" for n in range(1, len(result.joined) + 1)]
    assert len(result.joined) > 1
    with pikepdf.open(result.joined[0]) as pdf:
        text = plain(page_text(pdf.pages[1]))
        actions = [a.A for page in pdf.pages for a in page.get("/Annots", ()) if "/A" in a]
        outward = {str(a.F) for a in actions if str(a.S) == "/GoToR"}
    assert "Volume/page" in text
    assert outward
    assert all((tmp_path / name).exists() for name in outward)
    assert [f.code for f in result.findings] == ["P101"]


def test_sidecars_are_plain_text(made: tuple[PdfResult, Path]) -> None:
    path = next((made[1] / "cache").glob("k0031-*.json"))
    assert json.loads(path.read_text("utf-8"))["number"] == "OWW-P-101"


@pytest.mark.parametrize(
    "text",
    ["Z\u0300\u0301", "\u05e9\u05c1", "a\u200cb\u200dc", "\u226e 5", "\u2d46\xf2", "\U0001f512\u1e1a", "\u0645\u0648"],
    ids=ascii,
)  # fmt: skip
def test_a_drawing_with_signs_that_join_is_set(text: str) -> None:
    """PDF/A refused the whole file where the typesetter lost the text of such signs."""
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 90 20"><text y="15">{text} \xe9</text></svg>'
    data = json.dumps({"svg": drawing_source(svg)})
    template = b'#set document(title: "x")\n#image(bytes(json(bytes(sys.inputs.data)).svg), format: "svg", alt: "x")'
    assert typeset(template, data, "2026-05-04", "x").startswith(b"%PDF")
