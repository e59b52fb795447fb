#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""terminal.py TALLWIDE MAKE_SHOW: what long work shows on a terminal, and what Ctrl-C leaves behind.

Progress is one line on standard error, drawn over and over and gone at the end; nothing where that is no terminal or
with -q. A signal at any moment leaves the folder as it was, or as a whole run makes it."""
import fcntl
import json
import os
import pty
import random
import select
import shutil
import signal
import struct
import subprocess
import sys
import tempfile
import termios
import time

TOOL, MAKE = map(os.path.abspath, sys.argv[1:3])
COLUMNS = 60
RUNS = 12
bad = 0


def check(fine, what):
    global bad
    if not fine:
        print("FAILED:", what)
        bad += 1


def make(folder, shots):
    os.makedirs(folder, exist_ok=True)
    subprocess.run([MAKE, str(shots), "otio"], cwd=folder, check=True)


def everything(ours):
    """What a terminal got until its other end was closed."""
    seen = b""
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:  # how Linux says so
            break
        if not part:
            break
        seen += part
    os.close(ours)
    return seen


def on_terminal(folder, *options):
    """Standard output, and what a terminal on standard error got; seconds taken."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, COLUMNS, 0, 0))
    start = time.monotonic()
    with tempfile.TemporaryFile() as out:
        child = subprocess.Popen([TOOL, "fork", "show.plan.json", "-o", "out", *options], cwd=folder, stdout=out,
                                 stderr=theirs)
        os.close(theirs)
        seen = everything(ours)
        check(child.wait() == 0, f"fork {options} ends with {child.returncode}")
        out.seek(0)
        said = out.read()
    return said, seen.decode("ascii"), time.monotonic() - start


def row_after(text):
    """The row as it stands at the end, where the cursor is, and the widest it ever was."""
    row, at, widest = [], 0, 0
    for c in text:
        if c == "\r":
            at = 0
            continue
        row[at:at + 1] = [c]
        at += 1
        widest = max(widest, len(row))
    return "".join(row), at, widest


def progress(folder):
    shots = 3000
    while True:
        make(folder, shots)
        said, seen, took = on_terminal(folder, "--json")
        if took > 2.5:
            break
        shots *= 2  # a fast machine
    row, at, widest = row_after(seen)
    named = any(phase in seen for phase in ("solving ", "writing ", "proving "))
    check(named, f"no phase is named in {took:.1f} s: {seen[:200]!r}")
    check(" %" in seen, "no share is shown")
    check("\n" not in seen and "\x1b" not in seen, "more than one line, or escapes")
    check(row.strip() == "" and at == 0, f"something is left standing: {row!r}")
    check(widest < COLUMNS, f"{widest} columns of {COLUMNS}")
    check(json.loads(said)["ok"] is True, "what --json prints is disturbed")
    said, quiet, _ = on_terminal(folder, "-q")
    check(quiet == "" and said == b"", f"-q is not quiet: {quiet[:80]!r}")
    piped = subprocess.run([TOOL, "fork", "show.plan.json", "-o", "out"], cwd=folder, capture_output=True, check=True)
    check(piped.stderr == b"", f"progress on a pipe: {piped.stderr[:80]!r}")
    make(folder + "/short", 3)
    _, seen, took = on_terminal(folder + "/short")
    check(seen == "" or took > 1, f"progress of a short run: {seen[:80]!r}")
    print(f"progress: {shots} shots; the line was at most {widest} of {COLUMNS} columns")


def slow_reading(folder):
    """A file that takes longer than a second to read: here one that another program writes slowly."""
    os.makedirs(folder)
    os.mkfifo(folder + "/wheel.edl")
    ours, theirs = pty.openpty()
    child = subprocess.Popen([TOOL, "list", "wheel.edl", "--rate", "24"], cwd=folder, stdout=subprocess.PIPE, stderr=theirs)
    os.close(theirs)
    with open(folder + "/wheel.edl", "w") as pipe:
        pipe.write("TITLE: WHEEL\nFCM: NON-DROP FRAME\n")
        end = time.monotonic() + 60
        while not select.select([ours], [], [], 0.1)[0] and time.monotonic() < end:
            pipe.write("* SLOWLY\n")
            pipe.flush()
        check(time.monotonic() < end, "nothing was said while it was read")
        pipe.write("001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n")
    said = child.communicate()[0]
    seen = everything(ours)
    row, at, _ = row_after(seen.decode("ascii"))
    check(b"1 picture clip" in said, "the list is not read")
    check(row.strip() == "" and at == 0 and len(row) >= len("reading wheel.edl"), f"no word of slow reading: {row!r}")
    print("reading: one line, taken away")


