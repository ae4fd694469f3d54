"""A file, or why there is none."""

from typing import Any, ClassVar

from starlette.datastructures import UploadFile

from server.trade.card import Judgement
from server.trade.card.kinds.file import File, KeptFile, NoFile
from server.web.bench.found import Result
from server.web.bench.hidden_fields import Carried
from server.web.bench.kind_view import (
    Asking,
    BroughtFile,
    Here,
    KindView,
    Layout,
    Posted,
    register_view,
)
from server.work.ticket import files


class FileForm(Carried):
    """A file, or why there is none. `kept` is the digest of one that was sent before."""

    file: UploadFile | None = None
    none: str = ""
    kept: str = ""


@register_view
class FileView(KindView[File, KeptFile | NoFile, FileForm]):
    name = "file"
    form = FileForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=False,
        says_found=True,
        stays=False,
        attaches=True,
        refills=False,
        unseen=("kept",),
    )

    def answer(self, spec: File, given: FileForm) -> Posted:
        """The reason; a file is named by the desk that keeps it (see uploads.py)."""
        both = {"attachment": ""} if given.none and given.file is not None else {}
        return both | ({"none": given.none} if given.none else {})

    def field(self, path: list[str], given: FileForm) -> str:
        return path[0] if path[0] == "none" else "file"

    def typed(self, answer: KeptFile | NoFile) -> dict[str, Any]:
        if isinstance(answer, NoFile):
            return {"none": answer.reason}
        return {"kept": answer.digest}

    def ask(self, spec: File, here: Here) -> Asking:
        return Asking(spec)

    def found(
        self, spec: File, answer: KeptFile | NoFile, judgement: Judgement, here: Here
    ) -> Result:
        return Result(worth=judgement)

    def brings(self, given: FileForm) -> BroughtFile | None:
        """The bytes as they were sent."""
        if given.file is None or given.none:
            return None if given.none or not given.kept else BroughtFile(kept=given.kept)
        name, media_type = given.file.filename or "", given.file.content_type or ""
        return BroughtFile(name, media_type, given.file.file.read(files.MOST_BYTES + 1))
