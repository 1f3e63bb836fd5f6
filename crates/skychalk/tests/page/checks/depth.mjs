// The picture from outside: drawn with depth where the browser can, flat where it cannot, on paper and in files.
import { readFileSync } from 'node:fs';

/** Waits until a stage is drawn one way or the other. */
const drawn = (page, how, view = 'board') => page.waitForFunction(([how, view]) => document.querySelector(`#${view} .spatial`)?.dataset.drawn === how, [how, view], { timeout: 20000 });

/** What the user sees of the picture: pixels of red, green, blue, alpha, one after the other; without the words above it when asked. */
async function pixels(page, bare = false, view = 'board') {
  const box = page.locator(`#${view} .spatial`), sheet = box.locator('svg');
  if (bare) await sheet.evaluate(svg => { svg.style.visibility = 'hidden'; });
  const png = await box.screenshot();
  if (bare) await sheet.evaluate(svg => { svg.style.visibility = ''; });
  return decoded(page, png);
}
const decoded = async (page, png) => {
  const { width, height, text } = await page.evaluate(async base64 => {
    const image = await createImageBitmap(new Blob([Uint8Array.from(atob(base64), one => one.charCodeAt(0))], { type: 'image/png' })), canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [image.width, image.height];
    const context = canvas.getContext('2d');
    context.drawImage(image, 0, 0);
    const { data } = context.getImageData(0, 0, image.width, image.height);
    let text = '';
    for (let i = 0; i < data.length; i += 8192) text += String.fromCharCode(...data.subarray(i, i + 8192));
    return { width: image.width, height: image.height, text: btoa(text) };
  }, png.toString('base64'));
  return { width, height, data: Buffer.from(text, 'base64') };
};
const apart = (a, i, b, j) => Math.abs(a[i] - b[j]) + Math.abs(a[i + 1] - b[j + 1]) + Math.abs(a[i + 2] - b[j + 2]);
/** Pixels that differ between two pictures. */
const differing = (a, b) => { let count = 0; for (let i = 0; i < a.data.length; i += 4) if (apart(a.data, i, b.data, i) > 24) count++; return count; };
/** Pixels within a little of a color. */
const colored = ({ data }, color, most = 40) => { let count = 0; for (let i = 0; i < data.length; i += 4) if (apart(data, i, color, 0) < most) count++; return count; };
const REFERENCE = [0x8f, 0xd0, 0xf5], GROUND = [0x1d, 0x26, 0x2a];

