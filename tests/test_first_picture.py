"""On a real terminal the first picture of the walk stands before anything that computes is loaded."""

import os
import sys

import pexpect


def test_the_walk_shows_its_stages_before_it_opens_the_record(tmp_path):
    call = ["-m", "assistant", "walk", "--home", str(tmp_path), "--today", "2026-09-20"]
    child = pexpect.spawn(
        sys.executable, call, env={**os.environ, "TERM": "xterm-256color"}, dimensions=(24, 80), timeout=20
    )
    try:
        child.expect_exact("measure ground")
        assert b"no lawn yet" not in child.before  # the top line, as it reads when the record was looked at
        child.expect_exact("no lawn yet")
    finally:
        child.close(force=True)
