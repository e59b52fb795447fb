# SPDX-License-Identifier: Apache-2.0
"""The demo's sheet, notes tracks and tables of keys as other programs see them.

  windows  librsvg, which draws what is not animated, and Chromium, which is put to the frame a clip begins with, show
           the same window, and it is the one the keys say: edges of a landmark, to one pixel
  stills   the same with a picture in the place of drawn boxes, made by ffmpeg and found by its name
  notes    ffprobe finds the cues at the milliseconds meant, counted here from the table's record time codes
  tables   LibreOffice reads the numbers that were written

Each needs a program and says so where it is not installed. python3 outside.py BINARY FOLDER_OF_THE_DEMO
"""
import csv
import glob
import os
import re
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as xml
from fractions import Fraction

SVG, XHTML = '{http://www.w3.org/2000/svg}', '{http://www.w3.org/1999/xhtml}'
RATE = Fraction(24000, 1001)  # of the demo
SIZES = {'wide': (3840, 2160), 'tall': (1080, 1920), 'square': (1080, 1080)}
faults = []


def call(*command):
    done = subprocess.run(command, capture_output=True, timeout=180, check=False)
    if done.returncode != 0:
        faults.append('%s fails: %s' % (command[0], done.stderr.decode(errors='replace')[-300:]))
    return done.stdout


def missing(*programs):
    absent = [p for p in programs if shutil.which(p) is None]
    if absent:
        print('SKIPPED: needs %s, which is not installed' % ' and '.join(absent))
    return bool(absent)


def table(folder, delivery):
    with open('%s/wheel.%s.keys.csv' % (folder, delivery), newline='', encoding='utf-8') as file:
        return list(csv.DictReader(file))


def shots(rows):
    """Rows by event, which in an edit without event numbers is the number on the sheet."""
    by_event = {}
    for row in rows:
        by_event.setdefault(int(row['event']), []).append(row)
    return by_event


def window_at(keys, frame):
    """tallwide/path.h: straight between keys, each corner a parabola over its ease."""
    at = [int(k['frame']) for k in keys]
    out = []
    for part in 'xywh':
        v = [float(k[part]) for k in keys]
        slope = [0] + [(v[i + 1] - v[i]) / (at[i + 1] - at[i]) for i in range(len(v) - 1)] + [0]
        i = max([k for k in range(len(at)) if at[k] <= frame], default=-1)
        value = v[0] if i < 0 else v[i] + slope[i + 1] * (frame - at[i])
        for k, key in enumerate(keys):
            inside = float(key['ease']) - abs(frame - at[k])
            if inside > 0:
                value += (slope[k + 1] - slope[k]) * inside ** 2 / (4 * float(key['ease']))
        out.append(value)
    return out


# ---- windows --------------------------------------------------------------------------------------------------------

PANE = (270, 480)  # a tall frame at a quarter, so an edge to one pixel is one to four of the delivery


def landmark(window):
    """A box around the window's middle, half as wide and high, in source pixels: whole pixels of a still a quarter as
    large, too."""
    x, y, w, h = window
    return tuple(4 * round(n / 4) for n in (x + w / 4, y + h / 4, w / 2, h / 2))


def panes(page, moving):
    """The tall frames of moving shots side by side, a landmark in place of the picture."""
    out = xml.Element(SVG + 'svg', {'width': str(PANE[0] * len(moving)), 'height': str(PANE[1])})
    for place, (number, keys) in enumerate(sorted(moving.items())):
        section = page.find('.//%ssection[@id="s%d"]' % (XHTML, number))
        first, _, fps = section.get('data-frames').split()
        inner = section.find('.//%sfigure[@class="d d1"]/%ssvg/%ssvg' % (XHTML, SVG, SVG))
        inner.remove(inner.find(SVG + 'use'))
        box = landmark(window_at(keys, 0))
        still = section.find('.//%simage' % SVG)
        if still is not None:
            inner.append(still)
        for fill, numbers in () if still is not None else (('#fff', (-9999, -9999, 29999, 29999)), ('#000', box)):
            place_and_size = dict(zip(('x', 'y', 'width', 'height'), map(str, numbers)))
            xml.SubElement(inner, SVG + 'rect', {'fill': fill, **place_and_size})
        pane = xml.SubElement(out, SVG + 'svg', {'x': str(PANE[0] * place), 'viewBox': '0 0 1080 1920',
                                                 'width': str(PANE[0]), 'height': str(PANE[1])})
        pane.append(inner)
        inner.set('class', repr(-int(first) / float(fps)))  # for the script: when frame 0 is shown
    script = xml.SubElement(out, SVG + 'script')
    script.text = ("document.querySelectorAll('svg[class]').forEach(function(s){s.pauseAnimations();"
                   "s.setCurrentTime(+s.getAttribute('class'));});")
    return out


