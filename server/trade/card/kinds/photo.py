"""A photo that is kept."""

from dataclasses import dataclass
from hashlib import sha256
from typing import Any, ClassVar

from server.trade.card.answers import Answer
from server.trade.card.judgement import Judgement, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.kinds.file import KeptFile, attachment
from server.trade.card.spec import Spec

EXAMPLE = b"stands for a photo"  # what a photo shows is no matter of the trade


@dataclass(frozen=True, slots=True)
class Photo(Spec):
    """`{"attachment": SHA-256, "name"}`"""

    kind: ClassVar[str] = "photo"
    says: str = ""


@register
class PhotoKind(WholeKind[Photo, KeptFile]):
    name = "photo"
    spec = Photo

    def read(self, spec: Photo, given: Answer) -> KeptFile:
        return attachment(given, "Choose a photo.")

    def write(self, answer: KeptFile) -> dict[str, Any]:
        return answer.as_json()

    def judge(self, spec: Photo, answer: KeptFile, before: Results) -> Judgement:
        return passed(f"Kept as {answer.name}.", answer.name, answer.as_json())

    def paper(self, spec: Photo) -> tuple[Blank, ...]:
        return (Blank("photo"),)

    def example(self, spec: Photo) -> tuple[KeptFile, ...]:
        return (KeptFile(sha256(EXAMPLE).hexdigest(), "photo.jpg"),)
