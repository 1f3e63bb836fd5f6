// Every number says where it comes from, under the pointer and under the focus.

/** Numbers of the open view that say nothing: what they are, and how many. */
const silent = page => page.evaluate(async () => {
  const { sourcesOf } = await import('/parts/source.js');
  const view = document.querySelector('.view:not([hidden])'), out = [];
  const boxes = view.querySelectorAll('table:not(.unseen) tbody td, output, svg text, .measured, .limit-item, .word[data-slider], .why, .number');
  for (const box of boxes) {
    // Where a source is itself what stands there, or a text of the program with its source beside it.
    if (!/\d/.test(box.textContent) || box.closest('[hidden], .day summary') || box.querySelector(':scope > .source:only-child')) continue;
    if (box.closest('table')?.caption?.textContent === 'Where the figures come from') continue;
    if (!sourcesOf(box).length) out.push(`${box.tagName} ${box.closest('table')?.caption?.textContent ?? box.parentElement.className?.baseVal ?? box.parentElement.className}: ${box.textContent.slice(0, 40)}`);
  }
  return { out: [...new Set(out)].slice(0, 12), looked: boxes.length };
});

export default ({ assert, BOARD, open, all: { keep, clean } }) => ({
  'every number says where it comes from': async () => {
    for (const [hash, waits, ready, least] of [[BOARD, 'settled', '#board .checks', 120], ['#flight?flight=demo&attempt=3', 'flight', '#flight .pedal', 120], ['#airplanes?airplane=plover-160', 'started', '.checked table', 60], ['#airplanes?airplane=cessna-152', 'started', '.checked table', 60]]) {
      const page = await open(hash, { waits });
      await page.waitForSelector(ready, { timeout: 60000, state: 'attached' });
      for (const summary of await page.locator('.view:not([hidden]) details:not([open]) > summary').all()) if (await summary.isVisible()) await summary.click();
      const { out, looked } = await silent(page);
      assert.deepEqual(out, [], hash);
      assert.ok(looked > least, `${hash}: only ${looked} numbers`);
      clean(page);
      await page.close();
    }
  },
  'a source is shown by pointer, by key and by touch, and goes away': async () => {
    const page = await open(BOARD), note = page.locator('#source-note'), cell = page.locator('#board .checks td').first();
    await cell.hover();
    await note.waitFor({ state: 'visible' });
    assert.match(await note.innerText(), /point mass/);
    await keep(page, 'source-note');
    // The pointer may go onto the note; away from both it goes.
    await note.hover();
    await page.waitForTimeout(400);
    assert.ok(await note.isVisible());
    await page.mouse.move(600, 20);
    await note.waitFor({ state: 'hidden' });
    // By key: the table is one stop, the arrows lead from number to number.
    await page.locator('#board .play [data-step="1"]').focus();
    for (let i = 0; i < 60; i++) {
      await page.keyboard.press('Tab');
      if (await page.evaluate(() => document.activeElement.tagName === 'TD')) break;
    }
    assert.ok(await note.isVisible(), 'no note under the focus');
    assert.equal(await page.evaluate(() => document.activeElement.getAttribute('aria-describedby')), 'source-note');
    const before = await page.locator('#board .dial').getAttribute('aria-valuetext');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    assert.match(await note.innerText(), /Indicated airspeed/);
    assert.equal(await page.locator('#board .dial').getAttribute('aria-valuetext'), before, 'the arrows moved the dial too');
    await page.keyboard.press('Escape');
    await note.waitFor({ state: 'hidden' });
    clean(page);
    await page.close();
    const flight = await open('#flight?flight=demo&attempt=3', { waits: 'flight' });
    await flight.locator('#flight .measured').first().focus();
    await flight.keyboard.press('Shift+Tab');
    await flight.keyboard.press('Tab');
    await flight.locator('#source-note').waitFor({ state: 'visible' });
    assert.match(await flight.locator('#source-note').innerText(), /95 %[\s\S]*Tolerance:/);
    clean(flight);
    await flight.close();
  },
});
