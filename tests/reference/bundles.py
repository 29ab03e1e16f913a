"""Do packdown and verify.py say the same of good and of tampered bundles?

Usage: bundles.py PACKDOWN    the program; run from the project's folder.
Needs from PyPI: bagit, cryptography, rfc8785. Not among the everyday tests.

Every sample job is played and handed over. Of each bundle, every file is changed at several
places, cut, lengthened, left out and doubled, once with the manifests as they were and once with
all manifests made anew; then the log is edited as somebody would who holds no key. Both programs
must refuse every one of them, and take every good one; bagit takes the good ones as well.
"""

import hashlib
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import zipfile

import bagit

HERE = pathlib.Path(__file__).parent
PACKDOWN = pathlib.Path(sys.argv[1]).resolve()
sys.path.insert(0, str(HERE))
import verify  # noqa: E402

tally = {"good": 0, "tampered": 0, "sent on": 0}


def packdown(*arguments, home):
    env = {**os.environ, "PACKDOWN_HOME": str(home)}
    return subprocess.run([PACKDOWN, *map(str, arguments)], env=env, capture_output=True, text=True)


def second(files, key):
    try:
        verify.check(files, [key])
    except Exception as fault:  # noqa: BLE001 - any refusal counts
        return f"{type(fault).__name__}: {fault}"
    return None


def write(path, base, files):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in files.items():
            packed.writestr(f"{base}/{name}", data)


def resealed(files):
    """All manifests made anew, as somebody would who wants a change to pass."""
    files = {name: data for name, data in files.items() if "manifest-" not in name}
    payload = {name: data for name, data in files.items() if name.startswith("data/")}
    info = files.get("bag-info.txt", b"").decode(errors="replace").splitlines()
    kept = [line for line in info if not line.startswith("Payload-Oxum")]
    kept.append(f"Payload-Oxum: {sum(map(len, payload.values()))}.{len(payload)}")
    files["bag-info.txt"] = ("\n".join(kept) + "\n").encode()

    def lines(of, kind):
        hashed = ((hashlib.new(kind, data).hexdigest(), name) for name, data in sorted(of.items()))
        return "".join(f"{digest}  {name}\n" for digest, name in hashed).encode()

    tags = {name: data for name, data in files.items() if name not in payload}
    for kind in ("sha256", "sha512"):
        tags[f"manifest-{kind}.txt"] = lines(payload, kind)
    files.update(tags)
    for kind in ("sha256", "sha512"):
        files[f"tagmanifest-{kind}.txt"] = lines(tags, kind)
    return files


def compare(what, base, files, key, folder, home, expected):
    path = folder / f"{base}.zip"
    write(path, base, files)
    ran = packdown("verify", path, home=home)
    try:
        own = second(verify.files_of(path), key)
    except Exception as fault:  # noqa: BLE001
        own = str(fault)
    first = None if ran.returncode == 0 else ran.stdout + ran.stderr
    if (first is None) != expected or (own is None) != expected or ran.returncode not in (0, 4, 5):
        sys.exit(f"{base}, {what}: expected {expected}\npackdown ({ran.returncode}): {first}\nverify.py: {own}")
    tally["good" if expected else "tampered"] += 1


# Made from the log by rules that only packdown has: it must refuse a change, the other cannot see it.
MADE = ("data/custody.csv", "data/datapackage.json", "data/epcis.jsonld", "data/procedure.toml", "data/settings.toml")


def refused_by_packdown(what, base, files, folder, home):
    path = folder / f"{base}.zip"
    write(path, base, files)
    ran = packdown("verify", path, home=home)
    if ran.returncode != 5:
        sys.exit(f"{base}, {what}: packdown ({ran.returncode}): {ran.stdout}{ran.stderr}")
    tally["tampered"] += 1


