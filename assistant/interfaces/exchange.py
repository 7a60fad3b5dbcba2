"""`ligule export` and `ligule import`: one lawn as YAML, out and in."""

from __future__ import annotations

from pathlib import Path

import yaml

from assistant.lawn.exchange import NotALawn, from_plain, to_plain
from assistant.lawn.state import fold
from assistant.lawn.store import Store

_LARGEST = 50_000_000  # bytes of a file


def exported(store: Store, lawn: str) -> str:
    """The whole journal of a lawn as YAML; what was taken back is in it as well."""
    data = to_plain(lawn, store.events(lawn))
    return yaml.dump(data, Dumper=_Plain, sort_keys=False, allow_unicode=True, width=120)


def imported(store: Store, path: Path, lawn: str = "") -> tuple[str, int]:
    """Takes a lawn in under its own name or another, in one transaction; gives the name and how many events.

    Raises NotALawn where the file cannot be used, or where the name is taken.
    """
    if path.stat().st_size > _LARGEST:
        raise NotALawn(f"It has more than {_LARGEST // 1_000_000} MB.")
    text = path.read_text(encoding="utf-8", errors="strict")
    try:
        if any(isinstance(token, yaml.AliasToken | yaml.AnchorToken | yaml.TagToken) for token in yaml.scan(text)):
            raise NotALawn("It holds anchors, aliases or tags; an exported lawn has none.")
        data = yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    except yaml.YAMLError as problem:
        mark = getattr(problem, "problem_mark", None)
        raise NotALawn(f"Line {(mark.line if mark else 0) + 1} is not readable YAML.") from problem
    events = from_plain(data, lawn)
    name = events[0].lawn if events else lawn
    if name in store.lawns():
        raise NotALawn(f"There is a lawn called {name} already. Give another name with --lawn NAME.")
    try:
        fold(name, events)
    except (KeyError, TypeError, ValueError, AttributeError) as problem:
        raise NotALawn(f"Its events do not fit together ({type(problem).__name__}: {problem}).") from problem
    return name, len(store.append(events))


class _Plain(getattr(yaml, "CSafeDumper", yaml.SafeDumper)):  # type: ignore[misc]
    """Without aliases: a file that a person can read from top to bottom."""

    def ignore_aliases(self, data: object) -> bool:
        return True
