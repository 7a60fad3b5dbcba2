"""What ligule knows: the shipped YAML, checked, compiled to an image, and read section by section.

The image is a cache and nothing more. It is keyed by the content of every file it was made from and carries a
checksum for each section; deleted, stale or damaged, it is made again and the answers are the same.
"""

from __future__ import annotations

import json
import os
import zlib
from hashlib import blake2b
from pathlib import Path
from typing import Any

from assistant.knowledge_base.folded import Unfolding as Unfolding
from assistant.terms import Amount, Row
from knowledge import FOLDER

_SECTIONS = {"product": "products", "program": "programs", "state": "states"}  # kind of name -> section
_FORMAT = "ligule image 1"


class Knowledge:
    """The sections of the knowledge base, each decoded when first asked for."""

    def __init__(self, header: dict[str, Any], body: bytes) -> None:
        self.key: str = header["key"]
        self._places = header["sections"]
        self._body = body
        self._loaded: dict[str, Any] = {}

    def section(self, name: str) -> Any:
        """One section: `species`, `thresholds`, `language` ... An unknown name gives an empty one."""
        if name not in self._loaded:
            place = self._places.get(name)
            self._loaded[name] = json.loads(self._body[place[0] : place[0] + place[1]]) if place else {}
        return self._loaded[name]

    def entry(self, path: str) -> Any:
        """What stands at `section.key.field`; None where nothing does."""
        section, *rest = path.split(".")
        data = self.section(section)
        for part in rest:
            if not isinstance(data, dict) or part not in data:
                return None
            data = data[part]
        return data

    def rows(self, path: str) -> list[Row]:
        """The figures at a path, in the order of the file: the first is the one taken by default."""
        data = self.entry(path)
        return [row_of(row) for row in ([data] if isinstance(data, dict) else data or [])]

    def source(self, key: str) -> dict[str, Any] | None:
        """A published source by its key; None for `common practice` and its like."""
        return self.section("sources").get(key)

    def name(self, identifier: str) -> str:
        """The name to print of `species.tall_fescue` and its like."""
        kind, _, key = identifier.partition(".")
        section = _SECTIONS.get(kind, kind)
        entry = self.entry(f"{section}.{key}") or {}
        return str(entry.get("name", key.replace("_", " ")))


def row_of(data: dict[str, Any]) -> Row:
    """A figure of the YAML as an amount with its source."""
    unit = data.get("unit", "")
    amount = Amount(
        kind_of(unit, data.get("per", "")),
        float(data["low"]),
        float(data["high"]),
        (unit,) if unit else (),
        per=data.get("per", ""),
        of=data.get("of", ""),
    )
    return Row(amount, data["source"], data.get("where", ""), data.get("note", ""))


def kind_of(unit: str, per: str) -> str:
    """The kind of a figure by its unit, as far as the knowledge base needs it."""
    if per:
        return "rate" if per.split(" ")[-1] in ("sq_ft", "acre", "ha", "m**2") else "mix"
    return {
        "degF": "temperature",
        "degC": "temperature",
        "mph": "speed",
        "inch / hour": "speed",
        "percent": "percent",
        "inch": "length",
        "day": "duration",
        "week": "duration",
    }.get(unit, "number")


def load(cache: Path | None = None, folder: Path = FOLDER) -> Knowledge:
    """The knowledge base of a folder, from its image in `cache` where that is whole and of the same content.

    Raises BrokenKnowledge with every fault, by file and line, where a file cannot be used.
    """
    texts = _texts(folder)
    key = _key(texts)
    path = cache / f"knowledge-{key}.image" if cache else None
    if path:
        found = _open(path, key)
        if found:
            return found
    header, body = _compile(texts, key)
    if path:
        _keep(path, header, body)
    return Knowledge(header, body)


def _texts(folder: Path) -> dict[str, bytes]:
    found: dict[str, bytes] = {}
    for where, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith(("_", ".")))
        for file in sorted(files):
            if file.endswith((".yaml", ".txt")):
                path = os.path.join(where, file)
                with open(path, "rb") as stream:
                    found[os.path.relpath(path, folder).replace(os.sep, "/")] = stream.read()
    return found


def _key(texts: dict[str, bytes]) -> str:
    """The content of every file, and of the code that compiles it."""
    digest = blake2b(_FORMAT.encode(), digest_size=16)
    for name in sorted(texts):
        digest.update(name.encode() + b"\0" + texts[name] + b"\0")
    for name in ("checks.py", "compiling.py", "folded.py", "programs.py", "words.py"):
        with open(os.path.join(os.path.dirname(__file__), name), "rb") as stream:
            digest.update(stream.read())
    return digest.hexdigest()


def _open(path: Path, key: str) -> Knowledge | None:
    try:
        content = path.read_bytes()
        line, _, body = content.partition(b"\n")
        header = json.loads(line)
        whole = header["key"] == key and zlib.crc32(body) == header["check"]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return Knowledge(header, body) if whole else None


def _compile(texts: dict[str, bytes], key: str) -> tuple[dict[str, Any], bytes]:
    from assistant.knowledge_base.checks import faults_of
    from assistant.knowledge_base.compiling import sections_of
    from assistant.knowledge_base.files import BrokenKnowledge, Document, Fault, read

    names = [name for name in texts if name.endswith(".yaml")]
    read_ones = [read(name, texts[name].decode("utf-8", "replace")) for name in names]
    faults = [one for one in read_ones if isinstance(one, Fault)]
    documents = {one.name: one for one in read_ones if isinstance(one, Document)}
    faults = faults or faults_of(documents)
    if faults:
        raise BrokenKnowledge(faults, len(names))
    ordinary = texts.get("intents/ordinary_words.txt", b"").decode()
    body = bytearray()
    places = {}
    for name, data in sections_of(documents, ordinary).items():
        packed = json.dumps(data, separators=(",", ":"), ensure_ascii=False).encode()
        places[name] = [len(body), len(packed)]
        body += packed
    return {"key": key, "sections": places, "check": zlib.crc32(body)}, bytes(body)


def _keep(path: Path, header: dict[str, Any], body: bytes) -> None:
    """Writes the image beside its place and moves it there; a folder that cannot be written costs only time."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        made = path.with_name(f"{path.name}.{os.getpid()}")
        made.write_bytes(json.dumps(header).encode() + b"\n" + body)
        made.replace(path)
        for old in path.parent.glob("knowledge-*.image"):
            if old != path:
                old.unlink(missing_ok=True)
    except OSError:
        return
