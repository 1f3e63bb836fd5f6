// What the user does and takes back: choices, corrections, edited airplanes, an airplane from a manual.
import { readFileSync } from 'node:fs';

/** Figures of the demo trainer's kind, as a manual would state them: invented. */
const FIGURES = { '': { id: 'my-single', name: 'My Single', source: 'invented manual, 2026' }, layout: { gear: 'fixed', wing: 'high', seats: '4' }, mass: { maximum: '2400 lb' }, wing: { area: '174 ft2', span: '36 ft' }, engine: { power: '160 hp', speed_rated: '2700 rpm' },
  propeller: { type: 'fixed', diameter: '75 in' }, speeds: { maneuvering: '99 kt', normal_max: '127 kt', never_exceed: '158 kt', best_rate: '76 kt' }, stall: { flaps: 'up', power: 'idle', speed: '51 kt', airspeed: 'calibrated' },
  climb: { height: '0 ft', rate: '700 ft/min' }, cruise: { height: '8000 ft', power_share: '0.75', true_airspeed: '120 kt' }, category: { name: 'normal', load_factor_max: '3.8 g', load_factor_min: '-1.52 g', approved: 'steep-turn, chandelle' } };

export default ({ assert, BOARD, open, all: { keep, clean } }) => ({
  'choices are taken back and done again, and the back button still works': async () => {
    const page = await open(BOARD), maneuver = page.locator('#board [name=maneuver]'), value = () => maneuver.inputValue();
    assert.ok(await page.locator('#undo').isDisabled());
    await maneuver.selectOption('steep-turn');
    await page.waitForFunction(() => document.title.startsWith('Steep turn'));
    assert.equal(await page.locator('#undo').getAttribute('aria-label'), 'Undo: maneuver');
    await page.locator('#board [name=airplane]').selectOption('sandpiper-550');
    await page.keyboard.press('Control+z');
    await page.waitForFunction(() => document.querySelector('#board [name=airplane]').value === 'plover-160');
    await page.locator('#undo').click();
    await page.waitForFunction(() => document.querySelector('#board [name=maneuver]').value === 'chandelle');
    assert.ok(await page.locator('#undo').isDisabled());
    assert.match(page.url(), /maneuver=chandelle/);
    await page.keyboard.press('Control+Shift+z');
    await page.waitForFunction(() => document.querySelector('#board [name=maneuver]').value === 'steep-turn');
    assert.match(await page.locator('#said').innerText(), /Done again: maneuver/);
    await page.goBack();
    await page.waitForFunction(() => document.querySelector('#board [name=maneuver]').value === 'chandelle');
    // What the back button did is a step too.
    await page.locator('#undo').click();
    await page.waitForFunction(() => document.querySelector('#board [name=maneuver]').value === 'steep-turn');
    // A slider on its way is one step.
    await page.waitForFunction(() => document.querySelector('#board .picture .still').childElementCount > 5);
    if (await page.locator('#day').isHidden()) await page.locator('#day-toggle').click();
    const slider = page.locator('#s-weight');
    await slider.focus();
    for (let i = 0; i < 5; i++) await page.keyboard.press('ArrowLeft');
    assert.match(page.url(), /weight=/);
    await page.keyboard.press('Control+z');
    await page.waitForFunction(() => !location.hash.includes('weight='));
    assert.equal(await value(), 'steep-turn');
    clean(page);
    await page.close();
  },
  'an attempt is corrected, measured again, kept, and taken back': async () => {
    const page = await open('#flight?flight=demo&attempt=3', { waits: 'flight' });
    const name = () => page.locator('#flight .attempts button').nth(2).innerText();
    assert.match(await name(), /Chandelle left/);
    await page.locator('.correct summary').click();
    await page.locator('.correct [name=maneuver]').selectOption('climbing-turn');
    await page.locator('.correct [name=take]').click();
    await page.waitForFunction(() => /Climbing turn left/.test(document.querySelectorAll('#flight .attempts button')[2].innerText), null, { timeout: 60000 });
    assert.match(await page.locator('.about').innerText(), /Climbing turn/);
    assert.match(await page.locator('.correct .said').innerText(), /Climbing turn/);
    await keep(page, 'flight-corrected', true);
    const [file] = await Promise.all([page.waitForEvent('download'), page.locator('.correct [data-save]').click()]);
    const text = readFileSync(await file.path(), 'utf8');
    assert.match(text, /\[\[correction\]\]\nat = "[\d.]+ s"\nmaneuver = "climbing-turn"/);
    // A way that the recording speaks against is refused with a hint, and nothing is lost.
    await page.locator('.correct [name=direction]').selectOption('right');
    await page.locator('.correct [name=take]').click();
    await page.waitForFunction(() => /cannot have gone right/.test(document.querySelector('#flight .state').innerText), null, { timeout: 60000 });
    assert.match(await name(), /Climbing turn left/);
    // Kept for this recording: a page opened anew has it.
    const again = await open('#flight?flight=demo&attempt=3', { waits: 'flight' });
    assert.match(await again.locator('#flight .attempts button').nth(2).innerText(), /Climbing turn left/);
    await again.close();
    await page.keyboard.press('Control+z');
    await page.waitForFunction(() => /Chandelle left/.test(document.querySelectorAll('#flight .attempts button')[2].innerText), null, { timeout: 60000 });
    await page.locator('#redo').click();
    await page.waitForFunction(() => /Climbing turn left/.test(document.querySelectorAll('#flight .attempts button')[2].innerText), null, { timeout: 60000 });
    // No maneuver at all; then found again.
    await page.locator('.correct [data-none]').click();
    await page.waitForFunction(() => document.querySelectorAll('#flight .attempts button').length === 6, null, { timeout: 60000 });
    await page.locator('.correct [data-drop="0"]').click();
    await page.waitForFunction(() => document.querySelectorAll('#flight .attempts button').length === 7, null, { timeout: 60000 });
    assert.match(await name(), /Chandelle left/);
    // The file that was saved is taken; one with a fault is told by its line.
    await page.locator('[name=corrections-file]').setInputFiles({ name: 'mine.toml', mimeType: 'text/plain', buffer: Buffer.from(text) });
    await page.waitForFunction(() => /Climbing turn left/.test(document.querySelectorAll('#flight .attempts button')[2].innerText), null, { timeout: 60000 });
    await page.locator('[name=corrections-file]').setInputFiles({ name: 'bad.toml', mimeType: 'text/plain', buffer: Buffer.from(text.replace('climbing-turn', 'climbing-trun')) });
    await page.waitForFunction(() => /bad\.toml/.test(document.querySelector('#flight .state').innerText), null, { timeout: 60000 });
    assert.match(await page.locator('#flight .state').innerText(), /line \d+/);
    await page.locator('.correct [data-drop="0"]').click();
    await page.waitForFunction(() => /Chandelle left/.test(document.querySelectorAll('#flight .attempts button')[2].innerText), null, { timeout: 60000 });
    clean(page);
    await page.close();
  },
  'an edited airplane is briefed': async () => {
    const page = await open('#airplanes?airplane=plover-160', { waits: 'started' });
    await page.waitForSelector('.diagram');
    await page.locator('#airplanes details.edit > summary').click();
    await page.waitForFunction(() => document.querySelector('#copy').value.length > 500);
    await page.locator('#airplanes details.file > summary').click();
    const text = await page.locator('#copy').inputValue();
    await page.locator('#copy').fill(text.replace('drag_zero_lift = 0.033', 'drag_zero_lift = 0.060'));
    assert.equal(await page.locator('#copy-name').inputValue(), 'Plover 160, edited');
    await page.locator('#keep-copy').click();
    await page.waitForFunction(() => document.documentElement.dataset.settled && document.title.includes('Plover 160, edited'), null, { timeout: 60000 });
    assert.match(page.url(), /airplane=copy-/);
    assert.equal(await page.locator('#board .picture .still').count(), 6);
    assert.ok(await page.locator('#board [data-picture=hands] .pedal').count() > 1, 'no hands and feet');
    await keep(page, 'board-edited');
    const rows = () => page.locator('#board .checks tbody').innerText(), edited = await rows();
    // A program that forgot the copy, as one that was started anew, is told again.
    await page.evaluate(async text => { for (let i = 0; i < 64; i++) await fetch('api/airplane/copy', { method: 'POST', body: text.replace(/^name = .*/m, `name = "Other ${i}"`) }); }, text);
    await page.evaluate(() => { delete document.documentElement.dataset.settled; });
    await page.locator('#board [name=seat]').selectOption('right');
    await page.waitForFunction(() => document.documentElement.dataset.settled, null, { timeout: 60000 });
    assert.equal(await page.locator('#board .state.wrong').count(), 0);
    assert.equal(await rows(), edited);
    await page.evaluate(() => { delete document.documentElement.dataset.settled; });
    await page.locator('#board [name=airplane]').selectOption('plover-160');
    await page.waitForFunction(() => document.documentElement.dataset.settled, null, { timeout: 60000 });
    assert.notEqual(await rows(), edited, 'the copy flies like the airplane');
    // In this tab it stays; put away it can be had back.
    await page.reload();
    await page.waitForFunction(() => document.documentElement.dataset.started);
    const listed = () => page.locator('#board [name=airplane] optgroup option').count();
    assert.equal(await listed(), 1);
    await page.locator('#to-airplanes').click();
    await page.locator('#airplanes nav a', { hasText: 'Plover 160, edited' }).click();
    await page.waitForSelector('[data-do=remove]');
    const [file] = await Promise.all([page.waitForEvent('download'), page.locator('[data-do=save]').click()]);
    assert.match(readFileSync(await file.path(), 'utf8'), /name = "Plover 160, edited"/);
    await keep(page, 'airplane-copy', true);
    // An edit of the text is taken back too, from wherever the page is.
    await page.locator('#airplanes details.edit > summary').click();
    await page.waitForFunction(() => document.querySelector('#copy').value.length > 500);
    if (!(await page.locator('#copy').isVisible())) await page.locator('#airplanes details.file > summary').click();
    const before = await page.locator('#copy').inputValue();
    await page.locator('#copy').fill(`# mine\n${before}`);
    await page.locator('#check').focus();
    await page.locator('#to-board').click();
    await page.locator('#undo').click();
    await page.waitForFunction(text => location.hash.startsWith('#airplanes') && document.querySelector('#copy')?.value === text, before);
    await page.locator('[data-do=remove]').click();
    await page.waitForFunction(() => !document.querySelector('#board [name=airplane] optgroup'));
    await page.keyboard.press('Control+z');
    await page.waitForFunction(() => document.querySelector('#board [name=airplane] optgroup'));
    clean(page);
    await page.close();
  },
  'an airplane is made of the figures of a manual': async () => {
    const page = await open('#airplanes?airplane=new', { waits: 'started' });
    await page.waitForSelector('form.build');
    const field = (block, key) => page.locator(`[data-block="${block}"][data-row="0"][data-key="${key}"]`);
    for (const [block, keys] of Object.entries(FIGURES)) {
      for (const [key, value] of Object.entries(keys)) {
        const box = field(block, key);
        if (await box.evaluate(one => one.tagName) === 'SELECT') await box.selectOption(value); else await box.fill(value);
      }
    }
    // A slip is told beside its field.
    await field('wing', 'area').fill('174');
    await page.locator('[name=build]').click();
    await page.waitForSelector('.built .state.wrong');
    assert.equal(await field('wing', 'area').getAttribute('aria-invalid'), 'true');
    await keep(page, 'airplane-form-slip', true);
    await field('wing', 'area').fill('174 ft2');
    await page.locator('[name=build]').click();
    await page.waitForSelector('.built [data-do=use]', { timeout: 60000 });
    const said = await page.locator('.built').innerText();
    assert.match(said, /go together|not go with the others/);
    assert.match(said, /What it will do/);
    await keep(page, 'airplane-form', true);
    const [file] = await Promise.all([page.waitForEvent('download'), page.locator('.built [data-do=file]').click()]);
    assert.match(readFileSync(await file.path(), 'utf8'), /^name = "My Single"/m);
    await page.locator('.built [data-do=use]').click();
    await page.waitForFunction(() => document.title.includes('My Single') && document.documentElement.dataset.settled, null, { timeout: 60000 });
    clean(page);
    await page.close();
  },
  'papers are had from the page': async () => {
    const page = await open(BOARD);
    for (const [words, name] of [['one page', 'brief-chandelle.pdf'], ['kneeboard card', 'card-chandelle.pdf'], ['safety sheet', 'safety-chandelle.pdf'], ['everything', 'whole-brief-chandelle.pdf']]) {
      const [file] = await Promise.all([page.waitForEvent('download'), page.locator('#board .keep a', { hasText: words }).first().click()]);
      assert.equal(file.suggestedFilename(), name);
      assert.equal(readFileSync(await file.path()).subarray(0, 5).toString(), '%PDF-', words);
    }
    await page.locator('#board [name=paper-size]').selectOption('letter');
    assert.match(await page.locator('#board .keep a', { hasText: 'kneeboard card' }).getAttribute('href'), /page-size=half-letter/);
    await page.locator('#board [name=paper-size]').selectOption('a4');
    clean(page);
    await page.close();
    const flight = await open('#flight?flight=demo&attempt=3', { waits: 'flight' });
    const [file] = await Promise.all([flight.waitForEvent('download', { timeout: 60000 }), flight.locator('#flight [data-keep=pdf]').click()]);
    assert.equal(readFileSync(await file.path()).subarray(0, 5).toString(), '%PDF-');
    const [one] = await Promise.all([flight.waitForEvent('download', { timeout: 60000 }), flight.locator('#flight [data-keep-attempt=pdf]').click()]);
    assert.equal(one.suggestedFilename(), 'attempt-3.pdf');
    assert.ok(readFileSync(await one.path()).length < readFileSync(await file.path()).length / 2, 'the sheet of one attempt is not that of all');
    clean(flight);
    await flight.close();
  },
  'checks against the outside stand with the airplane': async () => {
    const page = await open('#airplanes?airplane=beaver', { waits: 'started' });
    await page.waitForSelector('.checked table');
    const head = await page.locator('.checked table').first().locator('thead').innerText();
    for (const words of ['computed', 'reference', 'difference', 'tolerance', 'source']) assert.match(head, new RegExp(words));
    assert.ok(await page.locator('.checked table').first().locator('tbody tr').count() > 10);
    assert.match(await page.locator('.checked > p').first().innerText(), /\d+ met, \d+ not met/);
    await keep(page, 'airplane-checks', true);
    await page.locator('#airplanes nav a[data-id=cessna-152]').click();
    await page.waitForFunction(() => /Figures of the manual beside/.test(document.querySelector('.checked')?.innerText ?? ''), null, { timeout: 60000 });
    clean(page);
    await page.close();
  },
});
