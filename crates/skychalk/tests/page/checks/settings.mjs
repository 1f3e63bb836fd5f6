// Themes, units, touch, high contrast; a dial with many checkpoints; one convention for bank.

const BOXES = page => page.$$eval('.view:not([hidden]) .dial .still text', texts => texts.map(text => { const { left, right, top, bottom } = text.getBoundingClientRect(); return { words: text.textContent, left, right, top, bottom }; }));

export default ({ address, assert, axe, BOARD, chromium, open, ARGUMENTS, all: { keep, clean } }) => ({
  'themes, contrast and forced colors': async () => {
    const page = await open(BOARD);
    await page.locator('#theme').selectOption('projector');
    assert.equal(await page.evaluate(() => getComputedStyle(document.body).backgroundColor), 'rgb(0, 0, 0)');
    await keep(page, 'board-projector');
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.ok(wide <= 1, `${wide} px wider than the window`);
    await page.locator('#theme').selectOption('board');
    await page.emulateMedia({ forcedColors: 'active' });
    await page.locator('#board .sides button').first().focus();
    await page.keyboard.press('Tab');
    assert.notEqual(await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle), 'none');
    await keep(page, 'board-forced-colors');
    await page.emulateMedia({ forcedColors: null });
    clean(page);
    await page.close();
  },
  'what is refused has no verdict, and what is flown straight ahead no side': async () => {
    const page = await open('#board?maneuver=power-off-stall&airplane=plover-160&height=3500ft');
    assert.match(await page.locator('#board .verdict').innerText(), /within computed limits/);
    assert.ok(!(await page.locator('#board .sides').isVisible()), 'a side is offered');
    const low = await page.locator('#board .limits').evaluate(box => box.getBoundingClientRect().bottom), fold = await page.locator('.tray').evaluate(box => box.getBoundingClientRect().top);
    assert.ok(low <= fold, `limits end at ${low}, the window at ${fold}`);
    await page.locator('#day-toggle').click();
    await page.locator('#board .day summary').click();
    await page.locator('#board [name=time]').fill('yesterday');
    await page.locator('#board [name=time]').press('Enter');
    await page.waitForSelector('#board .state.wrong');
    assert.equal(await page.locator('#board .verdict').innerText(), '');
    await page.locator('#board [name=time]').fill('');
    await page.locator('#board [name=time]').press('Enter');
    await page.waitForFunction(() => /within/.test(document.querySelector('#board .verdict').textContent));
    clean(page);
    await page.close();
  },
  'units are switched everywhere': async () => {
    const page = await open(BOARD);
    await page.locator('#units').selectOption('kmh-m');
    const visible = await page.locator('#board').evaluate(board => [...board.querySelectorAll('.checks thead, .choice .words .word, .limits .margin, [data-picture=curves] text')].map(box => box.textContent).join(' '));
    assert.match(visible, /km\/h/);
    assert.doesNotMatch(visible, /\bkt\b|\bft\b/, visible);
    // Sentences keep the units of rules and manuals, with the user's behind them.
    // What is said aloud is said in the user's units alone.
    const bare = async place => (await page.locator(place).allInnerTexts()).join('\n').replace(/(?<![\d,.])0 (kt|ft)/g, 'none').match(/[^.;\n]*\d (kt|ft|feet|knots)\b(?![/]| \()[^.;\n]*/g) ?? [];
    await page.waitForFunction(() => document.documentElement.dataset.settled);
    for (const part of await page.locator('#board .sheet details').all()) await part.evaluate(box => { box.open = true; });
    assert.match(await page.locator('#board .sheet').innerText(), /\d ft \(\d[\d,]* m\)/);
    assert.deepEqual(await bare('#board .sheet details'), []);
    const also = await page.evaluate(async words => { const { also } = await import('/core/numbers.js'); return words.map(also); }, ['speed over the stall −6 ± 6 kt', '+582 instead of +554 ft', '90–100 kt', '0 ft', '500 ft/min', 'from 2,100 to 2,400 ft', '0.5 NM ahead']);
    assert.deepEqual(also, ['speed over the stall −6 ± 6 kt (−11 ± 11 km/h)', '+582 instead of +554 ft (+177 instead of +169 m)', '90–100 kt (167–185 km/h)', '0 ft', '500 ft/min', 'from 2,100 to 2,400 ft (640 to 732 m)', '0.5 NM (0.9 km) ahead']);
    const spoken = await page.evaluate(async words => { const { spoken } = await import('/core/numbers.js'); return words.map(spoken); }, ['Hold 97 knots.', '620 feet gained.', 'Between 2,100 and 2,400 feet', 'Bank 30, and stop.']);
    assert.deepEqual(spoken, ['Hold 180 km/h.', '189 meters gained.', 'Between 640 and 732 meters', 'Bank 30, and stop.']);
    const aloud = await page.locator('#board .sheet details', { hasText: 'Patter, all of it' }).innerText();
    assert.match(aloud, /\d km\/h[.?]/);
    assert.doesNotMatch(aloud, /knots|feet/);
    // Scales are round in the user's own unit.
    const scales = () => page.evaluate(async () => { const { roundDistance, useSystem } = await import('/core/numbers.js'), { tickStep } = await import('/core/charts.js'); return ['kt-ft', 'kmh-m'].map(name => { useSystem(name); return [60, 300, 3000].map(m => roundDistance(m, about => tickStep(0, about, 1)).words); }).flat(); });
    assert.deepEqual(await scales(), ['200 ft', '1,000 ft', '2 NM', '50 m', '200 m', '2 km']);
    await page.locator('#to-flight').click();
    await page.locator('#open-demo').click();
    await page.waitForFunction(() => document.documentElement.dataset.flight);
    assert.match(await page.locator('#flight .checks thead').innerText(), /km\/h[\s\S]*m/);
    assert.match(await page.locator('#flight .strip').innerHTML(), />m</);
    await page.locator('#to-airplanes').click();
    await page.waitForSelector('.diagram');
    assert.match(await page.locator('#airplanes .scroll caption').first().innerText(), /km\/h/);
    await keep(page, 'airplanes-metric');
    await page.locator('#undo').click();
    await page.waitForFunction(() => document.querySelector('#units').value === 'kt-ft' || document.querySelector('#undo').disabled === false);
    await page.locator('#units').selectOption('kt-ft');
    clean(page);
    await page.close();
  },
  'by touch alone': async () => {
    const bare = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: ARGUMENTS });
    const context = await bare.newContext({ hasTouch: true, isMobile: true, viewport: { width: 820, height: 1180 } });
    const page = await open(BOARD, { context, width: 820, height: 1180 }), dial = page.locator('#board .dial');
    const box = await dial.boundingBox();
    await page.touchscreen.tap(box.x + box.width * 0.5, box.y + 8);
    assert.match(await dial.getAttribute('aria-valuetext'), /^9\d°|^8\d°/);
    await page.locator('#board .sides [data-mode=left]').tap();
    await page.waitForFunction(() => document.querySelector('#board .sides [aria-pressed=true]').dataset.mode === 'left');
    await page.locator('#board [data-picture=nose] .enlarge').tap();
    assert.ok(await page.locator('#board [data-picture=nose] .more').isVisible());
    await page.locator('#board [data-picture=nose] .enlarge').tap();
    const cell = page.locator('#board .checks td').first();
    await cell.scrollIntoViewIfNeeded();
    await cell.tap();
    await page.locator('#source-note').waitFor({ state: 'visible' });
    await keep(page, 'board-touch');
    // Nothing that is chosen is smaller than a fingertip may be: 24 px.
    const small = await page.$$eval('#board button, #board select, #board summary, .top button, .top a', boxes => boxes.filter(one => one.offsetParent && (one.getBoundingClientRect().height < 23.5 || one.getBoundingClientRect().width < 23.5)).map(one => `${one.className} ${one.textContent.slice(0, 20)} ${Math.round(one.getBoundingClientRect().height)}`));
    assert.deepEqual(small, []);
    clean(page);
    await bare.close();
  },
  'labels of the dial stand apart in a spiral of three turns': async () => {
    for (const maneuver of ['steep-spiral', 'turns-around-a-point', 'rectangular-course', 'lazy-eight']) {
      const page = await open(`#board?maneuver=${maneuver}&airplane=plover-160&height=6000ft&wind=270/10kt&side=right`), boxes = await BOXES(page);
      assert.ok(boxes.length >= 3, `${maneuver}: ${boxes.length} labels`);
      for (const [i, a] of boxes.entries()) for (const b of boxes.slice(i + 1)) assert.ok(a.right < b.left || b.right < a.left || a.bottom - 5 < b.top || b.bottom - 5 < a.top, `${maneuver}: ${a.words} lies upon ${b.words}`);
      if (maneuver === 'steep-spiral') await keep(page, 'dial-spiral');
      clean(page);
      await page.close();
    }
  },
  'bank has one sign in curves and table, for an attempt and the one it is held against': async () => {
    const page = await open('#flight?flight=demo&attempt=3', { waits: 'flight' });
    await page.waitForFunction(() => document.querySelector('#flight .pedal'));
    await page.locator('#flight [name=compare]').selectOption({ index: 1 });
    for (const step of ['Home', 'PageDown', 'PageDown']) await page.keyboard.press(step);
    const cell = page.locator('#flight .checks tr.here td').first(), table = (await cell.innerText()).split(/\s+/).filter(words => words && words !== 'and');
    const curves = await page.$$eval('#flight [data-picture=curves] .live text.num', texts => texts.slice(0, 2).map(text => text.textContent));
    assert.deepEqual([...table].sort(), [...curves].sort(), `${table} in the table, ${curves} in the curves`);
    assert.ok(table.every(words => !words.startsWith('−')), `bank toward the figure is not negative: ${table}`);
    const words = await page.locator('#flight .attempts').innerText();
    for (const name of ['Steep turn', 'Lazy eight', 'Wing-over']) assert.ok(words.includes(name), name);
    clean(page);
    await page.close();
  },
});
