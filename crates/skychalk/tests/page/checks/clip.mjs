// The clip: recorded by the browser, with captions, in true time or slower, one side or both.
export default ({ all: { clean }, assert, BOARD, open }) => ({
  'a clip is recorded with its captions': async () => {
    const page = await open(BOARD);
    const clip = await page.evaluate(async () => {
      const { recordClip } = await import('/parts/clip.js');
      const { sceneOfBrief } = await import('/views/scene.js');
      const brief = await (await fetch('/api/brief?maneuver=accelerated-stall&airplane=plover-160&height=4500ft&fit=no')).json();
      const maneuver = (await (await fetch('/api/maneuvers')).json()).maneuvers.find(one => one.id === brief.maneuver);
      const side = brief.sides[0], scene = sceneOfBrief(brief, maneuver, side.direction);
      const said = side.patter.filter(line => line.voice === 'monitoring');
      const { video, captions } = await recordClip({ scenes: [{ scene, said, title: maneuver.title }], look: { seat: 'left', orbit: { turn: 0, tilt: 0 } }, rate: 8, burn: true });
      const head = [...new Uint8Array(await video.slice(0, 4).arrayBuffer())];
      const player = document.createElement('video');
      player.src = URL.createObjectURL(video);
      await new Promise((done, failed) => { player.onloadeddata = done; player.onerror = () => failed(new Error('the clip does not play')); });
      return { size: video.size, head, captions, said: said.map(line => line.text), wide: player.videoWidth };
    });
    assert.deepEqual(clip.head, [0x1a, 0x45, 0xdf, 0xa3], 'no WebM');
    assert.ok(clip.size > 20000 && clip.wide === 1280, `${clip.size} bytes, ${clip.wide} wide`);
    assert.match(clip.captions, /^WEBVTT\n\n00:00:0/);
    for (const words of clip.said) assert.ok(clip.captions.includes(words), words);
    clean(page);
    await page.close();
  },
  'a clip shows one side after the other, and slower': async () => {
    const page = await open(BOARD);
    const clip = await page.evaluate(async () => {
      const { cuesOf, recordClip } = await import('/parts/clip.js');
      const { sceneOfBrief } = await import('/views/scene.js');
      const brief = await (await fetch('/api/brief?maneuver=climbing-turn&airplane=plover-160&height=4500ft&fit=no')).json();
      const maneuver = (await (await fetch('/api/maneuvers')).json()).maneuvers.find(one => one.id === brief.maneuver);
      const scenes = ['left', 'right'].map(way => {
        const side = brief.sides.find(one => one.direction === way);
        return { scene: sceneOfBrief(brief, maneuver, way), said: side.patter.filter(line => line.voice === 'monitoring'), title: way };
      });
      const { scene, said } = scenes[0], seconds = scene.flights[0].seconds, spans = [1, 0.5].map(rate => cuesOf(said, seconds, rate));
      const { captions, video } = await recordClip({ scenes, look: { seat: 'left', orbit: { turn: 0, tilt: 0 } }, rate: 16, burn: false });
      return { captions, size: video.size, said: scenes.map(one => one.said.map(line => line.text)), seconds, totals: spans.map(({ total }) => total), starts: spans.map(({ cues }) => cues.map(({ from }) => from)), before: spans[0].before,
        whole: scenes.reduce((sum, one) => sum + cuesOf(one.said, one.scene.flights[0].seconds, 16).total, 0) };
    });
    // Twice as long in the air; what is said before and after is said at the same rate.
    assert.ok(Math.abs(clip.totals[1] - clip.totals[0] - clip.seconds) < 1e-6, `${clip.totals}, ${clip.seconds} s flown`);
    clip.starts[0].forEach((from, i) => { if (from > clip.before) assert.ok(Math.abs(clip.starts[1][i] - clip.before - 2 * (from - clip.before)) < 1e-6, `caption ${i}`); });
    // One after the other: the second side's words stand after the first's.
    const stamps = [...clip.captions.matchAll(/(\d+):(\d+):([\d.]+) --> (\d+):(\d+):([\d.]+)/g)].map(found => found.slice(1).map(Number));
    const starts = stamps.map(([h, m, s]) => 3600 * h + 60 * m + s), ends = stamps.map(([, , , h, m, s]) => 3600 * h + 60 * m + s);
    assert.ok(starts.every((from, i) => i === 0 || from >= starts[i - 1] - 1e-9), clip.captions);
    assert.ok(ends.at(-1) <= clip.whole + 1e-3 && starts.at(-1) > clip.whole / 2, `${starts.at(-1)} of ${clip.whole} s`);
    for (const words of clip.said.flat()) assert.ok(clip.captions.includes(words), words);
    assert.ok(clip.size > 10000, `${clip.size} bytes`);
    // By hand: half speed, both sides, and stopped.
    const box = page.locator('#board .clip');
    await box.locator('[name=clip-sides]').selectOption('each');
    await box.locator('[name=clip-rate]').selectOption('0.5');
    await box.locator('#record').click();
    await page.waitForFunction(() => /recording, [1-9]/.test(document.querySelector('#recorded').textContent));
    await box.locator('#record-stop').click();
    await page.waitForFunction(() => document.querySelector('#recorded').textContent === 'Stopped.');
    assert.ok(await box.locator('#record').isEnabled());
    clean(page);
    await page.close();
  },
});