def contents(path):
    with open(path, "rb") as f:
        return f.read()


def holds(folder):
    if not os.path.isdir(folder):
        return None
    return {os.path.relpath(os.path.join(at, name), folder): contents(os.path.join(at, name))
            for at, _, names in os.walk(folder) for name in names}


def has_temporary(folder):
    return os.path.isdir(folder) and any(".new." in name for name in os.listdir(folder))


def interrupt_one(folder, number, moment, by):
    """moment None: as soon as a temporary stands there. True when the signal ended the run."""
    child = subprocess.Popen([TOOL, "fork", "show.plan.json", "-o", "out"], cwd=folder, stdout=subprocess.DEVNULL,
                             stderr=subprocess.DEVNULL)
    end = time.monotonic() + (60 if moment is None else moment)
    while time.monotonic() < end and child.poll() is None:
        if moment is None and has_temporary(folder + "/out"):
            break
        time.sleep(0.0005)
    child.send_signal(by)
    code = child.wait()
    check(code in (0, -by), f"run {number} ends with {code}")
    return code != 0


def interrupts(folder):
    rng = random.Random(4)
    make(folder, 300)
    start = time.monotonic()
    subprocess.run([TOOL, "fork", "-q", "show.plan.json", "-o", "out"], cwd=folder, check=True)
    whole, took = holds(folder + "/out"), time.monotonic() - start
    ended = held = 0
    for number in range(RUNS):
        subprocess.run(["rm", "-rf", "out"], cwd=folder, check=True)
        before = None
        if number % 4 >= 2:
            os.mkdir(folder + "/out")
            for name in list(whole)[::2]:
                with open(f"{folder}/out/{name}", "wb") as f:
                    f.write(b"older\n")
            before = holds(folder + "/out")
        moment = None if number % 2 else rng.uniform(0, took)
        by = rng.choice([signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
        stopped = interrupt_one(folder, number, moment, by)
        ended += stopped
        held += stopped and moment is None
        left = holds(folder + "/out")
        finished = left == whole
        # A signal may come between the last rename and the end.
        check(finished or stopped and left == before,
              f"run {number}, {'ended early' if stopped else 'finished'}: holds {sorted(left or {})}")
    check(ended > 0 and held > 0, "no run was interrupted while its temporaries stood")
    print(f"signals: {RUNS} runs, {ended} ended early, {held} of them while temporaries stood")


def interrupted_recut(folder):
    """The folder of -o that is not there yet: what the new plan names is reached without it."""
    make(folder, 300)
    os.rename(folder + "/show.otio", folder + "/cut.otio")
    shutil.copy(folder + "/cut.otio", folder + "/show.otio")
    with open(folder + "/cut.plan.json", "wb") as plan:
        plan.write(contents(folder + "/show.plan.json").replace(b"show.otio", b"cut.otio"))
    arguments, rng, ended = ["recut", "cut.plan.json", "show.otio", "-o", "new", "-q"], random.Random(5), 0
    start = time.monotonic()
    subprocess.run([TOOL, *arguments], cwd=folder)
    whole, took = holds(folder + "/new"), time.monotonic() - start
    check(whole, "recut writes nothing")
    for number in range(RUNS // 2):
        shutil.rmtree(folder + "/new", ignore_errors=True)
        child = subprocess.Popen([TOOL, *arguments], cwd=folder)
        time.sleep(rng.uniform(0, took))
        child.send_signal(signal.SIGINT)
        code = child.wait()
        left = holds(folder + "/new")
        check(left == whole or code == -signal.SIGINT and left is None,
              f"recut {number}, ended with {code}: holds {left if left is None else sorted(left)}")
        ended += code == -signal.SIGINT
    check(ended > 0, "no recut was interrupted")
    print(f"recut into a new folder: {RUNS // 2} runs, {ended} ended early")


MEDIA_RUNS = 3
LACING = """TITLE: LACING
FCM: NON-DROP FRAME
001  A003     V     C        01:00:00:00 01:00:05:00 01:00:00:00 01:00:05:00
"""
LACING_PLAN = """{"tallwide_plan": 1, "edit": {"file": "lacing.edl", "rate": "24"},
 "deliveries": [{"name": "tall", "size": [540, 960]}],
 "sources": [{"reel": "A003", "size": [1280, 720]}],
 "notes": [{"id": "n1", "reel": "A003", "in": "01:00:00:00", "out": "01:00:05:00",
  "regions": [{"name": "hub", "need": "must", "keys": [["01:00:02:00", 0.4, 0.4, 0.2, 0.2]]}]}]}
"""


def others_of_session(number):
    """Processes of a session whose leader has ended: field 6 of proc(5)'s stat."""
    left = []
    for pid in filter(str.isdigit, os.listdir("/proc")):
        try:
            with open(f"/proc/{pid}/stat") as f:
                fields = f.read().rpartition(")")[2].split()
        except OSError:  # gone meanwhile
            continue
        if int(fields[3]) == number and fields[0] != "Z":
            left.append(pid)
    return left


def key_pressed(folder, arguments, moment):
    """Ctrl-C typed on the terminal the command runs on; its exit code."""
    ours, theirs = pty.openpty()

    def own_terminal():
        signal.signal(signal.SIGINT, signal.SIG_DFL)  # shells have what they run in the background ignore it
        os.setsid()
        fcntl.ioctl(theirs, termios.TIOCSCTTY, 0)

    child = subprocess.Popen([TOOL, *arguments], cwd=folder, stdin=theirs, stdout=theirs, stderr=theirs,
                             preexec_fn=own_terminal)
    os.close(theirs)
    time.sleep(moment)
    os.write(ours, b"\x03")
    everything(ours)
    code = child.wait()
    end = time.monotonic() + 10
    while others_of_session(child.pid) and time.monotonic() < end:
        time.sleep(0.05)
    check(not others_of_session(child.pid), f"{arguments}: programs it started still run")
    return code


def media(folder):
    """Commands that run ffmpeg: it ends with them, and only whole files are left."""
    if shutil.which("ffmpeg") is None or shutil.which("ffprobe") is None:
        print("camera files: skipped, ffmpeg is not installed")
        return
    os.makedirs(folder + "/cards")
    for name, text in (("lacing.edl", LACING), ("lacing.plan.json", LACING_PLAN)):
        with open(f"{folder}/{name}", "w") as f:
            f.write(text)
    subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-f", "lavfi", "-i", "testsrc2=size=1280x720:rate=24",
                    "-frames:v", "120", "-c:v", "mpeg4", "-timecode", "01:00:00:00", "cards/A003.mov"], cwd=folder, check=True)
    rng, ended, before = random.Random(7), 0, holds(folder)
    for command, target in (("follow", "new.plan.json"), ("stills", "stills"), ("preview", "film.mov")):
        arguments = [command, "lacing.plan.json", "--media", "cards", "-o", target, "-q"]
        start = time.monotonic()
        subprocess.run([TOOL, *arguments], cwd=folder, check=True)
        whole, took = holds(folder), time.monotonic() - start
        for _ in range(MEDIA_RUNS):
            for name in whole.keys() - before.keys():
                if os.path.exists(f"{folder}/{name}"):
                    os.unlink(f"{folder}/{name}")
            code = key_pressed(folder, arguments, rng.uniform(0.1, 0.9) * took)
            check(code in (0, -signal.SIGINT), f"{command} ends with {code}")
            left = holds(folder)
            # Stills come one by one, each of them whole.
            fine = left.items() <= whole.items() if command == "stills" else left in (before, whole)
            check(fine and (code != 0 or left == whole), f"{command}, ended with {code}: holds {sorted(left)}")
            ended += code != 0
        before = holds(folder)
    check(ended > 0, "no command was interrupted")
    print(f"camera files: Ctrl-C in {3 * MEDIA_RUNS} runs, {ended} ended early")


with tempfile.TemporaryDirectory() as work:
    progress(work + "/progress")
    slow_reading(work + "/reading")
    interrupts(work + "/signals")
    interrupted_recut(work + "/recut")
    media(work + "/media")
sys.exit(bad > 0)
