#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""growth.py TALLWIDE [CASE...] [COMMAND...]: time and memory of commands on files large in one way, and twice as large.

Where time grows as the file the last column is 1, where it grows with its square 2. Not a test.
"""
import json
import math
import os
import shutil
import sys
import tempfile
import time

RATE = 24.0


def code(frame):
    return "%02d:%02d:%02d:%02d" % (frame // 86400, frame // 1440 % 60, frame // 24 % 60, frame % 24)


def span(start, frames):
    def at(v):
        return {"OTIO_SCHEMA": "RationalTime.1", "rate": RATE, "value": float(v)}
    return {"OTIO_SCHEMA": "TimeRange.1", "start_time": at(start), "duration": at(frames)}


def clip(reel, start, frames, **more):
    media = {"OTIO_SCHEMA": "ExternalReference.1", "target_url": reel + ".mov", "available_range": None,
             "metadata": {}, "name": ""}
    return {"OTIO_SCHEMA": "Clip.2", "name": reel, "source_range": span(start, frames), "effects": [],
            "markers": [], "metadata": {}, "enabled": True, "media_references": {"DEFAULT_MEDIA": media},
            "active_media_reference_key": "DEFAULT_MEDIA", **more}


def track(children, kind="Video", **more):
    return {"OTIO_SCHEMA": "Track.1", "name": kind, "kind": kind, "metadata": {}, "effects": [], "markers": [],
            "source_range": None, "enabled": True, "children": children, **more}


def edit(tracks, **more):
    stack = {"OTIO_SCHEMA": "Stack.1", "name": "tracks", "metadata": {}, "effects": [], "markers": [],
             "source_range": None, "enabled": True, "children": tracks, **more}
    return {"OTIO_SCHEMA": "Timeline.1", "name": "wheel", "global_start_time": None, "metadata": {}, "tracks": stack}


def plan(notes, sources=None, deliveries=None):
    return {"tallwide_plan": 1, "edit": {"file": "show.otio"},
            "deliveries": deliveries or [{"name": "tall", "size": [1080, 1920]}],
            "sources": sources or [{"reel": "*", "size": [3840, 2160]}], "notes": notes}


def note(i, reel, start, frames, **more):
    return {"id": "n%d" % i, "reel": reel, "in": code(start), "out": code(start + frames), **more}


def box(i, name="hands", need="must"):
    return {"name": name, "need": need, "keys": [[code(i), 0.4, 0.3, 0.1, 0.2]]}


def hand(frame, x, ease=0):
    return [frame, x, 0, 1200, ease]


SHOT = 24


def shots(n, reel="B%06d", one=False):
    return [clip(reel if one else reel % i, i * SHOT if one else 0, SHOT) for i in range(n)]


CASES = {}


def case(size):
    def put(f):
        CASES[f.__name__] = (size, f)
        return f
    return put


@case(10000)
def region_keys(n):
    keys = [[code(i), 0.1 + 0.5 * i / n, 0.3, 0.1, 0.2] for i in range(n)]
    return edit([track([clip("B001", 0, 2 * n)])]), plan([note(1, "B001", 0, 2 * n, regions=[
        {"name": "hands", "need": "must", "keys": keys}])])


@case(10000)
def region_keys_shots(n):
    keys = [[code(i), 0.1 + 0.5 * i / n, 0.3, 0.1, 0.2] for i in range(n)]
    return edit([track([clip("B001", i * 2, 2) for i in range(n)])]), plan([note(1, "B001", 0, 2 * n, regions=[
        {"name": "hands", "need": "must", "keys": keys}])])


@case(10000)
def hand_keys(n):
    return edit([track([clip("B001", 0, 2 * n)])]), plan([note(1, "B001", 0, 2 * n, window=[
        hand(2 * i, i % 7, 1000000) for i in range(n)])])


@case(4000)
def hand_keys_shots(n):
    return edit([track([clip("B001", i * SHOT, SHOT) for i in range(n)])]), plan([
        note(1, "B001", 0, n * SHOT, window=[hand(SHOT * i, i % 7, 5) for i in range(n)])])


@case(2000)
def hand_notes_one_shot(n):
    return edit([track([clip("B001", 0, 4 * n)])]), plan([
        note(i, "B001", i * 4, 3, window=[hand(0, i % 7)]) for i in range(n)])


@case(2000)
def hand_notes_backwards(n):
    return edit([track([clip("B001", 0, 4 * n)])]), plan([
        note(i, "B001", (n - 1 - i) * 4, 3, window=[hand(0, i % 7)]) for i in range(n)])


@case(2000)
def hand_notes_over_each_other(n):
    return edit([track([clip("B001", 0, 4 * n)])]), plan([
        note(i, "B001", i, 3 * n, window=[hand(0, i % 7)]) for i in range(n)])


@case(100)
def regions_one_shot(n):
    return edit([track([clip("B001", 0, 2000)])]), plan([note(1, "B001", 0, 2000, regions=[
        box(0, "r%d" % i) for i in range(n)])])


@case(100)
def regions_that_do_not_fit(n):
    def wide(i):
        return {"name": "r%d" % i, "need": "must", "keys": [[code(0), (i % 90) / 100, 0.3, 0.1, 0.2]]}
    return edit([track([clip("B001", 0, 2000)])]), plan([note(1, "B001", 0, 2000, regions=[
        wide(i) for i in range(n)])])


@case(4000)
def notes_one_reel(n):
    return edit([track(shots(n, "B001", True))]), plan([
        note(i, "B001", i * SHOT, SHOT, regions=[box(i * SHOT)]) for i in range(n)])


@case(4000)
def notes_no_shot(n):
    return edit([track(shots(10))]), plan([
        note(i, "X001", i * SHOT, SHOT, regions=[box(i * SHOT)]) for i in range(n)])


@case(1000)
def notes_through_edits(n):
    return edit([track(shots(n, "B001", True))]), plan([
        note(i, "B001", 0, n * SHOT, say="all of it") for i in range(n)])


@case(4000)
def through_edits(n):
    return edit([track(shots(n, "B001", True))]), plan([note(1, "B001", 0, n * SHOT, regions=[box(0)])])


@case(4000)
def reels(n):
    return edit([track(shots(n))]), plan([note(i, "B%06d" % i, 0, SHOT, regions=[box(0)]) for i in range(n)])


@case(4000)
def sources(n):
    return edit([track(shots(n))]), plan([], [{"reel": "B%06d" % i, "size": [3840, 2160]} for i in range(n)])


@case(500)
def source_patterns(n):
    return edit([track(shots(n))]), plan([], [{"reel": "B%06d*" % i, "size": [3840, 2160]} for i in range(n)])


@case(16)
def deliveries(n):
    return edit([track(shots(100))]), plan([], None, [
        {"name": "d%d" % i, "size": [1080, 1920 + 2 * i]} for i in range(n)])


@case(10000)
def markers_one_clip(n):
    marks = [{"OTIO_SCHEMA": "Marker.2", "name": "m%d" % i, "color": "RED", "metadata": {}, "comment": "",
              "marked_range": span(i, 1)} for i in range(n)]
    return edit([track([clip("B001", 0, n, markers=marks)])]), plan([])


@case(10000)
def markers_timeline(n):
    marks = [{"OTIO_SCHEMA": "Marker.2", "name": "m%d" % i, "color": "RED", "metadata": {}, "comment": "",
              "marked_range": span(i, 1)} for i in range(n)]
    return edit([track([clip("B001", 0, n)])], markers=marks), plan([])


@case(500)
def tracks(n):
    return edit([track([clip("B%06d" % i, 0, SHOT)]) for i in range(n)]), plan([])


@case(500)
def audio_tracks(n):
    return edit([track(shots(20))] + [track([clip("B%06d" % i, 0, SHOT)], "Audio") for i in range(n)]), plan([])


@case(2000)
def transitions(n):
    items, half = [], span(0, 3)["duration"]
    for i in range(n):
        if i > 0:
            items.append({"OTIO_SCHEMA": "Transition.1", "name": "", "metadata": {},
                          "transition_type": "SMPTE_Dissolve", "in_offset": half, "out_offset": half})
        items.append(clip("B%06d" % i, 100, SHOT))
    return edit([track(items)]), plan([])


@case(4000)
def same_shot(n):
    return edit([track([clip("B001", 0, SHOT) for _ in range(n)])]), plan([note(1, "B001", 0, SHOT, regions=[box(0)])])


@case(2000)
def gaps(n):
    items = []
    for i in range(n):
        items += [clip("B%06d" % i, 0, SHOT), {"OTIO_SCHEMA": "Gap.1", "name": "", "metadata": {}, "effects": [],
                                             "markers": [], "source_range": span(0, 4), "enabled": True}]
    return edit([track(items)]), plan([])


@case(2000)
def nests(n):
    def stack(c):
        return {"OTIO_SCHEMA": "Stack.1", "name": "nest", "metadata": {}, "effects": [], "markers": [],
                "source_range": None, "enabled": True, "children": [track([c])]}
    return edit([track([stack(clip("B%06d" % i, 0, SHOT)) for i in range(n)])]), plan([])


def changed(p):
    """Two plans that went other ways from one."""
    ours, theirs = json.loads(json.dumps(p)), json.loads(json.dumps(p))
    for side, which in ((ours, 0), (theirs, -1)):
        for n in side["notes"]:
            n["say"] = "as agreed" if which else n.get("say", "")
        if side["notes"]:
            n = side["notes"][which]
            for list_name in ("window", "regions"):
                if list_name in n:
                    keys = n[list_name] if list_name == "window" else n[list_name][which]["keys"]
                    keys[which][1] += 0.01
        side["sources"].append({"reel": "C%d" % which, "size": [1920, 1080]})
    return ours, theirs


def cut_again(e):
    """Every seventh thing of the first track is gone, every fifth clip one frame shorter."""
    e = json.loads(json.dumps(e))
    first = e["tracks"]["children"][0]
    first["children"] = [c for i, c in enumerate(first["children"]) if i % 7 != 3 or c["OTIO_SCHEMA"][0] == "T"]
    for i, c in enumerate(first["children"]):
        if i % 5 == 2 and c["OTIO_SCHEMA"] == "Clip.2":
            c["source_range"]["duration"]["value"] -= 1
    return e


COMMANDS = {
    "list": "list show.otio",
    "start": "start show.otio -d tall=1080x1920 -o started.json",
    "fork": "fork -q show.plan.json -o out",
    "check": "check -q show.plan.json out",
    "recut": "recut -q show.plan.json next.otio -o again",
    "compare": "compare show.otio next.otio",
    "comparep": "compare show.plan.json theirs.plan.json",
    "merge": "merge -o merged.json show.plan.json ours.plan.json theirs.plan.json",
    "adopt": "adopt show.plan.json next.tall.otio -o adopted.json",
    "sheet": "sheet show.plan.json -o page.xhtml",
    "agree": "agree show.plan.json -o agreed.json",
}


def run(words):
    start = time.time()
    child = os.fork()
    if child == 0:
        null = os.open(os.devnull, os.O_WRONLY)
        err = os.open("stderr", os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.dup2(null, 1)
        os.dup2(err, 2)
        os.execv(words[0], words)
    _, status, use = os.wait4(child, 0)
    return use.ru_utime + use.ru_stime, use.ru_maxrss / 1024, os.waitstatus_to_exitcode(status)


def prepare(f, n):
    e, p = f(n)
    ours, theirs = changed(p)
    again = cut_again(e)
    for name, what in (("show.otio", e), ("show.plan.json", p), ("ours.plan.json", ours),
                       ("theirs.plan.json", theirs), ("next.otio", again)):
        with open(name, "w", encoding="utf-8") as out:
            json.dump(what, out)


def measure(binary, name, only):
    size, f = CASES[name]
    got = []
    for n in (size, 2 * size):
        prepare(f, n)
        row = {}
        for command, words in COMMANDS.items():
            if only and command not in only:
                continue
            if command == "adopt":
                if not os.path.exists("out/show.tall.otio"):
                    continue
                os.rename("out/show.tall.otio", "next.tall.otio")
            row[command] = run([binary] + words.split())
        got.append(row)
        for left in ("out", "again"):
            shutil.rmtree(left, ignore_errors=True)
        for left in ("started.json", "merged.json", "adopted.json", "agreed.json", "page.xhtml"):
            if os.path.exists(left):
                os.unlink(left)
    for command in got[0]:
        (a, am, ar), (b, bm, br) = got[0][command], got[1].get(command, (0, 0, -1))
        power = math.log2(max(b, 0.001) / max(a, 0.001))
        memory = math.log2(max(bm, 1) / max(am, 1))
        print("%-26s %7d %-9s %7.2f %7.2f %6.1f  %7.0f %7.0f %6.1f  %s%s" % (
            name, 2 * size, command, a, b, power, am, bm, memory, (ar, br) if ar or br else "",
            "  <<<" if b > 0.5 and power > 1.4 or bm > 100 and memory > 1.4 else ""), flush=True)


def main():
    binary = os.path.abspath(sys.argv[1])
    only = [w for w in sys.argv[2:] if w in COMMANDS]
    names = [w for w in sys.argv[2:] if w in CASES] or list(CASES)
    folder = tempfile.mkdtemp()
    os.chdir(folder)
    print("%-26s %7s %-9s %7s %7s %6s  %7s %7s %6s" % ("", "size", "", "s", "s at 2n", "power", "MB", "MB 2n", "power"))
    for name in names:
        measure(binary, name, only)
    os.chdir("/")
    shutil.rmtree(folder)


if __name__ == "__main__":
    main()
