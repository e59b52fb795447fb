/* SPDX-License-Identifier: Apache-2.0
 *
 * A page in Chromium over its debugging pipe (JSON ended by NUL on descriptors 3 and 4). Whatever the console says is a
 * fault.
 */
'use strict';
const {spawn} = require('child_process');
const fs = require('fs');
const os = require('os');
const path = require('path');

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

/* The value of an expression in the page, or of the promise it gives. */
async function ask(expression) {
    const answer = await send('Runtime.evaluate', {expression, awaitPromise: true, returnByValue: true});
    if (answer.exceptionDetails) throw new Error(JSON.stringify(answer.exceptionDetails).slice(0, 500));
    return answer.result.value;
}

async function press(key, code) {
    await send('Input.dispatchKeyEvent', {type: 'keyDown', key, code: key, windowsVirtualKeyCode: code});
    await send('Input.dispatchKeyEvent', {type: 'keyUp', key, code: key, windowsVirtualKeyCode: code});
}

/* Opens a file in a window of that many pixels and waits until it is loaded. */
async function open(page, width) {
    const {targetId} = await send('Target.createTarget', {url: 'about:blank'});
    session = (await send('Target.attachToTarget', {targetId, flatten: true})).sessionId;
    await Promise.all(['Page', 'Runtime', 'Log', 'Performance'].map(domain => send(domain + '.enable', {})));
    await send('Emulation.setDeviceMetricsOverride', {width: +width, height: 900, deviceScaleFactor: 1, mobile: false});
    await send('Page.navigate', {url: 'file://' + page});
    await whenLoaded;
}

/* Runs main, prints the faults or `fine`, and ends; 1 when there were any. */
function run(main, fine) {
    main().catch(error => faults.push(String(error))).finally(() => {
        browser.kill();
        browser.on('exit', () => {
            try {
                fs.rmSync(profile, {recursive: true, force: true, maxRetries: 25, retryDelay: 200});
            } catch (busy) { /* a process of the browser is still at it; the caller removes the folder around it */ }
            console.log(faults.length ? faults.slice(0, 20).join('\n') : fine);
            process.exit(faults.length ? 1 : 0);
        });
    });
    setTimeout(() => { console.log('no answer within 150 s'); browser.kill(); process.exit(1); }, 150000).unref();
}

module.exports = {send, ask, press, open, run, faults};
