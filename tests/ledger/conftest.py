"""Keys that nobody may sign with."""

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from server.ledger.keys import SigningKey


@pytest.fixture
def published() -> SigningKey:
    """The key of RFC 8032 §7.1, test 1."""
    secret = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"
    return SigningKey(Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret)))
