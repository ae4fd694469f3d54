"""Signatures and names of keys against RFC 8032 §7.1, RFC 8037 appendix A and RFC 7638."""

import base64
import hashlib
import json

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from joserfc import jws as jose
from jwcrypto import jwk as other_jwk
from jwcrypto import jws as other_jws

from server.ledger import base64url, jws
from server.ledger.canonical import canonical, digest
from server.ledger.keys import SigningKey, from_jwk, new_key
from server.ledger.public import PUBLISHED
from tests.ledger.samples import CHEAP, PHRASE

# RFC 8032 §7.1, all but TEST 1024, whose message has 1023 bytes: secret, public, message,
# signature (REF-G4).
RFC8032 = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e06522490155"
        "5fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
        "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac"
        "18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
    (  # TEST SHA(abc), from memory; its message is SHA-512 of "abc" (FIPS 180-4)
        "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
        "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
        hashlib.sha512(b"abc").hexdigest(),
        "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b589"
        "09351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704",
    ),
]

# RFC 8037 A.1 (the same key as RFC 8032's test 1), A.3 and A.4 (REF-G5, REF-G6).
X = "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"
D = "nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A"
THUMBPRINT = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"
PAYLOAD = b"Example of Ed25519 signing"
JWS = (
    "eyJhbGciOiJFZERTQSJ9.RXhhbXBsZSBvZiBFZDI1NTE5IHNpZ25pbmc."
    "hgyY0il_MGCjP0JzlnLWG1PPOt7-09PGcvMg3AIbQR6dWbhijcNR4ki4iylGjg5BhVsPt9g7sVvpAr_MuM0KAg"
)


def signing_key(secret: bytes) -> SigningKey:
    return SigningKey(Ed25519PrivateKey.from_private_bytes(secret))


@pytest.mark.parametrize(("secret", "public", "message", "signature"), RFC8032)
def test_our_key_gives_rfc8032s_signature(
    secret: str, public: str, message: str, signature: str
) -> None:
    key = signing_key(bytes.fromhex(secret))
    assert base64url.decode(key.public.x).hex() == public
    assert key._private.sign(bytes.fromhex(message)).hex() == signature
    assert public in PUBLISHED


# RFC 8032 §7.1, TEST 1024 and TEST SHA(abc): secrets from memory, public halves by `cryptography`.
@pytest.mark.parametrize(
    "secret",
    [
        "f5e5767cf153319517630f226876b86c8160cc583bc013744c6bf255f5cc0ee5",
        "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
    ],
)
def test_the_two_other_keys_of_rfc8032_are_barred_too(secret: str) -> None:
    private = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    assert private.public_key().public_bytes_raw().hex() in PUBLISHED


def test_our_jose_key_is_rfc8037s() -> None:
    key = signing_key(base64.urlsafe_b64decode(D + "="))
    private = {"kty": "OKP", "crv": "Ed25519", "d": D, "x": X}
    assert private.items() <= key.as_jose().as_dict(private=True).items()
    assert from_jwk({"kty": "OKP", "crv": "Ed25519", "x": X}) == key.public


def test_our_kid_is_rfc8037s_thumbprint() -> None:
    assert from_jwk({"kty": "OKP", "crv": "Ed25519", "x": X}).kid == THUMBPRINT


def test_our_registry_signs_rfc8037s_example() -> None:
    key = signing_key(base64.urlsafe_b64decode(D + "=")).as_jose()
    made = jose.serialize_compact({"alg": "EdDSA"}, PAYLOAD, key, registry=jws._registry)
    assert made == JWS


def test_our_segments_are_rfc8037s() -> None:
    assert jws.payload_of(JWS) == PAYLOAD
    header, payload, signature = JWS.split(".")
    assert base64url.encode(base64url.decode(header)) == header
    assert base64url.decode(payload) == PAYLOAD
    assert len(base64url.decode(signature)) == 64


def test_our_jws_of_the_example_verifies_elsewhere() -> None:
    key = signing_key(base64.urlsafe_b64decode(D + "="))
    token = other_jws.JWS()
    token.deserialize(jws.seal(PAYLOAD, key, "quadwright-log"), other_jwk.JWK(**key.public.jwk))
    assert token.payload == PAYLOAD
    assert json.loads(token.objects["protected"])["kid"] == THUMBPRINT


def test_rfc8037s_own_jws_is_not_one_of_ours() -> None:
    key = signing_key(base64.urlsafe_b64decode(D + "=")).public
    with pytest.raises(jws.BadSignature, match="must hold alg, kid and typ"):
        jws.check(JWS, key, "quadwright-log")


@pytest.mark.parametrize("bit", range(0, 512, 7))
def test_a_flipped_bit_of_the_signature_is_refused(bit: int) -> None:
    key = signing_key(base64.urlsafe_b64decode(D + "="))
    head, _, tail = jws.seal(PAYLOAD, key, "quadwright-log").rpartition(".")
    signature = bytearray(base64url.decode(tail))
    signature[bit // 8] ^= 1 << bit % 8
    with pytest.raises(jws.BadSignature, match="does not fit"):
        jws.check(f"{head}.{base64url.encode(bytes(signature))}", key.public, "quadwright-log")


def test_a_changed_payload_character_is_refused() -> None:
    key = signing_key(base64.urlsafe_b64decode(D + "="))
    header, payload, signature = jws.seal(PAYLOAD, key, "quadwright-log").split(".")
    with pytest.raises(jws.BadSignature, match="does not fit"):
        jws.check(f"{header}.S{payload[1:]}.{signature}", key.public, "quadwright-log")


@pytest.mark.parametrize("signature", ["", None])
def test_the_algorithm_none_is_refused(signature: str | None) -> None:
    key = signing_key(base64.urlsafe_b64decode(D + "="))
    _, payload, tail = jws.seal(PAYLOAD, key, "quadwright-log").split(".")
    header = {"alg": "none", "kid": key.kid, "typ": "quadwright-log"}
    text = f"{base64url.encode(canonical(header))}.{payload}.{tail if signature is None else ''}"
    with pytest.raises(jws.BadSignature, match="alg is not EdDSA"):
        jws.check(text, key.public, "quadwright-log")


def test_a_new_key_is_none_of_the_published() -> None:
    made = new_key(PHRASE, CHEAP)
    published = {public for _, public, _, _ in RFC8032}
    assert base64url.decode(made.public.x).hex() not in published
    assert made.kid != THUMBPRINT


# FIPS 180-4 / NIST example values (REF-G3).
@pytest.mark.parametrize(
    ("message", "expected"),
    [
        (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
        (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
        (
            b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
        ),
    ],
)
def test_our_digest_is_sha256(message: bytes, expected: str) -> None:
    assert digest(message) == expected
