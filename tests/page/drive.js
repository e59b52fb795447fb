/* SPDX-License-Identifier: Apache-2.0
 *
 * Opens a page in Chromium over its debugging pipe (JSON ended by NUL on descriptors 3 and 4), waits for the
 * promise of a script and prints what it gives; then works the filters by keyboard. Anything the console says is a
 * fault. node drive.js PAGE SCRIPT WIDTH
 */
'use strict';
const {spawn} = require('child_process');
const fs = require('fs');
const os = require('os');
const path = require('path');

const [page, script, width] = process.argv.slice(2);
const profile = fs.mkdtempSync(path.join(os.tmpdir(), 'page-'));
const flags = ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
    '--disable-background-networking', '--disable-component-update', '--disable-sync', '--remote-debugging-pipe',
    '--user-data-dir=' + profile];
const browser = spawn('chromium', flags, {stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe']});
const waiting = new Map(), faults = [];
let last = 0, session, rest = '', loaded;
const whenLoaded = new Promise(resolve => { loaded = resolve; });

function send(method, params) {
    const id = ++last;
    browser.stdio[3].write(JSON.stringify({id, method, params, sessionId: session}) + '\0');
    return new Promise((resolve, reject) => waiting.set(id, {resolve, reject}));
}

function receive(message) {
    if (message.id) {
        const {resolve, reject} = waiting.get(message.id);
        waiting.delete(message.id);
        return message.error ? reject(new Error(message.error.message)) : resolve(message.result);
    }
    if (message.method === 'Page.loadEventFired') loaded();
    if (message.method === 'Runtime.exceptionThrown' || message.method === 'Log.entryAdded' ||
        message.method === 'Runtime.consoleAPICalled')
        faults.push('the console says: ' + JSON.stringify(message.params).slice(0, 300));
    return undefined;
}

browser.stdio[4].on('data', data => {
    const parts = (rest + data).split('\0');
    rest = parts.pop();
    parts.forEach(part => receive(JSON.parse(part)));
});

async function ask(expression) {
    const answer = await send('Runtime.evaluate', {expression, awaitPromise: true, returnByValue: true});
    if (answer.exceptionDetails) throw new Error(JSON.stringify(answer.exceptionDetails).slice(0, 500));
    return answer.result.value;
}

async function press(key, code) {
    await send('Input.dispatchKeyEvent', {type: 'keyDown', key, code: key, windowsVirtualKeyCode: code});
    await send('Input.dispatchKeyEvent', {type: 'keyUp', key, code: key, windowsVirtualKeyCode: code});
}

async function main() {
    const {targetId} = await send('Target.createTarget', {url: 'about:blank'});
    session = (await send('Target.attachToTarget', {targetId, flatten: true})).sessionId;
    await Promise.all(['Page', 'Runtime', 'Log'].map(domain => send(domain + '.enable', {})));
    await send('Emulation.setDeviceMetricsOverride', {width: +width, height: 900, deviceScaleFactor: 1, mobile: false});
    await send('Page.navigate', {url: 'file://' + page});
    await whenLoaded;
    faults.push(...await ask(fs.readFileSync(script, 'utf8')));
    /* from "all" two steps to the right is "moving" */
    await ask('document.getElementById("k-all").focus()');
    await press('ArrowRight', 39);
    await press('ArrowRight', 39);
    if (!await ask('document.getElementById("k-moving").checked && [].every.call(document.querySelectorAll(".shot"),' +
        's => (getComputedStyle(s).display !== "none") === s.classList.contains("moving"))'))
        faults.push('the filters do not work by keyboard');
}

main().catch(error => faults.push(String(error))).finally(() => {
    browser.kill();
    browser.on('exit', () => {
        try {
            fs.rmSync(profile, {recursive: true, force: true, maxRetries: 25, retryDelay: 200});
        } catch (busy) { /* a process of the browser is still at it; the caller removes the folder around it */ }
        console.log(faults.length ? faults.slice(0, 20).join('\n') : 'fine at ' + width);
        process.exit(faults.length ? 1 : 0);
    });
});
setTimeout(() => { console.log('no answer within 150 s'); browser.kill(); process.exit(1); }, 150000).unref();
