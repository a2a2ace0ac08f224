"""Fields to fill in on screen: there, named once, archival, and keeping what is typed."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from invented_binder import invented_binder
from pikepdf.form import CheckboxField, DefaultAppearanceStreamGenerator, Form, TextField
from test_pdf import numbers

from binder.publishing.form_fields import address
from binder.publishing.pdf import PdfResult, write_pdfs


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[PdfResult, Path]:
    folder = tmp_path_factory.mktemp("fields")
    return write_pdfs(invented_binder(packets=2), folder / "out", cache_dir=folder / "cache", jobs=1), folder


def widgets(pdf: pikepdf.Pdf) -> Iterator[tuple[pikepdf.Page, Any]]:
    for page in pdf.pages:
        for annotation in page.get("/Annots", ()):
            if str(annotation.Subtype) == "/Widget":
                yield page, annotation


def field_names(pdf: pikepdf.Pdf) -> list[str]:
    return [field.fully_qualified_name for field in Form(pdf)]


PACKET_FIELDS = [
    "settings-table.01.01.as-found",
    "settings-table.01.01.as-left",
    "test-lines.t1.reading",
    "test-lines.t1.initials",
    "test-lines.t1.pass",
    "sign.may-be-energized.Tester.name",
    "sign.may-be-energized.Tester.signature",
    "sign.may-be-energized.Tester.date",
    "write.instruments-used-type-serial-number-calibration-due.text",
]


@pytest.mark.parametrize("name", PACKET_FIELDS)
def test_what_is_written_by_hand_can_be_typed(made: tuple[PdfResult, Path], name: str) -> None:
    with pikepdf.open(made[0].files["OWW-P-101"]) as pdf:
        assert f"OWW-P-101.{name}" in field_names(pdf)


def test_what_is_filled_struck_or_signed_has_no_field(made: tuple[PdfResult, Path]) -> None:
    with pikepdf.open(made[0].files["OWW-P-101"]) as pdf:
        names = " ".join(field_names(pdf))
    assert "test-lines.t2" not in names, "a reading that came back"
    assert "test-lines.t4" not in names, "a row that was removed"
    assert "Witness" not in names, "signed"
    assert "Owner" not in names, "void, and printed as void"


def test_names_are_unique_in_each_document_and_in_the_joined_file(made: tuple[PdfResult, Path]) -> None:
    single: list[str] = []
    for path in made[0].files.values():
        with pikepdf.open(path) as pdf:
            single += field_names(pdf)
    with pikepdf.open(made[0].joined[0]) as pdf:
        joined = field_names(pdf)
        assert len([1 for _ in widgets(pdf)]) == len(joined)
    assert len(set(single)) == len(single) > 100
    assert sorted(joined) == sorted(single)


def test_fields_are_archival_and_told_to_a_voice(made: tuple[PdfResult, Path]) -> None:
    with pikepdf.open(made[0].joined[0]) as pdf:
        form: Any = pdf.Root.AcroForm
        assert "/NeedAppearances" not in form
        assert "/XFA" not in form
        assert "/FontFile2" in form.DR.Font.F.FontDescriptor
        tree = dict(numbers(pdf.Root.StructTreeRoot.ParentTree))
        seen = set()
        for page, widget in widgets(pdf):
            assert "/A" not in widget
            assert "/AA" not in widget
            assert int(widget.F) == 4, "printed, not hidden"
            shown = widget.AP.N
            if "/FT" in widget:
                assert set(shown.keys()) == {"/Off", "/Yes"}
                assert str(widget.AS) == "/Off"
            else:
                assert isinstance(shown, pikepdf.Stream)
                assert shown.objgen not in seen, "an appearance of its own, or one reading would show in all"
                seen.add(shown.objgen)
            assert str(widget.TU)
            element = tree[int(widget.StructParent)]
            assert str(element.S) == "/Form"
            kids = element.K if isinstance(element.K, pikepdf.Array) else [element.K]
            assert [kid.Obj.objgen for kid in kids] == [widget.objgen]
            assert str(page.obj.Tabs) == "/S"
            left, bottom, right, top = map(float, widget.Rect)
            assert 20 * 72 / 25.4 - 1 < left < right < float(page.MediaBox[2]) - 15 * 72 / 25.4 + 1
            assert right - left > 8
            assert top - bottom > 8


def test_a_large_joined_file_leaves_fields_to_the_single_documents(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("binder.publishing.pdf._FORM_PAGES", 2)
    made = write_pdfs(invented_binder(packets=1), tmp_path, cache_dir=tmp_path / "c", jobs=1)
    with pikepdf.open(made.joined[0]) as pdf:
        assert "/AcroForm" not in pdf.Root
        assert not list(widgets(pdf))
        tree = dict(numbers(pdf.Root.StructTreeRoot.ParentTree))
        kinds = {str(element.S) for element in tree.values() if isinstance(element, pikepdf.Dictionary)}
        assert "/Form" not in kinds
        for page in pdf.pages:
            assert int(page.obj.StructParents) in tree
            assert all(int(a.StructParent) in tree for a in page.get("/Annots", ()))
    with pikepdf.open(made.files["OWW-P-101"]) as pdf:
        assert list(widgets(pdf)), "a document by itself is a form"


def test_what_is_typed_stays_in_its_own_field(made: tuple[PdfResult, Path], tmp_path: Path) -> None:
    with pikepdf.open(made[0].joined[0]) as pdf:
        form = Form(pdf, DefaultAppearanceStreamGenerator)
        fields = {field.fully_qualified_name: field for field in form}
        reading = fields["OWW-P-101.test-lines.t1.reading"]
        passed = fields["OWW-P-102.test-lines.t1.pass"]
        assert isinstance(reading, TextField)
        assert isinstance(passed, CheckboxField)
        reading.value = "412 V"
        passed.checked = True
        pdf.save(tmp_path / "filled.pdf")
    with pikepdf.open(tmp_path / "filled.pdf") as pdf:
        texts = {f.fully_qualified_name: f.value for f in Form(pdf) if isinstance(f, TextField) and f.value}
        ticks = [f.fully_qualified_name for f in Form(pdf) if isinstance(f, CheckboxField) and f.checked]
        drawn = [w for _, w in widgets(pdf) if "/FT" not in w and b"412 V" in w.AP.N.read_bytes()]
    assert texts == {"OWW-P-101.test-lines.t1.reading": "412 V"}
    assert ticks == ["OWW-P-102.test-lines.t1.pass"]
    assert [str(w.TU) for w in drawn] == ["Reading, test lines t1"]


def test_the_bytes_are_the_same_again(made: tuple[PdfResult, Path], tmp_path: Path) -> None:
    again = write_pdfs(invented_binder(packets=2), tmp_path / "out", cache_dir=tmp_path / "cache", jobs=1)
    assert again.joined[0].read_bytes() == made[0].joined[0].read_bytes()


def test_an_issued_document_is_carried_with_its_fields_as_it_is(made: tuple[PdfResult, Path], tmp_path: Path) -> None:
    issued = {}
    for number, path in made[0].files.items():
        issued[number] = tmp_path / path.name
        shutil.copyfile(path, issued[number])
        made[0].sidecars[number].write(issued[number].with_suffix(".json"))
    again = write_pdfs(
        invented_binder(packets=2), tmp_path / "out", cache_dir=tmp_path / "cache", issued=issued, jobs=1
    )
    assert again.typeset == []
    assert {n: p.read_bytes() for n, p in again.files.items()} == {n: p.read_bytes() for n, p in made[0].files.items()}
    assert again.joined[0].read_bytes() == made[0].joined[0].read_bytes()


def test_a_full_stop_parts_a_name_and_other_signs_are_escaped() -> None:
    assert address("sign", "", "D1.03", "a/b c") == "sign.D1.03.a%2Fb%20c"
