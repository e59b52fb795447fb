/* SPDX-License-Identifier: Apache-2.0
 *
 * How long a sheet takes to load, how many pictures a second it shows where shots move, and how long the browser works
 * out styles for each: about 1 ms on an idle machine; 75 for 1,000 shots where a rule asks about all of them anew each
 * time. A measurement, not a test. node pace.js PAGE
 */
'use strict';
const {send, ask, open, run, faults} = require('./browser.js');

const [page] = process.argv.slice(2);

async function metric(name) {
    return (await send('Performance.getMetrics')).metrics.find(m => m.name === name).value;
}

/* Pictures shown in four seconds, scrolled by so many pixels each. */
function pictures(step) {
    return ask(`new Promise(done => {
        let count = 0, start = performance.now();
        requestAnimationFrame(function next() {
            count++;
            scrollBy(0, ${step});
            if (performance.now() - start > 4000) done(count); else requestAnimationFrame(next);
        });
    })`);
}

async function look(name, step) {
    const before = await metric('RecalcStyleDuration'), count = await pictures(step);
    const style = (await metric('RecalcStyleDuration') - before) * 1000 / count;
    console.log(`${name}: ${(count / 4).toFixed(0)} pictures a second, ${style.toFixed(1)} ms of style each`);
}

async function main() {
    const start = Date.now();
    await open(page, 1280);
    console.log(`loaded in ${((Date.now() - start) / 1000).toFixed(1)} s, ${await metric('Nodes')} nodes`);
    await ask('(s => s[s.length >> 1].scrollIntoView())(document.querySelectorAll(".shot.moving"))');
    await look('among moving shots', 0);
    await look('scrolling', 40);
    if (await ask('document.querySelectorAll(".play").length') < 2) faults.push('no shot was set going');
}

run(main, 'fine');