def edges(picture, width, place):
    """Left, top, right, bottom of the dark box in a pane: how much light there is up to it, along the middle."""
    x0, (w, h) = PANE[0] * place, PANE
    row = [picture[(h // 2) * width + x0 + i] / 255 for i in range(w)]
    column = [picture[i * width + x0 + w // 2] / 255 for i in range(h)]
    return (sum(row[:w // 2]), sum(column[:h // 2]), w - sum(row[w // 2:]), h - sum(column[h // 2:]))


def grey(picture):
    return call('ffmpeg', '-v', 'error', '-i', picture, '-f', 'rawvideo', '-pix_fmt', 'gray', '-')


def render(folder, page, moving):
    """Both renderings of the panes, in grey."""
    drawing, width, height = folder + '/panes.svg', PANE[0] * len(moving), PANE[1]
    xml.register_namespace('', SVG[1:-1])
    xml.ElementTree(panes(page, moving)).write(drawing)
    call('rsvg-convert', '-o', folder + '/librsvg.png', drawing)
    call('timeout', '120', 'chromium', '--headless', '--no-sandbox', '--disable-gpu', '--disable-quic',
         '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync',
         '--hide-scrollbars',
         '--user-data-dir=' + folder + '/profile', '--window-size=%d,%d' % (width, height + 200),
         '--screenshot=' + folder + '/chromium.png', '--virtual-time-budget=2000', 'file://' + drawing)
    return [grey('%s/%s.png' % (folder, name)) for name in ('librsvg', 'chromium')]


def compare(pictures, moving):
    """The most by which librsvg, Chromium and the keys differ about an edge."""
    worst = 0
    for place, (number, keys) in enumerate(sorted(moving.items())):
        x, y, w, h = window_at(keys, 0)
        left, top, across, down = landmark((x, y, w, h))
        meant = [(left - x) * PANE[0] / w, (top - y) * PANE[1] / h,
                 (left + across - x) * PANE[0] / w, (top + down - y) * PANE[1] / h]
        seen = [edges(picture, PANE[0] * len(moving), place) for picture in pictures]
        for a, b in ((seen[0], seen[1]), (seen[0], meant), (seen[1], meant)):
            off = max(abs(p - q) for p, q in zip(a, b))
            worst = max(worst, off)
            if not off <= 1:
                faults.append('shot %d: edges %s, %s, not %s' % (number, seen[0], seen[1], meant))
    return worst


def moving_shots(rows):
    moving = {n: keys for n, keys in shots(rows['tall']).items() if len(keys) > 1}
    if len(moving) < 3:
        faults.append('only %d moving shots to look at' % len(moving))
    return moving


def windows(folder, rows):
    if missing('rsvg-convert', 'chromium', 'ffmpeg'):
        return False
    moving = moving_shots(rows)
    page = xml.parse(folder + '/wheel.sheet.xhtml').getroot()
    worst = compare(render(folder, page, moving), moving)
    print('windows of %d moving shots: librsvg, Chromium and the keys differ by %.2f px at most' % (len(moving), worst))
    return True


def stills(folder, rows):
    if missing('rsvg-convert', 'chromium', 'ffmpeg'):
        return False
    moving = moving_shots(rows)
    page = xml.parse(folder + '/wheel.sheet.xhtml').getroot()
    os.mkdir(folder + '/stills')
    for number, keys in moving.items():
        whole = page.find('.//%ssection[@id="s%d"]//%sfigure[@class="whole"]/%ssvg' % (XHTML, number, XHTML, SVG))
        width, height = map(int, whole.get('viewBox').split()[2:])
        box = [n // 4 for n in landmark(window_at(keys, 0))]
        call('ffmpeg', '-v', 'error', '-f', 'lavfi', '-i', 'color=white:s=%dx%d' % (width // 4, height // 4), '-vf',
             'format=gray,drawbox=%d:%d:%d:%d:black:fill' % tuple(box), '-frames:v', '1',
             '%s/stills/%s_%s.png' % (folder, keys[0]['reel'], keys[0]['source_in'].replace(':', '')))
    call(os.path.abspath(sys.argv[1]), 'sheet', folder + '/in/wheel.plan.json', '-q', '--stills', folder + '/stills',
         '-o', folder + '/stills.xhtml')
    page = xml.parse(folder + '/stills.xhtml').getroot()
    found = len(list(page.iter(SVG + 'image')))
    if found < len(moving):
        faults.append('%d stills made, %d shown' % (len(moving), found))
        return True
    worst = compare(render(folder, page, moving), moving)
    print('stills in %d moving shots: they differ by %.2f px at most' % (len(moving), worst))
    return True


# ---- notes ----------------------------------------------------------------------------------------------------------

def frames(label):
    h, m, s, f = map(int, label.split(':'))
    return ((h * 60 + m) * 60 + s) * 24 + f


def milliseconds(label):
    """Of the programme, which begins at 01:00:00:00; never before the frame."""
    exact = (frames(label) - frames('01:00:00:00')) / RATE * 1000
    return -(-exact.numerator // exact.denominator)


def notes(folder, rows):
    if missing('ffprobe'):
        return False
    cues = 0
    for delivery in SIZES:
        file = '%s/wheel.%s.vtt' % (folder, delivery)
        said = call('ffprobe', '-v', 'error', '-show_entries', 'packet=pts_time,duration_time', '-of', 'csv=p=0', file)
        seen = [[round(float(n) * 1000) for n in line.split(',')[:2]] for line in said.decode().split()]
        with open(file, encoding='utf-8') as text:
            ids = re.findall(r'^s(\d+)-\d+$', text.read(), re.M)
        if len(ids) != len(seen):
            faults.append('%s: %d cues written, %d seen' % (delivery, len(ids), len(seen)))
        spans = {}
        for number, (start, length) in zip(map(int, ids), seen):
            low, high = spans.get(number, (start, start))
            if start > high:
                faults.append('%s: shot %d has no cue at %d ms' % (delivery, number, high))
            spans[number] = (min(low, start), max(high, start + length))
        cues += len(seen)
        for number, keys in shots(rows[delivery]).items():
            meant = (milliseconds(keys[0]['record_in']), milliseconds(keys[0]['record_out']))
            if spans.get(number) != meant:
                faults.append('%s: cues of shot %d run %s ms, not %s' % (delivery, number, spans.get(number), meant))
    print('%d cues are where ffprobe and the time codes say' % cues)
    return cues > 0


# ---- tables ---------------------------------------------------------------------------------------------------------

def cells(path):
    """Rows of a flat OpenDocument sheet: a float where the program took the cell for a number, else its text."""
    table_, text, office = ('{urn:oasis:names:tc:opendocument:xmlns:%s:1.0}' % n for n in ('table', 'text', 'office'))
    out = []
    for row in xml.parse(path).getroot().iter(table_ + 'table-row'):
        line = []
        for cell in row.iter(table_ + 'table-cell'):
            number = cell.get(office + 'value')
            value = float(number) if number is not None else ''.join(cell.find(text + 'p').itertext()) \
                if cell.find(text + 'p') is not None else ''
            line += [value] * int(cell.get(table_ + 'number-columns-repeated', 1))
        out.append(line)
    return out


COMPARED = 'frame x y w h scale zoom move_x move_y ease record_in source'.split()


def tables(folder, rows):
    if missing('soffice'):
        return False
    files = sorted(glob.glob(folder + '/*.keys.csv'))
    call('soffice', '-env:UserInstallation=file://' + folder + '/office', '--headless', '--infilter=CSV:44,34,76,1',
         '--convert-to', 'fods', '--outdir', folder, *files)
    compared = 0
    for delivery in SIZES:
        seen = cells('%s/wheel.%s.keys.fods' % (folder, delivery))
        names = seen[0]
        for row, got in zip(rows[delivery], seen[1:]):
            for name in COMPARED:
                is_, be = got[names.index(name)], row[name]
                same = is_ == be if ':' in be else isinstance(is_, float) and abs(is_ - float(be)) < 1e-9
                compared += 1
                if not same:
                    faults.append('%s, event %s: %s is %r, not %s' % (delivery, row['event'], name, is_, be))
    print('%d cells are what was written' % compared)
    return compared > 0


def main():
    binary, demo = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(demo, folder + '/in')
        call(os.path.abspath(binary), 'fork', folder + '/in/wheel.plan.json', '-q', '-o', folder)
        if faults:
            return 1
        rows = {delivery: table(folder, delivery) for delivery in SIZES}
        done = [check(folder, rows) for check in (windows, stills, notes, tables)]
    print('\n'.join(faults[:20]) if faults else 'fine')
    return 1 if faults else 0 if any(done) else 77


sys.exit(main())
