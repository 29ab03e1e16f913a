"""A second opinion on a hand-over bundle: shares no code with packdown.

Usage: verify.py BUNDLE [VKEY ...]    a zip file, or the folder it was unpacked into
Needs from PyPI: cryptography, rfc8785. Leaves with 0 where the bundle holds and one of the keys
signed it, with 5 where it does not, and names the first thing that is wrong.

From the published forms: RFC 8493, RFC 6962, RFC 8785, RFC 9562, C2SP notes and proofs.
"""

import base64
import hashlib
import json
import pathlib
import re
import sys
import unicodedata
import zipfile

import rfc8785
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey


class Broken(Exception):
    """What is wrong."""


def need(holds, what):
    if not holds:
        raise Broken(what)


def files_of(path):
    """Name in the bag to bytes."""
    path, files = pathlib.Path(path), {}
    if path.is_dir():
        for item in sorted(path.rglob("*")):
            need(not item.is_symlink(), f"a link: {item}")
            if item.is_file():
                files[item.relative_to(path).as_posix()] = item.read_bytes()
    else:
        with zipfile.ZipFile(path) as packed:
            need(not packed.comment, "a comment")
            for info in packed.infolist():
                top, _, name = info.filename.partition("/")
                need(name and top == packed.infolist()[0].filename.partition("/")[0], "one folder")
                need(not info.flag_bits & 1 and info.external_attr >> 28 in (0, 8), "no plain file")
                need(name not in files, f"twice: {name}")
                files[name] = packed.read(info)
    folded = {unicodedata.normalize("NFC", name).lower() for name in files}
    need(len(folded) == len(files), "names that differ only by case or form")
    for name in files:
        good = all(part not in ("", ".", "..") and part[0] != "~" for part in name.split("/"))
        need(good and not re.search(r"[\\:\x00-\x1f]", name), f"name {name!r}")
    return files


def manifest(files, name, algorithm):
    """Compares every file that a manifest lists; gives their names."""
    listed = set()
    for line in files[name].decode().splitlines():
        need(found := re.fullmatch(r"([0-9a-fA-F]+)[ \t]+(.+)", line), f"{name}: {line!r}")
        path = found[2].replace("%0A", "\n").replace("%0D", "\r").replace("%25", "%")
        need(path not in listed, f"{name} lists {path} twice")
        need(path in files, f"{name}: {path} is not there")
        listed.add(path)
        digest = hashlib.new(algorithm, files[path]).hexdigest()
        need(digest == found[1].lower(), f"{path} is not the file that {name} names")
    return listed


def check_bag(files):
    declared = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    need(files.get("bagit.txt", b"").replace(b"\r\n", b"\n").rstrip(b"\n") + b"\n" == declared, "bagit.txt")
    need("fetch.txt" not in files, "fetch.txt")
    payload, known, vouched = {name for name in files if name.startswith("data/")}, 0, set()
    for algorithm in ("sha256", "sha512"):
        if (name := f"manifest-{algorithm}.txt") in files:
            known += 1
            need(manifest(files, name, algorithm) == payload, f"{name} does not list the payload")
        if (name := f"tagmanifest-{algorithm}.txt") in files:
            vouched |= manifest(files, name, algorithm)
    need(known, "no manifest")
    others = {name for name in files if not name.startswith(("data/", "tagmanifest-"))}
    need(others == vouched, f"tag files {others ^ vouched}")
    oxum = f"{sum(len(files[name]) for name in payload)}.{len(payload)}"
    said = re.findall(r"(?m)^Payload-Oxum: (.*)$", files.get("bag-info.txt", b"").decode())
    need(set(said) <= {oxum}, f"Payload-Oxum is {oxum}")


def leaf(line):
    return hashlib.sha256(b"\0" + line).digest()


def node(left, right):
    return hashlib.sha256(b"\1" + left + right).digest()


def root_of(leaves):
    if len(leaves) == 1:
        return leaves[0]
    half = 1 << (len(leaves) - 1).bit_length() - 1
    return node(root_of(leaves[:half]), root_of(leaves[half:]))


def root_from(index, size, hashed, path):
    """The root that an inclusion proof leads to."""
    need((size == 1) == (not path), "a proof that is too long or too short")
    if size == 1:
        return hashed
    half = 1 << (size - 1).bit_length() - 1
    if index < half:
        return node(root_from(index, half, hashed, path[:-1]), path[-1])
    return node(path[-1], root_from(index - half, size - half, hashed, path[:-1]))