export default ({ assert, BOARD, chromium, open, ARGUMENTS, all: { keep, clean, settled } }) => ({
  'the picture from outside is drawn with depth, moves with the clock and turns with the eye': async () => {
    const page = await open(BOARD);
    await drawn(page, 'depth');
    await page.keyboard.press('Home');
    const first = await pixels(page, true), all = first.width * first.height, painted = all - colored(first, GROUND, 12);
    assert.ok(painted > 0.03 * all, `${painted} of ${all} pixels are painted`);
    assert.ok(colored(first, REFERENCE) > 300, `${colored(first, REFERENCE)} pixels in the color of the reference`);
    const begin = await pixels(page);
    await page.keyboard.press('PageDown');
    await page.keyboard.press('PageDown');
    assert.ok(differing(begin, await pixels(page)) > 30, 'the airplane does not move');
    assert.equal(differing(first, await pixels(page, true)), 0, 'what stands is drawn anew when the clock moves');
    // By key, by hand, by wheel, by button; and back.
    for (const [name, act] of [['key', () => page.keyboard.press('.')], ['wheel', async () => { const box = await page.locator('#board .spatial').boundingBox(); await page.mouse.move(box.x + 100, box.y + 120); await page.keyboard.down('Control'); await page.mouse.wheel(0, -300); await page.keyboard.up('Control'); }],
      ['hand', async () => { await page.mouse.down(); await page.mouse.move(200, 320, { steps: 4 }); await page.mouse.up(); }]]) {
      const before = await pixels(page, true);
      await act();
      await page.waitForTimeout(150);
      assert.ok(differing(before, await pixels(page, true)) > 400, `nothing moves by ${name}`);
    }
    await page.keyboard.press('1');
    await page.getByRole('button', { name: 'as at first' }).click();
    assert.match(await page.locator('#board [data-picture=outside] .drawn').innerText(), /with depth/);
    await keep(page, 'outside-depth');
    await page.keyboard.press('Escape');
    await page.waitForTimeout(150);
    assert.ok(differing(first, await pixels(page, true)) < 40, 'not as at first');
    clean(page);
    await page.close();
  },
  'nearer bands hide farther ones, whatever the order': async () => {
    const page = await open(BOARD);
    await drawn(page, 'depth');
    const seen = await page.evaluate(async () => {
      const { Depth } = await import('/pictures/depth.js'), { hiding } = await import('/pictures/flat.js'), { camera } = await import('/pictures/camera.js');
      const box = document.createElement('div'), canvas = document.createElement('canvas'), sheet = document.querySelector('#board .spatial svg');
      box.append(canvas);
      document.body.append(box);
      const depth = Depth.on(canvas, sheet);
      // Two flat bands one above the other; the eye looks from above.
      const band = (up, name) => ({ kind: 'strip', name, edges: [-100, 0, 100].map(along => [[along, -60, up], [along, 60, up]]) });
      const sight = { middle: [0, 0, 0], size_m: 300, turn_deg: 0, tilt_deg: 80, seen: [[-150, -150, 0], [150, 150, 0]] }, orbit = { turn: 0, tilt: 0 };
      const out = {};
      for (const [name, air] of [['high first', [band(40, 'ribbon attempt'), band(-40, 'ribbon reference')]], ['high last', [band(-40, 'ribbon reference'), band(40, 'ribbon attempt')]]]) {
        depth.set({ ground: [], air, sight }, orbit);
        const picture = depth.picture(1);
        out[name] = [...picture.getContext('2d').getImageData(152, 131, 1, 1).data];
      }
      const hides = hiding([band(40, 'ribbon attempt')], camera(sight, orbit), 5);
      out.below = hides([0, 0, 0]);
      out.above = hides([0, 0, 80]);
      out.aside = hides([0, 140, 0]);
      // Scenes come and go: nothing is left behind.
      const held = [];
      for (let i = 0; i < 40; i++) {
        depth.set({ ground: [], air: [band(40 + i, 'ribbon attempt'), { kind: 'line', name: 'stroke reference', points: Array.from({ length: 20 + i }, (_, k) => [k, i, 0]) }], sight: { ...sight } }, orbit);
        depth.render();
        held.push(depth.renderer.info.memory.geometries);
      }
      out.held = [held[4], held.at(-1)];
      depth.restyle();
      depth.dispose();
      out.left = depth.renderer.info.memory.geometries;
      box.remove();
      return out;
    });
    const [high, low] = [seen['high first'], seen['high last']];
    assert.deepEqual(high, low, 'the order decides');
    assert.ok(high[0] > high[2], `the higher band, in the color of an attempt, is hidden: ${high}`);
    assert.deepEqual([seen.below, seen.above, seen.aside], [true, false, false]);
    assert.equal(seen.held[1], seen.held[0], 'geometries pile up');
    assert.equal(seen.left, 0, 'geometries are left behind');
    clean(page);
    await page.close();
  },
  'files and paper have the whole picture': async () => {
    const page = await open(BOARD);
    await drawn(page, 'depth');
    for (const key of ['Home', 'PageDown', '1']) await page.keyboard.press(key);
    const save = async format => {
      const [file] = await Promise.all([page.waitForEvent('download'), page.locator(`#board [data-picture=outside] [data-save=${format}]`).click()]);
      return readFileSync(await file.path());
    };
    const svg = (await save('svg')).toString();
    for (const part of ['<style', 'class="ribbon reference top"', 'class="stroke reference"', 'class="shadow reference"', 'class="airplane now"', 'class="grid"', '180°']) assert.ok(svg.includes(part), `no ${part} in the file`);
    assert.ok(!/NaN|undefined/.test(svg), 'numbers that are none');
    const png = await decoded(page, await save('png'));
    // The sheet, 304 by 246, and below it what it shows and the caution.
    const [, wide, tall] = /viewBox="0 0 (\d+) ([\d.]+)"/.exec(svg).map(Number);
    assert.ok(wide === 304 && tall > 246 + 3 * 9, `${wide} by ${tall}`);
    assert.ok(png.width === 1216 && Math.abs(png.height - 4 * tall) <= 4, `${png.width} by ${png.height}`);
    const words = svg.replace(/<style>[^]*<\/style>/, '').replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ');
    for (const part of ['Outside. Chandelle, right, Plover 160, 930 kg, entry 4,500 ft, wind 240/14 kt.', 'Training aid, not approved data.', 'Area, traffic, weather']) assert.ok(words.includes(part), words.slice(-400));
    assert.ok(colored(png, REFERENCE) > 3000, `${colored(png, REFERENCE)} pixels in the color of the reference`);
    assert.ok(colored(png, GROUND, 12) > 0.5 * png.width * png.height, 'not on the ground of the page');
    await page.evaluate(() => { document.documentElement.dataset.theme = 'paper'; });
    const day = await decoded(page, await save('png'));
    assert.ok(colored(day, [0xfc, 0xfb, 0xf7], 12) > 0.5 * day.width * day.height, 'not on the ground of the day');
    await page.evaluate(() => { document.documentElement.dataset.theme = 'board'; });
    await page.keyboard.press('Escape');
    const shapes = () => page.locator('#board [data-picture=outside] .still .ribbon').count();
    assert.equal(await shapes(), 0);
    await page.emulateMedia({ media: 'print' });
    await page.waitForFunction(() => document.querySelectorAll('#board [data-picture=outside] .still .ribbon').length > 20);
    assert.ok(await page.locator('#board .spatial canvas').isHidden());
    await page.emulateMedia({ media: 'screen' });
    await drawn(page, 'depth');
    assert.equal(await shapes(), 0);
    clean(page);
    await page.close();
  },
  'a picture that leaves the page says which stroke is whose': async () => {
    const page = await open(BOARD);
    await drawn(page, 'depth');
    const told = async (mode, id) => {
      await page.locator(`#board .sides [data-mode=${mode}]`).click();
      const box = page.locator(`#board [data-picture=${id}]`);
      await box.locator('.enlarge').click();
      const [file] = await Promise.all([page.waitForEvent('download'), box.locator('[data-save=svg]').click()]);
      const svg = readFileSync(await file.path()).toString();
      await page.keyboard.press('Escape');
      return [...svg.matchAll(/class="stroke (\w+)"[^>]*(?:\/>|><\/line>)<text[^>]*class="t foot"[^>]*>([^<]*)/g)].map(found => found.slice(1).join(': '));
    };
    assert.deepEqual(await told('mirrored', 'nose'), ['reference: right', 'other: left, mirrored']);
    assert.deepEqual(await told('mirrored', 'outside'), ['reference: right', 'other: left, mirrored']);
    assert.deepEqual(await told('both', 'curves'), ['reference: right', 'other: left']);
    // They stand beside each other there, each with its name.
    assert.deepEqual(await told('both', 'plan'), []);
    assert.deepEqual(await told('left', 'nose'), []);
    clean(page);
    await page.close();
  },
  'a graphics processor that is taken away leaves the flat picture': async () => {
    const page = await open(BOARD);
    await drawn(page, 'depth');
    await page.evaluate(() => { window.taken = document.querySelector('#board .spatial canvas').getContext('webgl2').getExtension('WEBGL_lose_context'); window.taken.loseContext(); });
    await drawn(page, 'flat');
    assert.ok(await page.locator('#board [data-picture=outside] .still .ribbon').count() > 20);
    await page.keyboard.press('PageDown');
    await page.evaluate(() => window.taken.restoreContext());
    await drawn(page, 'depth');
    const now = await pixels(page, true);
    assert.ok(colored(now, REFERENCE) > 300, 'not drawn again');
    clean(page);
    await page.close();
  },
  'without depth the page works, and says so': async () => {
    const bare = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: [...ARGUMENTS, '--disable-3d-apis'] });
    const context = await bare.newContext(), page = await open(BOARD, { context });
    await drawn(page, 'flat');
    assert.ok(await page.locator('#board [data-picture=outside] .still .ribbon').count() > 20);
    const before = await pixels(page);
    await page.keyboard.press('.');
    await page.keyboard.press('+');
    assert.ok(differing(before, await pixels(page)) > 400, 'it does not turn');
    await page.keyboard.press('1');
    assert.match(await page.locator('#board [data-picture=outside] .drawn').innerText(), /no depth/);
    await keep(page, 'outside-flat');
    await settled(page);
    await page.keyboard.press('b');
    clean(page);
    await bare.close();
  },
  'the themes paint the picture with depth': async () => {
    const page = await open(BOARD);
    await drawn(page, 'depth');
    for (const [theme, reference, ground] of [['paper', [0x00, 0x54, 0x9a], [0xfc, 0xfb, 0xf7]], ['projector', [0xa8, 0xdd, 0xff], [0, 0, 0]], ['board', REFERENCE, GROUND]]) {
      await page.locator('#theme').selectOption(theme);
      await page.waitForTimeout(200);
      const now = await pixels(page, true);
      assert.ok(colored(now, reference) > 300, `${theme}: ${colored(now, reference)} pixels in the color of the reference`);
      assert.ok(colored(now, ground, 12) > 0.4 * now.width * now.height, `${theme}: another ground`);
    }
    clean(page);
    await page.close();
  },
});
