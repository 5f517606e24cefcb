"""Recomputes the golden entries from the layout written at the top of ../entry.rs, sharing no code with it.

Needs Python 3 and the package "cryptography" for Ed25519. `python3 recompute.py --check` compares with entries.json;
without arguments it prints the file. The vectors may never change: a difference means that the format was broken.
"""

import base64
import hashlib
import json
import pathlib
import struct
import sys
import uuid

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat


def text(value):
    raw = value.encode("utf-8")
    return struct.pack(">H", len(raw)) + raw


def ident(value):
    return uuid.UUID(value).bytes


def b64(raw):
    return base64.b64encode(raw).decode()


SEED = bytes(range(32))
KEY = Ed25519PrivateKey.from_private_bytes(SEED)
LAB = "018f0000-0000-7000-8000-00000000000a"
STREAM = "018f0000-0000-7000-8000-00000000000b"
OTHER_STREAM = "018f0000-0000-7000-8000-00000000000c"
ACTOR = "018f0000-0000-7000-8000-00000000000d"
JOB = "018f0000-0000-7000-8000-00000000000e"


def entry_id(number):
    return f"018f0000-0000-7000-8000-{number:012x}"


DRAFTS = [
    # The plainest entry.
    dict(kind="job.opened", version=1, min_reader=0, tag="job", subject=JOB, based_on=[], payload=b'{"note":"first"}',
         hlc=(1764000000000, 0), reissued=None),
    # A register edit based on two others, a must-not-ignore kind, text beyond ASCII, a counter at its end.
    dict(kind="quote.set", version=3, min_reader=2, tag="job", subject=JOB, based_on=[entry_id(1), entry_id(77)],
         payload='{"text":"péché · Ω · 修理"}'.encode(), hlc=(1764000000000, 4294967295), reissued=None),
    # An empty payload, a subject tag of a newer program, the largest clock, a re-issue.
    dict(kind="bench.cleaned_twice", version=65535, min_reader=0, tag="bench", subject=ACTOR, based_on=[], payload=b"",
         hlc=(281474976710655, 1), reissued=(OTHER_STREAM, 9007199254740993)),
]


def build():
    prev = bytes(32)
    entries = []
    for number, draft in enumerate(DRAFTS, start=1):
        salt = bytes([number]) * 16
        payload_hash = hashlib.sha256(text("waybench/payload/sha-256/1") + salt + draft["payload"]).digest()
        content = struct.pack(">QI", *draft["hlc"]) + ident(ACTOR) + text(draft["kind"])
        content += struct.pack(">HH", draft["version"], draft["min_reader"]) + text(draft["tag"]) + ident(draft["subject"])
        content += struct.pack(">H", len(draft["based_on"])) + b"".join(ident(i) for i in draft["based_on"])
        header = text("waybench/entry/sha-256/1") + ident(entry_id(number)) + ident(LAB) + ident(STREAM)
        header += struct.pack(">Q", number) + content
        if draft["reissued"] is None:
            header += b"\x00"
        else:
            header += b"\x01" + ident(draft["reissued"][0]) + struct.pack(">Q", draft["reissued"][1])
        header += payload_hash + prev
        digest = hashlib.sha256(header).digest()
        content_hash = hashlib.sha256(
            text("waybench/content/sha-256/1") + ident(entry_id(number)) + ident(LAB) + content + payload_hash).digest()
        wire = {
            "entry_id": entry_id(number), "lab_id": LAB, "stream_id": STREAM, "stream_seq": number,
            "hlc_ms": draft["hlc"][0], "hlc_counter": draft["hlc"][1], "actor_id": ACTOR, "kind": draft["kind"],
            "kind_version": draft["version"], "min_reader": draft["min_reader"],
            "subject": {"tag": draft["tag"], "id": draft["subject"]},
        }
        if draft["based_on"]:
            wire["based_on"] = draft["based_on"]
        if draft["reissued"]:
            wire["reissued_from"] = {"stream_id": draft["reissued"][0], "stream_seq": draft["reissued"][1]}
        wire.update(payload=b64(draft["payload"]), payload_salt=b64(salt), payload_hash=b64(payload_hash),
                    prev_hash=b64(prev), hash=b64(digest), signature=b64(KEY.sign(digest)))
        entries.append({"header_hex": header.hex(), "hash_hex": digest.hex(), "content_hash_hex": content_hash.hex(),
                        "entry": wire})
        prev = digest
    public = KEY.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw)
    return {"source": "computed by recompute.py from the layout in entry.rs", "seed_hex": SEED.hex(),
            "public_key": b64(public), "entries": entries}


if __name__ == "__main__":
    result = json.dumps(build(), indent=1, ensure_ascii=False) + "\n"
    if "--check" in sys.argv:
        stored = (pathlib.Path(__file__).parent / "entries.json").read_text(encoding="utf-8")
        sys.exit(0 if stored == result else "entries.json differs from what this script computes")
    sys.stdout.write(result)
