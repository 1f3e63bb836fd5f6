// Markup as text. Everything that comes from outside goes through `escape`; numbers go through `n`.

/** @type {Record<string, string>} */
const ENTITIES = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };
/** @param {unknown} text */
export const escape = text => String(text ?? '').replace(/[&<>"']/g, character => ENTITIES[character]);

/** A coordinate, short. @param {number} value */
export const n = value => (Math.abs(value) < 0.05 || !Number.isFinite(value) ? '0' : String(Math.round(value * 10) / 10));

/** @typedef {[number, number]} Point */
/** @param {Point[]} points */
const list = points => points.map(([x, y]) => `${n(x)},${n(y)}`).join(' ');
/** @param {Point[]} points @param {string} name */
export const line = (points, name) => `<polyline class="${name}" points="${list(points)}"/>`;
/** @param {Point[]} points @param {string} name */
export const area = (points, name) => `<polygon class="${name}" points="${list(points)}"/>`;
/** @param {Point} a @param {Point} b @param {string} name */
export const seg = (a, b, name) => `<line class="${name}" x1="${n(a[0])}" y1="${n(a[1])}" x2="${n(b[0])}" y2="${n(b[1])}"/>`;
/** @param {number} x @param {number} y @param {string} words @param {string} [name] @param {'start' | 'middle' | 'end'} [anchor] */
export const label = (x, y, words, name = 't', anchor = 'start') =>
  `<text class="${name}" x="${n(x)}" y="${n(y)}"${anchor === 'start' ? '' : ` text-anchor="${anchor}"`}>${escape(words)}</text>`;
/** @param {number} x @param {number} y @param {number} r @param {string} name */
export const circle = (x, y, r, name) => `<circle class="${name}" cx="${n(x)}" cy="${n(y)}" r="${n(r)}"/>`;
/** @param {number} x @param {number} y @param {number} w @param {number} h @param {string} name @param {number} [r] */
export const rect = (x, y, w, h, name, r = 0) =>
  `<rect class="${name}" x="${n(x)}" y="${n(y)}" width="${n(Math.max(0, w))}" height="${n(Math.max(0, h))}"${r ? ` rx="${r}"` : ''}/>`;

/** A chalk stroke: a wide faint pass under a crisp one. @param {string} role */
export const strokes = role => [...(role === 'reflight' || role === 'other' ? [] : [`dust ${role}`]), `stroke ${role}`];
/** @param {Point[]} points @param {string} role */
export const chalk = (points, role) => strokes(role).map(name => line(points, name)).join('');

/** A limit: a line with short posts on the forbidden side. @param {Point[]} points @param {boolean} [above] */
export function fence(points, above = false) {
  let posts = '', walked = 0, next = 0;
  for (let i = 1; i < points.length; i++) {
    const [x0, y0] = points[i - 1], [x1, y1] = points[i], length = Math.hypot(x1 - x0, y1 - y0);
    for (; next < walked + length; next += 8) {
      const k = (next - walked) / length;
      posts += `M${n(x0 + k * (x1 - x0))} ${n(y0 + k * (y1 - y0))}l-3 ${above ? -5 : 5}`;
    }
    walked += length;
  }
  return line(points, 'limit') + `<path class="limit posts" d="${posts}"/>`;
}

/** @type {Record<string, string>} */
const SIGNS = {
  met: '<circle cx="10" cy="10" r="8.5"/><path d="M6 10.3l2.8 2.8 5.2-6"/>',
  'not met': '<path d="M4 4l12 12M16 4L4 16"/>',
  'cannot tell': '<circle cx="10" cy="10" r="8.5" stroke-dasharray="3 3.6"/><path d="M5.5 10q2.2-3 4.5 0t4.5 0"/>',
  yours: '<rect x="2.5" y="2.5" width="15" height="15" rx="2"/>',
  warn: '<path d="M1 7h18M5 7l-3 7M10 7l-3 7M15 7l-3 7M19 8l-2.6 6"/>',
};
/** @param {string} verdict */
export const sign = verdict => `<svg class="glyph${verdict === 'not met' || verdict === 'warn' ? ' c-limit' : ''}" viewBox="0 0 20 20" aria-hidden="true">${SIGNS[verdict] ?? ''}</svg>`;
/** @param {string} verdict */
export const signShapes = verdict => SIGNS[verdict] ?? '';

/** A table. Cells are markup. @param {string[]} head @param {string[][]} rows @param {string} [caption] @param {string} [name] @param {string} [source] where its numbers come from */
export const table = (head, rows, caption = '', name = '', source = '') =>
  `<table class="${name}"${source ? ` data-source="${escape(source)}"` : ''}>${caption ? `<caption>${escape(caption)}</caption>` : ''}<thead><tr>${head.map(cell => `<th scope="col">${cell}</th>`).join('')}</tr></thead><tbody>${
    rows.map(row => `<tr>${row.map((cell, i) => (i ? `<td>${cell}</td>` : `<th scope="row">${cell}</th>`)).join('')}</tr>`).join('')}</tbody></table>`;

/** @param {string} markup @returns {HTMLElement} */
export function element(markup) {
  const holder = document.createElement('template');
  holder.innerHTML = markup.trim();
  return /** @type {HTMLElement} */ (holder.content.firstElementChild);
}
/** @param {string} selector @param {ParentNode} [within] @returns {any} */
export const find = (selector, within = document) => within.querySelector(selector);
/** @param {string} selector @param {ParentNode} [within] @returns {any[]} */
export const all = (selector, within = document) => [...within.querySelectorAll(selector)];

/** What was written into a box. @type {WeakMap<Element, string>} */
const written = new WeakMap();
/** Writes into a box what is not there already: the focus of whoever reads in it stays. @param {Element} box @param {string} html */
export function write(box, html) {
  if (written.get(box) === html) return;
  box.innerHTML = html;
  written.set(box, html);
}
