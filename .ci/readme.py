#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Runs the ```console blocks of README.md: readme.py BUILD

Lines that begin with "$ " are commands, run one after the other by one shell in a scratch copy of fixtures/ with the
built command in PATH; the lines after them are the expected output (both streams). A line "..." stands for any lines.
"""
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

root = pathlib.Path(__file__).resolve().parent.parent
build = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else root / "build").resolve()


def matches(expected, got):
    pattern = "".join("(?:.*\n)*?" if line == "..." else re.escape(line) + "\n" for line in expected)
    return re.fullmatch(pattern, got) is not None


def steps(block):
    found = []
    for line in block.splitlines():
        if line.startswith("$ "):
            found.append((line[2:], []))
        elif found:
            found[-1][1].append(line)
    return found


def main():
    bad = count = 0
    text = (root / "README.md").read_text(encoding="utf-8")
    environment = dict(os.environ, PATH=f"{build / 'src'}:{os.environ['PATH']}", NO_COLOR="1", LC_ALL="C.UTF-8")
    with tempfile.TemporaryDirectory() as scratch:
        shutil.copytree(root / "fixtures", pathlib.Path(scratch) / "fixtures")
        for block in re.findall(r"^```console\n(.*?)^```", text, re.S | re.M):
            for command, expected in steps(block):
                count += 1
                run = subprocess.run(command, shell=True, cwd=scratch, env=environment, text=True, check=False,
                                     stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
                if not matches(expected, run.stdout):
                    bad += 1
                    print(f"README.md: $ {command}\n--- expected\n" + "\n".join(expected) + f"\n--- got\n{run.stdout}---")
    print(f"{count} commands of README.md run, {bad} differ")
    return 1 if bad or not count else 0


sys.exit(main())
