"""A photo, which is made anew before it is kept."""

from typing import Any, ClassVar

from starlette.datastructures import UploadFile

from server.trade.card import Judgement
from server.trade.card.kinds.file import KeptFile
from server.trade.card.kinds.photo import Photo
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
from server.work.ticket import pictures


class PhotoForm(Carried):
    """A photo. `kept` is the digest of one that was sent before."""

    file: UploadFile | None = None
    kept: str = ""


@register_view
class PhotoView(KindView[Photo, KeptFile, PhotoForm]):
    name = "photo"
    form = PhotoForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=False,
        says_found=True,
        stays=False,
        attaches=True,
        refills=False,
        unseen=("kept",),
    )

    def answer(self, spec: Photo, given: PhotoForm) -> Posted:
        """Nothing: a photo is named by the desk that keeps it (see uploads.py)."""
        return {}

    def field(self, path: list[str], given: PhotoForm) -> str:
        return "file"

    def typed(self, answer: KeptFile) -> dict[str, Any]:
        return {"kept": answer.digest}

    def ask(self, spec: Photo, here: Here) -> Asking:
        return Asking(spec)

    def found(self, spec: Photo, answer: KeptFile, judgement: Judgement, here: Here) -> Result:
        return Result(worth=judgement)

    def brings(self, given: PhotoForm) -> BroughtFile | None:
        """The photo without its metadata."""
        if given.file is None:
            return BroughtFile(kept=given.kept) if given.kept else None
        name = given.file.filename or ""
        photo = given.file.file.read(pictures.MOST_BYTES + 1)
        return BroughtFile(name, "image/jpeg", pictures.remade(photo, name, "attachment").data)
