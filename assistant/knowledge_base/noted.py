"""How the files of the knowledge base stand: noted beside the image that was made of them.

While none of them has moved since the note, their image is known without reading two megabytes of YAML.
"""

from __future__ import annotations

import contextlib
import json
import os
import time
import zlib
from collections.abc import Iterator
from pathlib import Path

from assistant.knowledge_base.image import put

_SETTLED = 2.0  # seconds: a file changed since may change again within one tick of its clock

Standing = dict[str, list[int]]  # of each file: size, days of change, and which file it is


def files_in(folder: Path) -> Iterator[os.DirEntry[str]]:
    """The files below a folder that knowledge is made of, in no order; none where there is no folder."""
    left = [os.fspath(folder)]
    while left:
        try:
            found = os.scandir(left.pop())
        except OSError:
            continue
        with found:
            for entry in found:
                if entry.name.startswith(("_", ".")):
                    continue
                if entry.is_dir(follow_symlinks=False):
                    left.append(entry.path)
                elif entry.name.endswith((".yaml", ".txt", ".py")):
                    yield entry


def standing(*folders: Path) -> Standing:
    """How the files of some folders stand: nobody can change one and leave all of this as it was."""
    found = {one.path: one.stat() for folder in folders for one in files_in(folder)}
    return {path: [one.st_size, one.st_mtime_ns, one.st_ctime_ns, one.st_ino] for path, one in found.items()}


def known_key(cache: Path, now: Standing) -> str:
    """The key that these files had when they were last read; empty where they have moved since."""
    try:
        noted = json.loads(_note(cache, now).read_bytes())
        return str(noted["key"]) if noted["files"] == now else ""
    except (OSError, ValueError, KeyError, TypeError):
        return ""


def settled(now: Standing) -> bool:
    """True where no file was changed a moment ago; asked before they are read, as reading may take longer than the moment."""
    youngest = max((max(changed, touched) for _, changed, touched, _ in now.values()), default=0)
    return time.time() - youngest / 1e9 > _SETTLED


def note_key(cache: Path, now: Standing, key: str) -> None:
    """Notes the key of files that stood so, and were settled, before they were read."""
    with contextlib.suppress(OSError):
        put(_note(cache, now), json.dumps({"key": key, "files": now}).encode())


def _note(cache: Path, now: Standing) -> Path:
    """Where the standing of these files is noted: one place for each set of them."""
    return cache / f"files-{zlib.crc32(chr(0).join(sorted(now)).encode()):08x}.json"