def entry_of(line, origin, seq):
    """One entry: canonical, in its place, with the id that its content gives."""
    entry = json.loads(line)
    need(rfc8785.dumps(entry) == line, f"entry {seq} is not canonical")
    need(entry["log"] == origin and entry["seq"] == seq, f"entry {seq} is out of place")
    rest = {name: value for name, value in entry.items() if name != "id"}
    digest = hashlib.sha256(rfc8785.dumps(rest)).digest()
    tail = bytearray(digest[:10])
    tail[0], tail[2] = tail[0] & 0x0F | 0x70, tail[2] & 0x3F | 0x80
    need(entry["id"].replace("-", "")[12:] == tail.hex(), f"entry {seq} has not the id of its content")
    return entry


def checkpoint_of(note):
    text, _, signatures = note.partition("\n\n")
    origin, size, root = text.split("\n")
    return text + "\n", origin, int(size), base64.b64decode(root), signatures


def signed_by(text, signatures, origin, vkey):
    name, said, coded_key = vkey.removesuffix("\n").split("+", 2)
    typed = base64.b64decode(coded_key, validate=True)
    short = hashlib.sha256(name.encode() + b"\n" + typed).digest()[:4]
    need((said, len(typed), typed[0]) == (short.hex(), 33, 1), f"key {vkey!r}")
    for line in signatures.splitlines():
        _, who, coded = line.split(" ")
        blob = base64.b64decode(coded)
        if (who, blob[:4]) == (name, short) and name == origin:
            Ed25519PublicKey.from_public_bytes(typed[1:]).verify(blob[4:], text.encode())
            return True
    return False


def check(files, vkeys):
    check_bag(files)
    note = files["checkpoint.note"].decode()
    text, origin, size, root, signatures = checkpoint_of(note)
    stem = "data/log/" + re.sub(r"[^A-Za-z0-9._-]", "-", origin)
    raw = files[stem + ".jsonl"]
    need(raw.endswith(b"\n"), "the log ends within a line")
    lines = raw[:-1].split(b"\n")
    entries = [entry_of(line, origin, seq) for seq, line in enumerate(lines)]
    need(len(lines) == size and root_of([leaf(line) for line in lines]) == root, "root")
    own = files[stem + ".vkey"].decode()
    need(signed_by(text, signatures, origin, own), "not signed by the key it brings")
    need(any(signed_by(text, signatures, origin, key) for key in vkeys), "not signed by a trusted key")
    need((last := entries[-1])["type"] == "released", "the log does not end with the hand-over")
    need(last["body"] == json.loads(files["data/handover.json"]), "handover.json")
    opened = entries[0]["body"]
    name, said = ("job", opened["plan"]) if "plan" in opened else ("consignment", opened)
    need(said == json.loads(files[f"data/{name}.json"]), f"{name}.json")
    for paper in last["body"]["papers"]:
        digest = hashlib.sha256(files["data/papers/" + paper["name"]]).hexdigest()
        need(digest == paper["sha256"], f"paper {paper['name']}")
    for photo in (photo for entry in entries for photo in entry["photos"]):
        found = files.get("data/photos/" + photo["file"])
        need(found is None or hashlib.sha256(found).hexdigest() == photo["sha256"], photo["file"])
    if "data/rules.json" in files:
        kept = json.loads(files["data/rules.json"])
        joined = "".join(text for _, text in kept["fragments"]) + kept["procedure"]
        need(hashlib.sha256(joined.encode()).hexdigest() == opened["procedure_sha256"], "rules.json")
    came = [entry["body"].get("checkpoint") for entry in entries if entry["type"] == "carried_on"]
    for name in (name for name in files if name.startswith(("data/proofs/", "data/earlier/"))):
        before, *pieces = files[name].decode().split("c2sp.org/tlog-proof@v1\n")
        notes = {piece.partition("\n\n")[2] for piece in pieces}
        need(pieces and not before and len(notes) == 1, name)
        for piece in pieces:
            head, _, its_note = piece.partition("\n\n")
            extra, index, *path = head.split("\n")
            _, _, its_size, its_root, _ = checkpoint_of(its_note)
            hashed, path = leaf(base64.b64decode(extra.removeprefix("extra "))), map(base64.b64decode, path)
            need(root_from(int(index.removeprefix("index ")), its_size, hashed, list(path)) == its_root, name)
            state = {"size": its_size, "root": its_root.hex()}
            need(its_note == note if name.startswith("data/proofs/") else state in came, name)


if __name__ == "__main__":
    try:
        check(files_of(sys.argv[1]), sys.argv[2:])
    except (Broken, InvalidSignature, zipfile.BadZipFile, KeyError, ValueError, IndexError, TypeError) as fault:
        print(f"BROKEN: {type(fault).__name__}: {fault}")
        sys.exit(5)
    print("holds")
