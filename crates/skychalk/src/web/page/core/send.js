// Sending recordings, with progress and a way to stop.
import { Refused } from './api.js';

/** @param {string} path @param {Blob} body @param {{ signal: AbortSignal, progress: (share: number) => void }} how @returns {Promise<any>} */
export function send(path, body, { signal, progress }) {
  return new Promise((done, failed) => {
    const request = new XMLHttpRequest();
    const stop = () => request.abort();
    request.open('POST', path);
    request.responseType = 'json';
    request.upload.addEventListener('progress', event => progress(event.lengthComputable ? event.loaded / event.total : 0));
    request.addEventListener('load', () => {
      signal.removeEventListener('abort', stop);
      if (request.status === 200 && request.response) return done(request.response);
      failed(new Refused(request.response?.error ?? `The program answered ${request.status}.`, request.response?.hint ?? 'Try again.', request.status, request.response?.recordings));
    });
    request.addEventListener('error', () => failed(new Refused('The recording did not get through.', 'The program was stopped, or the file is larger than it takes.', 0)));
    request.addEventListener('abort', () => failed(new Refused('Stopped.', 'The rest is as it was.', 0)));
    signal.addEventListener('abort', stop);
    request.send(body);
  });
}

/** Files of a drop, those in folders too. @param {DataTransfer} data @returns {Promise<File[]>} */
export async function filesOf(data) {
  const entries = [...data.items].map(item => (item.kind === 'file' ? item.webkitGetAsEntry?.() : null)).filter(entry => entry !== null && entry !== undefined);
  if (!entries.length) return [...data.files];
  return (await Promise.all(entries.map(walk))).flat();
}
/** @param {any} entry @returns {Promise<File[]>} */
async function walk(entry) {
  if (entry.isFile) return [await new Promise((done, failed) => entry.file(done, failed))];
  const reader = entry.createReader(), out = /** @type {File[]} */ ([]);
  for (;;) {
    /** @type {any[]} */
    const batch = await new Promise((done, failed) => reader.readEntries(done, failed));
    if (!batch.length) return out;
    for (const inner of batch) out.push(...await walk(inner));
  }
}
