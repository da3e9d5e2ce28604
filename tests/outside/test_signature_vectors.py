"""The algorithms in use against the examples of their own standards.

argon2id: RFC 9106 section 5.3. Ed25519: RFC 8032 section 7.1, tests 1 to 3. Canonical JSON: RFC 8785 sections
3.2.2 and 3.2.3; its examples with numbers that have a fraction or an exponent can't be met, since our form
refuses such numbers (they are text with a unit); the parts without them are held, and so is the refusal.
All vectors were written down from memory of the standards and agree with independent implementations.
"""

from __future__ import annotations

import pytest
from argon2.low_level import ARGON2_VERSION, Type, core, ffi, hash_secret_raw, lib
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

from annual_planner.records.keys import Cost, _stretched
from annual_planner.trade.canonical import NotCanonical, canonical_bytes

TAG = "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"


def test_argon2id_gives_the_tag_of_rfc_9106() -> None:
    """With secret and associated data, through the library's own context call: 32 KiB, 3 passes, 4 lanes."""
    out = ffi.new("uint8_t[]", 32)
    password, salt = ffi.new("uint8_t[]", b"\x01" * 32), ffi.new("uint8_t[]", b"\x02" * 16)
    secret, more = ffi.new("uint8_t[]", b"\x03" * 8), ffi.new("uint8_t[]", b"\x04" * 12)
    context = ffi.new(
        "argon2_context *",
        {
            "out": out, "outlen": 32, "version": ARGON2_VERSION,
            "pwd": password, "pwdlen": 32, "salt": salt, "saltlen": 16,
            "secret": secret, "secretlen": 8, "ad": more, "adlen": 12,
            "t_cost": 3, "m_cost": 32, "lanes": 4, "threads": 4,
            "allocate_cbk": ffi.NULL, "free_cbk": ffi.NULL, "flags": lib.ARGON2_DEFAULT_FLAGS,
        },
    )  # fmt: skip
    assert core(context, Type.ID.value) == 0
    assert bytes(ffi.buffer(out)).hex() == TAG


def test_what_unlocks_keys_agrees_with_a_second_implementation() -> None:
    """The call that wraps keys takes no secret or associated data; another library's says the same."""
    salt, cost = bytes(range(16)), Cost(time=3, memory_kib=64, lanes=4)
    other = Argon2id(salt=salt, length=32, iterations=3, lanes=4, memory_cost=64)
    mine = _stretched("otter lamp violin quay", salt, cost)
    assert mine == other.derive(b"otter lamp violin quay")
    assert mine == hash_secret_raw(b"otter lamp violin quay", salt, 3, 64, 4, 32, Type.ID)


def test_the_second_choice_of_rfc_9106_is_the_default() -> None:
    assert (Cost().time, Cost().memory_kib, Cost().lanes) == (3, 64 * 1024, 4)


RFC_8032 = (
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
)  # fmt: skip


@pytest.mark.parametrize(("private", "public", "message", "signature"), RFC_8032)
def test_ed25519_gives_the_signatures_of_rfc_8032(
    private: str, public: str, message: str, signature: str
) -> None:
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(private))
    assert key.public_key().public_bytes_raw().hex() == public
    assert key.sign(bytes.fromhex(message)).hex() == signature
    with pytest.raises(InvalidSignature):
        key.public_key().verify(bytes.fromhex(signature), bytes.fromhex(message) + b"x")


def test_keys_are_ordered_as_in_rfc_8785() -> None:
    """Section 3.2.3: by UTF-16 code units, so that the emoji (a surrogate pair) comes before U+FB33.

    U+FB33 itself has no place in NFC; a letter above the surrogates that has stands in for it.
    """
    names = ("\u20ac", "\r", "\uff21", "1", "\U0001f600", "\u0080", "\u00f6")
    written = canonical_bytes(dict.fromkeys(names, 0)).decode()
    order = [written.index(canonical_bytes(name).decode()) for name in
             ("\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\uff21")]  # fmt: skip
    assert order == sorted(order)


def test_text_and_literals_are_written_as_in_rfc_8785() -> None:
    """Section 3.2.2, its example without the numbers."""
    given = {"string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/", "literals": [None, True, False]}
    assert canonical_bytes(given) == (
        b'{"literals":[null,true,false],"string":"\xe2\x82\xac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


@pytest.mark.parametrize("number", [333333333.33333329, 1e30, 4.50, 2e-3, 2**53, float("nan")])
def test_numbers_of_rfc_8785_that_readers_may_differ_on_are_refused(number: float) -> None:
    with pytest.raises(NotCanonical):
        canonical_bytes({"numbers": [number]})
