/* SPDX-License-Identifier: Apache-2.0
 *
 * Runs inside the sheet in a browser. Every animated window is put to five times and compared with the keys in the
 * shot's table, evaluated here by the formula of tallwide/path.h; the filters are tried. Gives a promise of what is
 * wrong, for tests/page/drive.js.
 */
(function () {
    'use strict';
    var faults = [], compared = 0;
    function all(node, what) { return [].slice.call(node.querySelectorAll(what)); }
    function fault(text) { faults.push(text); }

    function keysOf(shot, delivery) {
        return all(shot, 'tbody tr.d' + delivery).map(function (row) {
            var n = all(row, 'td').map(function (cell) { return +cell.textContent; });
            return {frame: n[0], v: [n[2], n[3], n[4], n[5]], ease: n[10]};
        });
    }

    function at(keys, frame) {
        var i = 0;
        while (i + 1 < keys.length && keys[i + 1].frame <= frame) i++;
        return keys[0].v.map(function (unused, part) {
            function slope(a, b) { return a && b ? (b.v[part] - a.v[part]) / (b.frame - a.frame) : 0; }
            var here = keys[i], next = frame >= here.frame ? keys[i + 1] : null;
            var value = here.v[part] + (next ? slope(here, next) * (frame - here.frame) : 0);
            keys.forEach(function (key, k) {
                var inside = key.ease - Math.abs(frame - key.frame);
                if (inside > 0)
                    value += (slope(key, keys[k + 1]) - slope(keys[k - 1], key)) * inside * inside / (4 * key.ease);
            });
            return value;
        });
    }

    /* What moves: a drawing, its window, the keys behind it. Nothing is left out for being off the screen. */
    var style = document.head.appendChild(document.createElement('style'));
    style.textContent = '.shot{content-visibility:visible!important}';
    var moving = [];
    all(document, '.shot[data-frames]').forEach(function (shot) {
        all(shot, 'figure.d').forEach(function (figure, delivery) {
            var drawing = figure.querySelector('svg'), inner = drawing && drawing.querySelector('svg');
            if (inner && inner.querySelector('animate'))
                moving.push({shot: shot, delivery: delivery, drawing: drawing, inner: inner,
                    keys: keysOf(shot, delivery), clock: shot.getAttribute('data-frames').split(' ').map(Number)});
        });
    });

    function frameOf(m, share) { return m.clock[0] + Math.floor(share * m.clock[1]); }

    function seek(share) {
        moving.forEach(function (m) {
            m.shot.playing = false;
            [m.drawing, m.inner].forEach(function (svg) { /* each has a clock of its own */
                svg.pauseAnimations();
                svg.setCurrentTime((frameOf(m, share) - m.clock[0]) / m.clock[2]);
            });
        });
    }

    function off(m, share) {
        var expected = at(m.keys, frameOf(m, share)), box = m.inner.viewBox.animVal;
        var seen = [box.x, box.y, box.width, box.height];
        var wrong = seen.some(function (value, part) { return !(Math.abs(value - expected[part]) <= 0.5); });
        return wrong ? seen + ' not ' + expected : '';
    }

    /* A browser shows a time that was set some pictures later; what is not there after two seconds is wrong. */
    function compare(share) {
        var pictures = 0;
        function look() {
            var wrong = moving.filter(function (m) { return off(m, share); });
            if (wrong.length > 0 && ++pictures < 120) return shown().then(look);
            compared += moving.length;
            wrong.forEach(function (m) {
                fault(m.shot.id + ' shape ' + m.delivery + ' frame ' + frameOf(m, share) + ': ' + off(m, share));
            });
            return undefined;
        }
        return shown().then(look);
    }

    function left() {
        return all(document, '.shot').filter(function (s) { return getComputedStyle(s).display !== 'none'; }).length;
    }
    function choose(id, expected) {
        document.getElementById(id).click();
        if (left() !== expected) fault('filter ' + id + ' leaves ' + left() + ' shots, not ' + expected);
    }
    function finish() {
        if (compared < 5) fault('only ' + compared + ' windows compared');
        var shots = all(document, '.shot').length;
        choose('k-eyes', all(document, '.shot.eyes').length);
        choose('f1', all(document, '.shot.e1').length);
        choose('k-moving', all(document, '.shot.m1').length);
        choose('f', all(document, '.shot.moving').length);
        choose('k-open', all(document, '.shot.open').length);
        choose('k-all', shots);
        choose('f1', shots);
        if (all(document, 'figure.d0').some(function (f) { return getComputedStyle(f).display !== 'none'; }))
            fault('another shape is left beside the one chosen');
        choose('f', shots);
        all(document, 'input').forEach(function (input) {
            if (input.tabIndex < 0) fault('not reached by keyboard: ' + input.id);
        });
        var wide = document.documentElement.scrollWidth;
        if (wide > innerWidth) fault('wider than the window: ' + wide);
        return faults;
    }

    function shown() {
        return new Promise(function (resolve) { requestAnimationFrame(resolve); });
    }

    /* The page sets a shot going when it comes near: that first, then hold it. */
    return [0, 0.2, 0.45, 0.7, 0.95].reduce(function (before, share) {
        return before.then(function () { seek(share); return compare(share); });
    }, shown().then(shown).then(shown)).then(finish);
}());
