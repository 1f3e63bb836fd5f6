// The guides: their steps can be gone, and their pictures are what the page shows.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

/** Pixels of a cell in which two pictures are compared, how far apart its mean may be (of 255), and the share of cells that may be farther. */
const CELL = 12, APART = 10, SHARE = 0.003;

export default ({ all: { clean }, assert, BOARD, open, repository, shots }) => {
  /** Whether the picture of a guide is another than the one just taken. */
  async function differs(page, name, bytes) {
    const kept = readFileSync(join(repository, 'docs/guides/images', `${name}.jpg`));
    const share = await page.evaluate(async ([one, other, cell, apart]) => {
      const cells = async bytes => {
        const picture = new Image();
        picture.src = `data:image/jpeg;base64,${bytes}`;
        await picture.decode();
        const canvas = document.createElement('canvas'), context = canvas.getContext('2d');
        [canvas.width, canvas.height] = [Math.ceil(picture.width / cell), Math.ceil(picture.height / cell)];
        context.imageSmoothingQuality = 'high';
        context.drawImage(picture, 0, 0, canvas.width, canvas.height);
        return context.getImageData(0, 0, canvas.width, canvas.height).data;
      };
      const [a, b] = [await cells(one), await cells(other)];
      if (a.length !== b.length) return 1;
      let far = 0;
      for (let i = 0; i < a.length; i += 4) far += Number(Math.max(...[0, 1, 2].map(k => Math.abs(a[i + k] - b[i + k]))) > apart);
      return far / (a.length / 4);
    }, [bytes.toString('base64'), kept.toString('base64'), CELL, APART]);
    console.log(`   ${name}: ${(100 * share).toFixed(2)} % of it differs from the guide's`);
    return share > SHARE ? [name] : [];
  }
  return {
  'the steps of the guides': async () => {
    // Written to `docs/guides/images` when asked; else they stand among the screenshots, and those in the guides must look like them.
    const shot = async (page, name) => {
      const bytes = await page.screenshot({ path: join(process.env.PAGE_GUIDES ?? shots, `${name}.jpg`), type: 'jpeg', quality: 82 });
      if (!process.env.PAGE_GUIDES) old.push(...await differs(page, name, bytes));
    };
    const old = [], size = { width: 1180, height: 760 };
    const brief = await open(BOARD, size);
    if (await brief.locator('#day').isHidden()) await brief.keyboard.press('d');
    await brief.keyboard.press('PageDown');
    await brief.keyboard.press('PageDown');
    assert.equal(await brief.locator('#board .verdict').innerText(), 'within computed limits');
    assert.ok(await brief.getByText('yours to check').count() > 3);
    assert.ok(await brief.getByText('page that prints').first().isVisible());
    await shot(brief, 'first-brief');
    await brief.keyboard.press('d');
    await brief.keyboard.press('m');
    for (const key of ['Home', 'PageDown', 'PageDown', 'PageDown']) await brief.keyboard.press(key);
    await shot(brief, 'teaching-with-the-board');
    clean(brief);
    // As on a first day: what others chose is not in the pictures.
    await brief.evaluate(() => localStorage.clear());
    await brief.close();
    const flight = await open('#flight', { ...size, waits: 'started' });
    await flight.locator('#open-demo').click();
    await flight.waitForFunction(() => document.documentElement.dataset.flight);
    await flight.locator('#flight .attempts button').nth(2).click();
    assert.match(await flight.locator('#flight .attempts button').nth(2).innerText(), /3 Chandelle left\s*, not met/);
    await flight.waitForFunction(() => document.querySelector('#flight .pedal'));
    for (const key of ['PageDown', 'PageDown']) await flight.keyboard.press(key);
    await shot(flight, 'first-debrief');
    await flight.locator('#told-toggle').click();
    await flight.locator('#flight [name=files]').setInputFiles({ name: 'speeds.csv', mimeType: 'text/csv', buffer: Buffer.from('latitude_deg,longitude_deg,height_msl_m,ias_kt,bank_deg\n47.1,-31.4,800,80,-10\n47.1001,-31.4,801,81,-11\n47.1002,-31.4,802,82,-12\n') });
    await flight.waitForSelector('#flight .opened [data-flight]:has-text("speeds.csv (not read)")');
    assert.match(await flight.locator('#flight .state').innerText(), /“time between rows”/);
    await shot(flight, 'my-own-recording');
    clean(flight);
    await flight.close();
    assert.deepEqual(old, [], 'pictures in the guides are not what the page shows now: take them anew with PAGE_GUIDES=docs/guides/images');
  },
  };
};