def changes(name, data):
    for at in sorted({0, len(data) // 3, len(data) // 2, len(data) - 2}):
        if 0 <= at < len(data):
            yield f"{name} changed at {at}", data[:at] + bytes([data[at] ^ 4]) + data[at + 1 :]
    yield f"{name} cut", data[: len(data) // 2]
    yield f"{name} lengthened", data + b"x\n"


def without_meaning(name, files, changed):
    """Changes that a new seal makes lawful: what no signature and no hash in the log covers."""
    if name == "bag-info.txt" or "manifest-" in name:
        return True
    if name in ("data/job.json", "data/consignment.json", "data/handover.json", "data/rules.json"):
        try:
            return json.loads(changed) == json.loads(files[name])
        except ValueError:
            return False
    return False


def one_job(job, folder):
    home = folder / "home"
    out = folder / job.name
    if packdown("run", job, "--out", out, home=home).returncode != 0:
        return
    ran = packdown("release", out, "--format", "json", home=home)
    if ran.returncode != 0:
        return
    bundle = pathlib.Path(json.loads(ran.stdout)["bundle"])
    one_bundle(bundle, folder, home)
    sent_on(bundle, folder, home)


def sent_on(bundle, folder, home):
    """The same load received by the sample site, and as much of it as may go sent on."""
    site = folder / f"{bundle.stem}-site"
    site.mkdir()
    (site / "site.json").write_text(pathlib.Path("sample-sites/dunfarran-works/site.json").read_text())
    packdown("register", "open", site, home=home)
    files = verify.files_of(bundle)
    modules = [module for package in json.loads(files["data/handover.json"])["packages"] for module in package["modules"]]
    scans = site / "scans.csv"
    scans.write_text("code,damage\n" + "".join(f"{module['identity']},none\n" for module in modules))
    pen = ("--register", site, "--by", "orla")
    packdown("receive", bundle, *pen, "--delivered-by", "Van Driver", "--scans", scans, home=home)
    going = ("--to", "Furnace", "--address", "Road 1", "--taken-by", "Van Driver", "--format", "json")
    for module in modules:
        ran = packdown("stock", "dispatch", module["identity"], *pen, *going, home=home)
        if ran.returncode == 0:
            tally["sent on"] += 1
            one_bundle(pathlib.Path(json.loads(ran.stdout)["bundle"]), folder, home)
            return


def one_bundle(bundle, folder, home):
    key = json.loads(packdown("key", "show", "--format", "json", home=home).stdout)["demo_verifier"]
    base, files = bundle.stem, verify.files_of(bundle)
    compare("as written", base, files, key, folder, home, True)
    compare("sealed anew, nothing changed", base, resealed(files), key, folder, home, True)
    with tempfile.TemporaryDirectory() as place:
        zipfile.ZipFile(bundle).extractall(place)
        bagit.Bag(f"{place}/{base}").validate()
    for name, data in files.items():
        for what, changed in changes(name, data):
            compare(what, base, {**files, name: changed}, key, folder, home, False)
            if name in MADE:
                refused_by_packdown(f"{what}, sealed anew", base, resealed({**files, name: changed}), folder, home)
            elif not without_meaning(name, files, changed):
                compare(f"{what}, sealed anew", base, resealed({**files, name: changed}), key, folder, home, False)
        rest = {other: data for other, data in files.items() if other != name}
        if not name.startswith(("tagmanifest-", "bag-info")):
            compare(f"without {name}", base, rest, key, folder, home, False)
    log = next(name for name in files if name.endswith(".jsonl"))
    lines = files[log].splitlines(keepends=True)
    middle = len(lines) // 2
    for what, edited in {
        "an entry left out": lines[:middle] + lines[middle + 1 :],
        "two entries swapped": [*lines[:middle], lines[middle + 1], lines[middle], *lines[middle + 2 :]],
        "an entry twice": [*lines[:middle], lines[middle], *lines[middle:]],
        "the last entry left out": lines[:-1],
        "another pair of digits": [*lines[:-1], lines[-1].replace(b'"number":1', b'"number":2')],
    }.items():
        compare(what, base, resealed({**files, log: b"".join(edited)}), key, folder, home, False)


with tempfile.TemporaryDirectory() as temporary:
    for job in sorted(pathlib.Path("sample-jobs").iterdir()):
        if (job / "job.json").exists():
            one_job(job, pathlib.Path(temporary))
print(f"packdown and verify.py agree: {tally['good']} good bundles taken, {tally['tampered']} tampered ones refused; {tally['sent on']} loads sent on among them")
