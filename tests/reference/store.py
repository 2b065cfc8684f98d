"""Writes a reference file, or with --check compares what would be written with what stands there."""

import json
import platform
import sys
from importlib.metadata import version
from pathlib import Path

FOLDER = Path(__file__).resolve().parent

# Values are rounded to this many decimals; --check allows a last digit or two for other machines.
PLACES = 6
ALLOWED = 5e-6


def rounded(value):
    if isinstance(value, dict):
        return {key: rounded(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [rounded(item) for item in value]
    if isinstance(value, bool) or isinstance(value, (str, int)) or value is None:
        return value
    return round(float(value), PLACES) + 0.0


def significant(value, digits=10):
    """For quantities far from one: so many significant digits instead of fixed places."""
    return float(f"{float(value):.{digits}g}")


def differences(old, new, where=""):
    """Every place where two trees differ by more than ALLOWED (absolute below 1, relative above)."""
    if isinstance(old, dict) and isinstance(new, dict):
        for key in sorted(set(old) | set(new)):
            if key not in old or key not in new:
                yield f"{where}/{key} is missing on one side"
            else:
                yield from differences(old[key], new[key], f"{where}/{key}")
    elif isinstance(old, list) and isinstance(new, list):
        if len(old) != len(new):
            yield f"{where} has {len(old)} entries, now {len(new)}"
        for k, (a, b) in enumerate(zip(old, new)):
            yield from differences(a, b, f"{where}/{k}")
    elif isinstance(old, (int, float)) and isinstance(new, (int, float)):
        if abs(old - new) > ALLOWED * max(1.0, abs(old)):
            yield f"{where} was {old}, now {new}"
    elif old != new:
        yield f"{where} was {old!r}, now {new!r}"


def lines(value, depth):
    """JSON with one entry a line down to `depth`, so that a change can be read."""
    if depth and isinstance(value, dict) and value:
        return "{\n" + ",\n".join(f"{json.dumps(k)}: {lines(v, depth - 1)}" for k, v in value.items()) + "\n}"
    if depth and isinstance(value, list) and value and not isinstance(value[0], (int, float, str)):
        return "[\n" + ",\n".join(lines(v, depth - 1) for v in value) + "\n]"
    return json.dumps(value, separators=(",", ":"))


def store(script, about, libraries, data, depth=4):
    """Writes `SCRIPT.json` beside the script, or compares with it, and exits 1 on a difference."""
    name = Path(script).stem
    made = {
        "script": f"tests/reference/{name}.py",
        "about": about,
        "versions": {"python": platform.python_version()} | {library: version(library) for library in libraries},
        **data,
    }
    file = FOLDER / f"{name}.json"
    if "--check" in sys.argv[1:]:
        stands = json.loads(file.read_text())
        # The interpreter may differ; the libraries are pinned.
        stands["versions"].pop("python"), made["versions"].pop("python")
        found = list(differences(stands, json.loads(json.dumps(made))))
        for line in found[:20]:
            print(f"{file.name}: {line}")
        print(f"{file.name}: {'agrees' if not found else f'{len(found)} differences'}")
        sys.exit(1 if found else 0)
    file.write_text(lines(made, depth) + "\n")
    print(f"{file.name}: {file.stat().st_size} bytes")
