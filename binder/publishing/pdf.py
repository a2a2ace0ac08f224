"""The binder as PDF: one file a document, and volumes joined from them."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import BrokenExecutor
from functools import partial
from pathlib import Path
from types import MappingProxyType

from binder.checking import cores
from binder.documents.document import Binder
from binder.documents.file_names import file_name
from binder.inventory.findings import Finding, Grade
from binder.publishing.house_style import PLAIN, HouseStyle
from binder.publishing.join import DOCUMENTS, Volume
from binder.publishing.kept_volumes import KeptVolumes
from binder.publishing.packet import PrintError
from binder.publishing.place import remove
from binder.publishing.press import PageSource, PdfResult, Press, Progress, volume_starts
from binder.publishing.processes import Processes

#: Up to so many sheets the joined file is a form as well; of larger ones the single documents are.
_FORM_PAGES = 500

__all__ = ["PageSource", "PdfResult", "PrintError", "Progress", "write_pdfs"]


def write_pdfs(
    binder: Binder,
    out_dir: Path,
    *,
    cache_dir: Path,
    pages: PageSource | None = None,
    issued: Mapping[str, Path] = MappingProxyType({}),
    style: HouseStyle = PLAIN,
    jobs: int = 0,
    progress: Progress = lambda _what, _done, _of: None,
) -> PdfResult:
    """Write one PDF a document and the joined volumes.

    Parameters
    ----------
    binder : Binder
    out_dir : Path
        Gets `documents/<number>.pdf` and `binder.pdf`, or `binder-volume-1.pdf` and so on; those that stand
        there as they would be joined are left alone.
    cache_dir : Path
        Finished documents by digest; may be deleted at any time.
    pages : PageSource, optional
        Needed when the binder has documents of kind 'page'.
    issued : mapping of str to Path
        Document number -> its PDF as issued, taken byte for byte; its sidecar stands beside it.
    style : HouseStyle
        The contractor's own look, with the logo on the cover.
    jobs : int
        Worker processes; 0 takes the cores of the machine.
    progress : callable

    Returns
    -------
    PdfResult

    Raises
    ------
    PrintError
        A document cannot be typeset; nothing was joined.
    """
    targets = {d.number: out_dir / DOCUMENTS / file_name(d.number) for d in binder.documents}
    if len({str(path).casefold() for path in targets.values()}) != len(binder.documents):
        raise PrintError("two documents would have the same file name; their numbers must differ in letters or digits")
    press = Press(binder, cache_dir, pages=pages, issued=issued, style=style, jobs=jobs or cores(), progress=progress)
    early = [d for d in binder.documents if d.kind != "front"]
    late = [d for d in binder.documents if d.kind == "front"]
    press.make(early)
    press.make_front(late)
    result = press.result
    (out_dir / DOCUMENTS).mkdir(parents=True, exist_ok=True)
    for number, target in targets.items():
        shutil.copyfile(press.cached[number], target)
        result.files[number] = target
    _join_volumes(press, out_dir, KeptVolumes(cache_dir))
    press.prune()
    result.pages = sum(sidecar.pages for sidecar in result.sidecars.values())
    return result


def _joined(volumes: Sequence[Volume], press: Press) -> Iterator[list[str]]:
    """Join volumes: a small one here, others in processes of their own, which give their memory back."""
    if not volumes:
        return
    if not volumes[0].large:
        yield volumes[0].join(partial(press.progress, f"joining {volumes[0].out.name}"))
        return
    press.progress("joining volumes", 0, len(volumes))
    with Processes(min(press.jobs, len(volumes))) as processes:
        try:
            for done, joining in enumerate([processes.submit(Volume.join, volume) for volume in volumes], 1):
                yield joining.result()
                press.progress("joining volumes", done, len(volumes))
        except BrokenExecutor as error:
            raise PrintError("a process that joined documents was ended from outside") from error


def _join_volumes(press: Press, out_dir: Path, kept: KeptVolumes) -> None:
    """Join the finished documents, in binder order, but for volumes that stand there as they would be."""
    documents = press.binder.documents
    starts = volume_starts(documents, {number: s.pages for number, s in press.result.sidecars.items()})
    title = press.binder.site.title
    known = {name: 0 for sidecar in press.result.sidecars.values() for name in sidecar.destinations}
    volumes = []
    for number, (start, end) in enumerate(zip(starts, [*starts[1:], len(documents)], strict=True), 1):
        files = [(press.cached[d.number], press.result.sidecars[d.number]) for d in documents[start:end]]
        name = "binder.pdf" if len(starts) == 1 else f"binder-volume-{number}.pdf"
        said = title if len(starts) == 1 else f"{title}, volume {number} of {len(starts)}"
        large = len(starts) > 1 or sum(sidecar.pages for _, sidecar in files) > _FORM_PAGES
        volumes.append(Volume(files, out_dir / name, said, large))
    digests = {volume.out: volume.made_from() for volume in volumes}
    wanted = [volume for volume in volumes if not kept.stands(volume.out, digests[volume.out])]
    for volume in wanted:
        remove(volume.out)
    for volume, unresolved in zip(wanted, _joined(wanted, press), strict=True):
        kept.add(volume.out, digests[volume.out], unresolved)
    kept.write()
    press.result.joined += [volume.out for volume in volumes]
    numbers = {name.partition("#")[0] for name in known}
    press.result.findings += [
        Finding(
            "P102",
            Grade.CAUTION,
            "",
            "",
            target,
            f"a link leads to {target}, which is not in the binder",
            "a document of the binder",
            "Correct the reference",
        )
        for target in sorted(kept.dangling)
        if target.partition("#")[0] not in numbers
    ]
