/* SPDX-License-Identifier: Apache-2.0
 *
 * Opens a page, waits for the promise of a script and prints what it gives; then works the filters by keyboard.
 * node drive.js PAGE SCRIPT WIDTH
 */
'use strict';
const fs = require('fs');
const {ask, press, open, run, faults} = require('./browser.js');

const [page, script, width] = process.argv.slice(2);

async function main() {
    await open(page, width);
    faults.push(...await ask(fs.readFileSync(script, 'utf8')));
    /* from "all" two steps to the right is "moving" */
    await ask('document.getElementById("k-all").focus()');
    await press('ArrowRight', 39);
    await press('ArrowRight', 39);
    if (!await ask('document.getElementById("k-moving").checked && [].every.call(document.querySelectorAll(".shot"),' +
        's => (getComputedStyle(s).display !== "none") === s.classList.contains("moving"))'))
        faults.push('the filters do not work by keyboard');
}

run(main, 'fine at ' + width);
