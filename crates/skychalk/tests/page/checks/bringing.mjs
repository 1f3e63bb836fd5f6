// Recordings brought in every way, good and bad: the rest of the work stays.
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, openSync, closeSync, ftruncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

/** Drops files and folders of this machine as a hand does. */
async function drop(page, paths) {
  const session = await page.context().newCDPSession(page), data = { items: [], files: paths, dragOperationsMask: 1 };
  for (const type of ['dragEnter', 'dragOver', 'drop']) {
    await session.send('Input.dispatchDragEvent', { type, x: 600, y: 300, data });
    await page.waitForTimeout(100);
  }
  await session.detach();
}
const opened = (page, name, failed = false) => page.waitForFunction(([name, failed]) => [...document.querySelectorAll('#flight .opened .one')].some(one => one.innerText.includes(name) && !one.querySelector('[data-stop]') && one.innerText.includes('(not read)') === failed), [name, failed], { timeout: 90000 });

export default ({ assert, lesson, open, all: { keep, clean } }) => ({
  'nothing open yet: it is said what to do, and what an address names is not there': async () => {
    const page = await open('#flight?flight=tuesday.csv&attempt=2', { waits: 'flight' });
    assert.match(await page.locator('#flight .state').innerText(), /“tuesday.csv” is not open here[\s\S]*drop the file again/);
    assert.match(await page.locator('#flight .welcome').innerText(), /Drop the recording/);
    await keep(page, 'flight-welcome');
    await page.locator('#flight [name=files]').setInputFiles({ name: 'tuesday.csv', mimeType: 'text/csv', buffer: lesson });
    await opened(page, 'tuesday.csv');
    assert.ok(!(await page.locator('#flight .welcome').isVisible()));
    // One file is one flight, brought twice or not; two may be one.
    await page.locator('#flight [name=files]').setInputFiles({ name: 'tuesday.csv', mimeType: 'text/csv', buffer: lesson });
    await page.waitForFunction(() => document.querySelectorAll('#flight .opened .one').length === 2 && !document.querySelector('#flight [data-stop]'));
    assert.ok(!(await page.locator('#join').isVisible()), 'the same file twice is no second recording');
    await page.locator('#flight [name=files]').setInputFiles({ name: 'wednesday.csv', mimeType: 'text/csv', buffer: lesson.subarray(0, lesson.lastIndexOf('\n')) });
    await opened(page, 'wednesday.csv');
    assert.ok(await page.locator('#join').isVisible());
    // A file that ends inside a line is told of where the flight is looked at.
    assert.match(await page.locator('#flight .state').innerText(), /Perhaps half a recording[\s\S]*last line has no end/);
    // Of three it is said which are one; what was recorded at another time is not taken to be.
    await page.locator('#flight [name=files]').setInputFiles({ name: 'thursday.csv', mimeType: 'text/csv', buffer: lesson.subarray(0, lesson.lastIndexOf('\n', lesson.length - 2) + 1) });
    await opened(page, 'thursday.csv');
    await page.locator('#join').click();
    assert.deepEqual(await page.locator('#flight .joining input').evaluateAll(boxes => boxes.map(box => box.checked)), [true, true, true]);
    await page.locator('#flight .joining input').first().uncheck();
    await page.locator('#flight .joining button').click();
    await opened(page, 'wednesday.csv + thursday.csv');
    // What is put away comes back when that is undone.
    const tabs = () => page.locator('#flight .opened .one').count(), before = await tabs();
    await page.getByRole('button', { name: 'put thursday.csv away', exact: true }).click();
    assert.equal(await tabs(), before - 1);
    await page.locator('#undo').click();
    assert.equal(await tabs(), before);
    // A correction of limits that leave the moment it was told by takes the next correction of the same attempt.
    const twice = await page.evaluate(async () => {
      const { withCorrection } = await import('/parts/correct.js'), first = withCorrection([], { start_s: 296, end_s: 325 }, { start_s: 300, end_s: 304 });
      return withCorrection(first, { start_s: 300, end_s: 304 }, { none: true });
    });
    assert.deepEqual(twice.map(({ none }) => none), [true]);
    await page.goto(page.url().replace('attempt=', 'wings=2&attempt='));
    await page.waitForFunction(() => /“wings”: an address of Flight says nothing by that name/.test(document.querySelector('#flight .state').innerText));
    clean(page);
    await page.close();
  },
  'bad recordings are told clearly and the rest stays': async () => {
    const folder = mkdtempSync(join(tmpdir(), 'bring-')), page = await open('#flight', { waits: 'started' });
    await page.locator('#flight [name=airplane]').selectOption('plover-160');
    await page.locator('#flight [name=files]').setInputFiles({ name: 'good.csv', mimeType: 'text/csv', buffer: lesson });
    await opened(page, 'good.csv');
    await page.locator('#flight .attempts button').nth(4).click();
    const stays = async () => {
      await page.locator('#flight .opened [data-flight]', { hasText: 'good.csv' }).click();
      assert.match(await page.locator('#flight .about h1').innerText(), /Attempt 5/);
      assert.equal(await page.locator('#flight .attempts button').count(), 7);
    };
    const said = () => page.locator('#flight .state').innerText();
    // 2 GB: told before a byte is sent.
    const huge = join(folder, 'huge.csv'), file = openSync(huge, 'w');
    ftruncateSync(file, 2 * 2 ** 30);
    closeSync(file);
    await page.locator('#flight [name=files]').setInputFiles(huge);
    await opened(page, 'huge.csv', true);
    assert.match(await said(), /larger than 64 MiB[\s\S]*Cut it/);
    await keep(page, 'upload-huge');
    await stays();
    // Sent all the same, by a page that does not know the bound: the program stops taking it.
    const refused = await page.evaluate(async () => {
      const { send } = await import('/core/send.js');
      return send('api/flight?name=x.csv', new Blob([new Uint8Array(80 * 2 ** 20)]), { signal: new AbortController().signal, progress: () => {} }).then(() => 'taken', error => `${error.message} ${error.hint}`);
    });
    assert.match(refused, /larger/);
    // Half ones: a table cut within a row, half an archive, half of what was packed.
    for (const [name, bytes] of [['half.csv', lesson.subarray(0, Math.floor(lesson.length * 0.55) + 7)], ['half.csv.gz', gzipSync(lesson).subarray(0, 9000)]]) {
      await page.locator('#flight [name=files]').setInputFiles({ name, mimeType: 'application/octet-stream', buffer: bytes });
      await page.waitForFunction(name => [...document.querySelectorAll('#flight .opened .one')].some(one => one.innerText.includes(name) && !one.querySelector('[data-stop]')), name, { timeout: 90000 });
      const failed = await page.locator('#flight .opened .one', { hasText: name }).innerText();
      const words = failed.includes('(not read)') ? await said() : await page.locator('#flight .more-of').innerText();
      // Read as far as it goes, or refused: either way it says that it is cut.
      console.log(`   ${name}: ${failed.includes('(not read)') ? 'refused' : 'read'}: ${words.split('\n').filter(line => /cut|short|half|ends|end of|incomplete|truncat|gap|line \d+/i.test(line)).slice(0, 2).join(' | ')}`);
      assert.match(words, /cut|short|half|ends|incomplete|truncat/i, name);
      await stays();
    }
    // A picture is no recording.
    await page.locator('#flight [name=files]').setInputFiles({ name: 'picture.png', mimeType: 'image/png', buffer: Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex') });
    await opened(page, 'picture.png', true);
    assert.match(await said(), /known formats/);
    await stays();
    // Cancelled on its way.
    await page.route('**/api/flight?*', route => setTimeout(() => route.continue().catch(() => {}), 1500));
    await page.locator('#flight [name=files]').setInputFiles({ name: 'cancelled.csv', mimeType: 'text/csv', buffer: lesson });
    await page.locator('#flight [data-stop]').click();
    await opened(page, 'cancelled.csv', true);
    assert.match(await said(), /Stopped[\s\S]*rest is as it was/);
    await page.unroute('**/api/flight?*');
    await stays();
    clean(page);
    await page.close();
  },
  'a reading that ends while another view is shown leaves that view its address': async () => {
    const page = await open('#board', { waits: 'settled' });
    await page.route('**/api/debrief*', async route => { await new Promise(done => setTimeout(done, 1500)); await route.continue(); });
    const file = join(mkdtempSync(join(tmpdir(), 'late-')), 'late.csv');
    writeFileSync(file, lesson);
    await drop(page, [file]);
    await page.waitForFunction(() => location.hash.startsWith('#flight'));
    await page.locator('#to-board').click();
    await page.waitForFunction(() => document.documentElement.dataset.flight, null, { timeout: 60000 });
    assert.ok(await page.locator('#board').isVisible());
    assert.match(page.url(), /#board/);
    assert.match(await page.title(), /^Chandelle, /);
    // And it is there when it is looked for.
    await page.locator('#to-flight').click();
    assert.equal(await page.locator('#flight .attempts button').count(), 7);
    clean(page);
    await page.close();
  },
  'what is told of one flight is not told of another': async () => {
    const page = await open('#flight', { waits: 'started' });
    const airplane = () => page.locator('#flight [name=airplane]').inputValue(), ground = () => page.locator('#flight [name=ground-elevation]').inputValue(), shown = () => page.locator('#flight .about').innerText();
    await page.locator('#flight [name=airplane]').selectOption('sandpiper-550');
    const file = join(mkdtempSync(join(tmpdir(), 'mine-')), 'mine.csv');
    writeFileSync(file, lesson);
    await drop(page, [file]);
    await page.waitForFunction(() => document.documentElement.dataset.flight === '0', null, { timeout: 60000 });
    // While a flight is open the ways to bring another are one word.
    assert.ok(!(await page.locator('#open-demo').isVisible()));
    await page.locator('#bring-more').click();
    await page.locator('#open-demo').click();
    await page.waitForFunction(() => document.documentElement.dataset.flight === '1', null, { timeout: 60000 });
    assert.deepEqual([await airplane(), await ground()], ['plover-160', '0ft']);
    assert.match(await shown(), /Plover 160/);
    await page.locator('#flight .opened [data-flight]', { hasText: 'mine.csv' }).click();
    assert.deepEqual([await airplane(), await ground()], ['sandpiper-550', '']);
    assert.match(await shown(), /Sandpiper 550/);
    // What the lesson was flown over holds for no other flight, and no ground is remembered.
    assert.deepEqual(await page.evaluate(() => JSON.parse(localStorage.getItem('skychalk.told'))), { airplane: 'sandpiper-550' });
    await page.goBack();
    await page.waitForFunction(() => document.querySelector('#flight [name=airplane]').value === 'plover-160');
    await page.evaluate(() => { location.hash = '#flight?flight=mine.csv&attempt=2'; });
    await page.waitForFunction(() => /Attempt 2[^]*Sandpiper/.test(document.querySelector('#flight .about').innerText));
    await page.evaluate(() => { location.hash = '#flight?flight=demo&attempt=5'; });
    await page.waitForFunction(() => /Attempt 5[^]*Plover/.test(document.querySelector('#flight .about').innerText));
    clean(page);
    await page.close();
  },
  'what an address asks for and is not there is said': async () => {
    const page = await open('#flight?flight=demo&attempt=99&over=x&at=-5', { waits: 'flight' });
    assert.match(await page.locator('#flight .state').innerText(), /Attempt “99”: this flight has 7 attempts; attempt “x”[^]*place “-5”/);
    assert.match(await page.locator('#flight .about h1').innerText(), /Attempt 7/);
    await page.evaluate(() => { location.hash = '#flight?flight=demo&attempt=2&over=3'; });
    await page.waitForFunction(() => /another maneuver/.test(document.querySelector('#flight .state').innerText));
    assert.equal(await page.locator('#flight [name=compare]').inputValue(), '-1');
    // A right one is laid mirrored upon a left one.
    await page.evaluate(() => { location.hash = '#flight?flight=demo&attempt=3&over=4'; });
    await page.waitForFunction(() => /Attempt 3/.test(document.querySelector('#flight .about h1').innerText) && document.querySelector('#flight .state').innerText === '');
    assert.match(await page.locator('#flight [name=compare] option:checked').innerText(), /attempt 4 right, mirrored/);
    await page.evaluate(() => { location.hash = '#nowhere?x=1'; });
    await page.waitForSelector('#failed:not([hidden])');
    assert.match(await page.locator('#failed').innerText(), /no view “nowhere”/);
    await page.evaluate(() => { location.hash = '#board?maneuver=chandelle&side=up&at=9999'; });
    await page.waitForFunction(() => /side “up”|Side “up”/.test(document.querySelector('#board .state').innerText), null, { timeout: 60000 });
    assert.match(await page.locator('#board .state').innerText(), /the dial goes from 0 to 180/);
    await page.evaluate(() => { location.hash = '#board?maneuver=nonsense'; });
    await page.waitForFunction(() => /no maneuver "nonsense"/.test(document.querySelector('#board .state').innerText));
    assert.equal(await page.locator('#board [name=maneuver]').inputValue(), '');
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), 'the page slides sideways');
    clean(page);
    await page.close();
  },
  'many attempts, a small screen, a large plan': async () => {
    const page = await open('#flight?flight=demo&attempt=3', { waits: 'flight', width: 390, height: 844 });
    const fits = () => page.evaluate(() => document.documentElement.scrollWidth <= innerWidth);
    assert.ok(await fits(), 'the page slides sideways');
    // The row of attempts slides by itself.
    assert.ok(await page.locator('#flight .attempts').evaluate(row => row.scrollWidth > row.clientWidth));
    assert.ok(!(await page.locator('#flight .ground').isVisible()));
    await page.locator('#flight .plan-size').click();
    assert.ok(await page.locator('#flight .ground').isVisible());
    assert.ok(await fits());
    const places = await page.locator('#flight .ground .flag text').evaluateAll(texts => texts.map(one => one.getBoundingClientRect()).map(({ x, y }) => [x, y]));
    assert.equal(places.length, 7);
    places.forEach(([x, y], i) => places.slice(i + 1).forEach(([u, v]) => assert.ok(Math.abs(x - u) > 7 || Math.abs(y - v) > 9, 'numbers lie on each other')));
    await keep(page, 'flight-plan', true);
    clean(page);
    await page.close();
  },
  'a re-flight has no attitude, and no table gives it one': async () => {
    const page = await open('#flight?flight=demo&attempt=3', { waits: 'flight' });
    await page.waitForFunction(() => document.querySelector('#flight .stroke.reflight'));
    await page.keyboard.press('3');
    const heads = await page.locator('#flight [data-picture=nose] .numbers thead').innerText();
    assert.match(heads, /attempt/);
    assert.doesNotMatch(heads, /reflight/);
    clean(page);
    await page.close();
  },
  'a view that could not be loaded is told, and the word goes when it is': async () => {
    const page = await open('#board', { waits: 'settled' });
    await page.route('**/api/standards', route => route.abort());
    await page.locator('#to-flight').click();
    await page.waitForSelector('#failed:not([hidden])');
    await page.unroute('**/api/standards');
    await page.locator('#to-board').click();
    await page.locator('#to-flight').click();
    await page.waitForSelector('#flight .drop');
    assert.ok(await page.locator('#failed').isHidden());
    await page.close();
  },
  'folders and archives are dropped': async () => {
    const folder = mkdtempSync(join(tmpdir(), 'drop-')), inner = join(folder, 'lessons'), page = await open('#board', { waits: 'started' });
    mkdirSync(join(inner, 'may'), { recursive: true });
    writeFileSync(join(inner, 'one.csv'), lesson);
    writeFileSync(join(inner, 'may', 'two.csv'), lesson);
    writeFileSync(join(inner, '.hidden'), 'of the system');
    // From any view: the flight opens.
    await drop(page, [inner]);
    await opened(page, 'one.csv');
    await opened(page, 'two.csv');
    assert.equal(await page.locator('#flight .opened .one').count(), 2);
    const archive = join(folder, 'lesson.zip');
    execFileSync('python3', ['-c', 'import sys,zipfile; zipfile.ZipFile(sys.argv[1], "w", zipfile.ZIP_DEFLATED).write(sys.argv[2], "one.csv")', archive, join(inner, 'one.csv')]);
    await drop(page, [archive]);
    await opened(page, 'lesson.zip');
    assert.equal(await page.locator('#flight .attempts button').count(), 7);
    // Two in one archive: each is a flight of its own.
    const both = join(folder, 'both.zip');
    execFileSync('python3', ['-c', 'import sys,zipfile\nz=zipfile.ZipFile(sys.argv[1], "w", zipfile.ZIP_DEFLATED)\nfor n in ("one.csv","two.csv"): z.write(sys.argv[2], n)', both, join(inner, 'one.csv')]);
    await drop(page, [both]);
    for (const entry of ['one.csv', 'two.csv']) {
      await opened(page, `both.zip: ${entry}`);
      assert.equal(await page.locator('#flight .attempts button').count(), 7);
    }
    assert.equal(await page.locator('#flight .opened .one').count(), 5);
    await keep(page, 'upload-archive');
    clean(page);
    await page.close();
  },
});
