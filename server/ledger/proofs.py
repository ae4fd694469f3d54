"""Proofs as files. A proof carries no signature: it is worth as much as the head it leads to."""

from typing import Any

from pydantic import ValidationError

from server.ledger.canonical import NotCanonical, canonical
from server.ledger.head import Growth, Membership
from server.ledger.parts import first_fault, plain
from server.ledger.reading import read_json

SUFFIX = ".qwproof"
KINDS: dict[str, type[Membership] | type[Growth]] = {
    "quadwright membership proof": Membership,
    "quadwright growth proof": Growth,
}


class BadProof(ValueError):
    """A file that is no proof; `at` is the place of the first thing wrong."""

    def __init__(self, at: str, says: str) -> None:
        self.at, self.says = at, says
        super().__init__(f"{at}: {says}")


def proof_file(proof: Membership | Growth) -> bytes:
    """The proof's file: canonical JSON and a line feed."""
    return canonical(plain(proof)) + b"\n"


def read_proof(data: bytes) -> Membership | Growth:
    """The proof of a file; whether it holds is another question. Raises BadProof."""
    try:
        document: Any = read_json(data)
        shape = KINDS[document["kind"]]
        return shape.model_validate_json(canonical(document))
    except NotCanonical as error:
        raise BadProof(error.at or "file", f"{error.says}.") from None
    except ValidationError as error:
        at, says = first_fault(error)
        raise BadProof(at or "proof", says) from None
    except (KeyError, TypeError):
        raise BadProof("kind", "It is no proof of this format.") from None
