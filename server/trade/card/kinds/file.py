"""A file that is kept, or the reason why there is none."""

import re
from dataclasses import dataclass
from typing import Any, ClassVar

from server.trade.card.answers import Answer, BadAnswer, only, text
from server.trade.card.judgement import Judgement, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.spec import Spec

_DIGEST = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class File(Spec):
    """`{"attachment": SHA-256, "name"}`, or `{"none": reason}`"""

    kind: ClassVar[str] = "file"
    says: str = ""
    none_says: str = "There is nothing to keep, because"


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A stored file by its digest, with its name."""

    digest: str
    name: str

    def as_json(self) -> dict[str, str]:
        """As the answer names it."""
        return {"attachment": self.digest, "name": self.name}


@dataclass(frozen=True, slots=True)
class NoFile:
    """Why there is nothing to keep."""

    reason: str


@register
class FileKind(WholeKind[File, KeptFile | NoFile]):
    name = "file"
    spec = File

    def read(self, spec: File, given: Answer) -> KeptFile | NoFile:
        if not given:
            raise BadAnswer("attachment", "Choose a file, or say why there is none.")
        if "none" not in given:
            return attachment(given, "Choose a file.")
        if len(given) > 1:
            raise BadAnswer("none", "Keep a file, or say why there is none; not both.")
        return NoFile(text(given["none"], "none", "Say why there is nothing to keep."))

    def write(self, answer: KeptFile | NoFile) -> dict[str, Any]:
        return {"none": answer.reason} if isinstance(answer, NoFile) else answer.as_json()

    def judge(self, spec: File, answer: KeptFile | NoFile, before: Results) -> Judgement:
        if isinstance(answer, NoFile):
            reason = answer.reason
            return passed(f"{spec.none_says} {reason}", f"none: {reason}", {"none": reason})
        return passed(f"Kept as {answer.name}.", answer.name, answer.as_json())

    def paper(self, spec: File) -> tuple[Blank, ...]:
        return (Blank("file"),)

    def example(self, spec: File) -> tuple[KeptFile | NoFile, ...]:
        return (NoFile("The settings were erased; there is nothing to save."),)


def attachment(given: Answer, says: str) -> KeptFile:
    """The digest and name of a stored file. Raises BadAnswer, with `says` where there is none."""
    only(given, ("attachment", "name"))
    digest = given.get("attachment")
    if not isinstance(digest, str) or not _DIGEST.fullmatch(digest):
        raise BadAnswer("attachment", says)
    return KeptFile(digest, text(given.get("name"), "name", "The file has no name."))
