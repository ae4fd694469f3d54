"""A signed log: what it is made of, and what another JOSE implementation says of it."""

import base64
import hashlib
import json
from typing import Any

import jcs
import pytest
from joserfc import jws as jose
from joserfc.errors import UnsupportedAlgorithmError
from jwcrypto import jwk as other_jwk
from jwcrypto import jws as other_jws

from server.ledger import jws
from server.ledger.checking.verify import verify_log
from server.ledger.document import BadDocument
from server.ledger.signing import sign
from tests.ledger.samples import key, log, signed


def parts(data: bytes) -> tuple[dict[str, Any], bytes]:
    """Protected header and payload, taken apart by hand."""
    header, payload, _ = (
        base64.urlsafe_b64decode(part + "==") for part in json.loads(data)["jws"].split(".")
    )
    return json.loads(header), payload


def test_another_jose_implementation_verifies_it() -> None:
    file = json.loads(signed().data)
    token = other_jws.JWS()
    token.deserialize(file["jws"], other_jwk.JWK(**file["key"]), alg="EdDSA")
    assert json.loads(token.payload) == file["log"]


def test_another_jose_implementation_refuses_another_key() -> None:
    file = json.loads(signed().data)
    token = other_jws.JWS()
    with pytest.raises(other_jws.InvalidJWSSignature):
        token.deserialize(file["jws"], other_jwk.JWK(**key("Bo").public.jwk), alg="EdDSA")


def test_another_implementation_gives_the_same_thumbprint() -> None:
    header, _ = parts(signed().data)
    assert header["kid"] == other_jwk.JWK(**json.loads(signed().data)["key"]).thumbprint()


def test_another_canonicaliser_gives_the_payload_and_the_file() -> None:
    data = signed().data
    assert parts(data)[1] == jcs.canonicalize(log())
    assert data == jcs.canonicalize(json.loads(data)) + b"\n"


def test_the_header_is_ours_and_no_more() -> None:
    header, _ = parts(signed().data)
    assert header == {"alg": "EdDSA", "kid": key("Ines Prado").kid, "typ": "quadwright-log"}


def test_the_digest_is_of_the_signed_payload() -> None:
    made = signed()
    assert made.digest == hashlib.sha256(parts(made.data)[1]).hexdigest()
    assert made.digest == verify_log(made.data).digest


def test_the_same_log_is_signed_the_same_way() -> None:
    assert signed().data == signed().data


def test_a_log_over_the_librarys_own_limit_is_signed() -> None:
    # joserfc takes payloads of 128 000 bytes unless told otherwise.
    sheet = log()["sheet"] | {"wires": ["x" * 1000] * 400}
    made = sign(log(sheet=sheet), key("Ines Prado"))
    assert len(parts(made.data)[1]) > 400_000
    assert verify_log(made.data).ok


def test_a_log_that_names_another_signer_is_not_signed() -> None:
    with pytest.raises(BadDocument, match=r"signed_by\.key"):
        sign(log(), key("Bo"))


@pytest.mark.parametrize("alg", ["none", "HS256", "Ed25519", "Ed448"])
def test_the_library_is_left_one_algorithm_only(alg: str) -> None:
    with pytest.raises(UnsupportedAlgorithmError):
        jose.serialize_compact(
            {"alg": alg}, b"log", key("Ines Prado").as_jose(), registry=jws._registry
        )
