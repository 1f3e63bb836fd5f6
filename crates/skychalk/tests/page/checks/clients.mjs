// Clients that are slow, or do not speak as they should: let go in time, and nobody else waits for them.
import { connect } from 'node:net';

/** A connection that says something and then waits. */
function says(address, words) {
  const { hostname, port } = new URL(address), socket = connect(Number(port), hostname);
  const begun = performance.now(), closed = new Promise(done => socket.on('close', () => done((performance.now() - begun) / 1000)));
  let heard = '';
  socket.on('data', data => { heard += data; });
  socket.on('error', () => {});
  socket.write(words);
  return { socket, closed, heard: () => heard };
}

export default ({ address, assert, lesson }) => ({
  'slow clients are let go and keep nobody waiting': async () => {
    const half = Array.from({ length: 200 }, () => says(address, 'GET / HTTP/1.1\r\nHost: local'));
    // Half a recording at once, then a byte a second.
    const { host } = new URL(address), drip = says(address, `POST /api/debrief?name=slow.csv HTTP/1.1\r\nHost: ${host}\r\nContent-Length: ${lesson.length}\r\n\r\n`);
    drip.socket.write(lesson.subarray(0, lesson.length / 2));
    const dripping = setInterval(() => drip.socket.write('1'), 1000);
    const waits = [];
    for (let i = 0; i < 10; i++) {
      const start = performance.now(), answer = await fetch(`${address}api/maneuvers`);
      assert.equal(answer.status, 200);
      await answer.text();
      waits.push(performance.now() - start);
    }
    console.log(`   beside 201 slow clients: ${Math.max(...waits).toFixed(0)} ms at most`);
    assert.ok(Math.max(...waits) < 2000, `${waits}`);
    const times = await Promise.race([Promise.all(half.map(({ closed }) => closed)), new Promise((_, failed) => setTimeout(() => failed(new Error('half a head is still waited for after 30 s')), 30000))]);
    console.log(`   let go after ${Math.min(...times).toFixed(1)} to ${Math.max(...times).toFixed(1)} s`);
    assert.ok(Math.min(...times) > 5, 'let go too soon for a slow line');
    clearInterval(dripping);
    drip.socket.destroy();
    assert.equal((await fetch(`${address}api/maneuvers`)).status, 200);
  },
  'what is no request is refused and the server goes on': async () => {
    const { host } = new URL(address);
    const bad = [['\x16\x03\x01\x02\x00\x01\x00', ''], [`GET / HTTP/1.1\r\nHost: ${host}\r\nX: ${'a'.repeat(600000)}\r\n\r\n`, ' 4'],
      [`GET / HTTP/1.1\r\nHost: another.example\r\n\r\n`, ' 4'], [`POST /api/debrief?name=a.csv HTTP/1.1\r\nHost: ${host}\r\nOrigin: http://another.example\r\nContent-Length: 1\r\n\r\nx`, ' 403']];
    for (const [words, status] of bad) {
      const { socket, closed, heard } = says(address, words);
      await Promise.race([closed, new Promise(done => setTimeout(done, 3000))]);
      const head = heard().split('\r\n')[0];
      assert.ok(head.includes(status), `${JSON.stringify(words.slice(0, 40))}: ${head || 'no answer'}`);
      socket.destroy();
    }
    assert.equal((await fetch(`${address}api/maneuvers`)).status, 200);
  },
});
