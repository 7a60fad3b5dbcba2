"""The README's commands on a machine that has nothing: `python -m tests.fresh [PYTHON ...]`, as root also as a plain user.

Nothing of the environment is passed on but an empty HOME, LANG=C and a PATH with python3 and the system's own tools; the
project lies in a folder with a blank in its name. With `--tests` the command that runs the tests is run as well, whole.
"""

from __future__ import annotations

import argparse
import os
import pwd
import re
import shutil
import stat
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent
_USER = "nobody"
_BLOCK = re.compile(r"^```sh\n(.*?)^```", re.MULTILINE | re.DOTALL)
_SUM = "how much starter for 4,200 square feet"
_ANSWER = "50.4 fl oz of starter"


@dataclass
class Machine:
    """One interpreter, one user, one folder; what was run on it and what it printed."""

    python: str
    user: str
    folder: Path
    failures: list[str] = field(default_factory=list)

    @property
    def project(self) -> Path:
        return self.folder / "a lawn folder" / "ligule"

    @property
    def home(self) -> Path:
        return self.folder / "empty home"

    def prepare(self) -> None:
        """The files that a checkout has, a HOME with nothing in it, and a PATH with this python3."""
        self.home.mkdir()
        tools = self.folder / "bin"
        tools.mkdir()
        (tools / "python3").write_text(f'#!/bin/sh\nexec "{self.python}" "$@"\n')
        (tools / "python3").chmod(0o755)
        listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True).stdout.decode()
        for name in filter(None, listed.split("\0")):
            (self.project / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(ROOT / name, self.project / name)
        self.folder.chmod(0o755)
        if self.user:
            for path in (self.folder, *self.folder.rglob("*")):
                shutil.chown(path, self.user)

    def may_run(self) -> bool:
        """Whether the user of this machine can start its interpreter at all."""
        try:
            return subprocess.run([self.python, "-c", ""], cwd=self.folder, **_as(self.user)).returncode == 0
        except PermissionError:
            return False

    def run(self, what: str, command: str, said: str, code: int = 0, env: dict[str, str | None] | None = None) -> None:
        """Runs a line of shell and says whether it did what it must: exit code, words, and never a traceback."""
        given = {"HOME": str(self.home), "LANG": "C", "PATH": f"{self.folder / 'bin'}:/usr/bin:/bin", **(env or {})}
        start = time.perf_counter()
        run = subprocess.run(
            ["/bin/sh", "-c", command],
            cwd=self.project,
            env={name: value for name, value in given.items() if value is not None},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            **_as(self.user),
        )
        out = (run.stdout + run.stderr).decode("ascii", "backslashreplace")
        well = run.returncode == code and said in out and "Traceback" not in out
        first = next((line for line in out.splitlines() if said in line), out.strip()[-300:])
        print(f"  {'well' if well else 'BAD '}  {what} (exit {run.returncode}, {time.perf_counter() - start:.1f} s): {first.strip()[:150]}", flush=True)  # fmt: skip
        if not well:
            self.failures.append(
                f"{self.python} as {self.user or 'root'}, {what}: exit {run.returncode}\n{out[-2000:]}"
            )


def _as(user: str) -> dict[str, Any]:
    return {"user": user, "group": pwd.getpwnam(user).pw_gid, "extra_groups": []} if user else {}


def readme_commands() -> list[str]:
    """The commands of the README that set it up and that run the tests."""
    return [block.strip() for block in _BLOCK.findall((ROOT / "README.md").read_text(encoding="utf-8"))]


def check(machine: Machine, tests: bool) -> None:
    """Everything that a bare machine has broken, or might break."""
    if not machine.may_run():
        machine.failures.append(f"{machine.user} may not run {machine.python}: give one that he may.")
        return
    set_up, run_tests = readme_commands()
    ligule = ".venv/bin/ligule"
    machine.run("the first command of the README", set_up, _ANSWER)
    machine.run("again, from the cache", f'{ligule} ask "{_SUM}"', _ANSWER)
    machine.run("doctor", f"{ligule} doctor", "Python")
    machine.run("degrees and fractions in LANG=C", f'{ligule} ask "how much starter for ½ acre"', "fl oz")
    machine.run("the record of a lawn", f'{ligule} ask --lawn back "it is 3,100 sq ft of tall fescue"', "Recorded")
    machine.run("chat through a pipe", f"echo 'how big is the back lawn' | {ligule}", "3,100 sq ft")
    machine.run("walk without a screen", f"{ligule} walk", "terminal", code=2)
    for what, env in _POOR.items():
        made = {name: value and value.format(folder=machine.folder) for name, value in env.items()}
        machine.run(what, f'{ligule} ask "{_SUM}"', _ANSWER, env=made)
    machine.run("a HOME that cannot be written", f'chmod 500 "$HOME"; {ligule} ask "{_SUM}"', _ANSWER)
    machine.run("stdout closed", f'{ligule} ask "{_SUM}" >&-; echo "code $?"', "code 0")
    with_umask = 'umask 000; LIGULE_HOME="$HOME/../open" .venv/bin/ligule ask --lawn back "it is 3,100 sq ft"'
    machine.run("a record under umask 000", with_umask, "Recorded")
    for path, most in ((machine.folder / "open", 0o700), (machine.folder / "open" / "lawns.sqlite", 0o600)):
        mode = stat.S_IMODE(path.stat().st_mode)
        if mode & ~most:
            machine.failures.append(f"{path.name} may be read by others: {mode:o}")
    if tests:
        machine.run("the second command of the README", run_tests, " passed")


# A machine that lacks more than HOME: each must still answer.
_POOR: dict[str, dict[str, str | None]] = {
    "no HOME": {"HOME": None},
    "a HOME that is not there": {"HOME": "{folder}/nowhere"},
    "a cache folder that is a file": {"XDG_CACHE_HOME": "{folder}/bin/python3"},
    "no LANG, no PATH": {"LANG": None, "PATH": None},
    "a locale that is not there": {"LC_ALL": "xx_XX.UTF-8"},
    "TERM that nobody knows": {"TERM": "nosuchterm"},
}


def machines(pythons: list[str], folder: Path) -> Iterator[Machine]:
    """Each interpreter for each user: root runs both, a plain user runs as he is."""
    users = ["", _USER] if os.getuid() == 0 else [""]
    for number, (python, user) in enumerate((python, user) for python in pythons for user in users):
        place = folder / f"machine_{number}"
        place.mkdir()
        yield Machine(python, user, place)


def main() -> int:
    """Runs all of it; 1 where anything went otherwise than it must."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("python", nargs="*", default=[sys.executable])
    parser.add_argument("--tests", action="store_true", help="also the command that runs the tests")
    options = parser.parse_args()
    failures: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        for machine in machines(options.python, Path(folder)):
            version = subprocess.run([machine.python, "--version"], capture_output=True, text=True).stdout.strip()
            who = machine.user or ("root" if os.getuid() == 0 else "a plain user")
            print(f"{version} ({machine.python}) as {who}", flush=True)
            machine.prepare()
            check(machine, options.tests)
            failures += machine.failures
    print("\n".join(failures) or "All well.")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
