// Keeping things: a picture as SVG or PNG, anything as a file.
import { all, escape, find, n, seg } from '../core/markup.js';

/** @param {Blob} blob @param {string} name */
export function saveBlob(blob, name) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** Rules of the page that a picture needs when it stands alone. */
export async function rules() {
  const theme = document.documentElement.dataset.theme ?? 'board';
  const sheets = await Promise.all(['style/tokens.css', 'style/pictures.css'].map(async path => (await fetch(path)).text()));
  const text = sheets.join('\n').replace(/@font-face\s*{[^}]*}/g, '').replace(/@media print\s*{[\s\S]*?\n}\n/g, '');
  return theme === 'board' ? text : text.replaceAll(`[data-theme="${theme}"]`, ':root');
}

/** Under a picture that stands alone: the height of a line, units of the sheet, and its letters. */
const FOOT_TALL = 9;
const FOOT_LETTERS = 72;
/** @param {string} words */
function wrapped(words) {
  const out = [''];
  for (const word of words.split(/\s+/)) {
    if (out[out.length - 1].length + word.length >= FOOT_LETTERS) out.push(word);
    else out[out.length - 1] += ` ${word}`;
  }
  return out.map(row => row.trim());
}

/** Samples of the strokes beside each other, each with whose it is. @param {{ stroke: string, words: string }[]} strokes @param {number} width of the sheet @param {number} y */
const legend = (strokes, width, y) => strokes.map(({ stroke, words }, i) => {
  const x = 2 + (i * width) / strokes.length;
  return `${seg([x, y - 2.5], [x + 22, y - 2.5], `stroke ${stroke}`)}<text class="t foot" x="${n(x + 26)}" y="${n(y)}">${escape(words)}</text>`;
}).join('');

/** The font of the page for a file that stands alone. */
async function fontRule() {
  const bytes = new Uint8Array(await (await fetch('font.woff2')).arrayBuffer());
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return `@font-face { font-family: "Atkinson Hyperlegible Next"; src: url("data:font/woff2;base64,${btoa(text)}") format("woff2"); font-weight: 200 800; }`;
}

/** The picture as a file of its own, drawn with the rules of the page, over what it shows and the caution. @param {SVGSVGElement} picture
 * @param {string} about what it shows @param {{ stroke: string, words: string }[]} strokes which stroke is whose @param {boolean} [ground] whether on the ground of the page */
export async function standalone(picture, about, strokes, ground = true) {
  const copy = /** @type {SVGSVGElement} */ (picture.cloneNode(true)), { width, height } = picture.viewBox.baseVal;
  const foot = [...wrapped(about), ...wrapped(find('.tray .say').textContent)], words = height + (strokes.length ? FOOT_TALL * 1.3 : 0), tall = words + FOOT_TALL * (foot.length + 0.6);
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  copy.setAttribute('viewBox', `0 0 ${width} ${n(tall)}`);
  copy.setAttribute('width', String(width * 3));
  copy.setAttribute('height', String(Math.round(tall * 3)));
  copy.insertAdjacentHTML('beforeend', legend(strokes, width, height + FOOT_TALL));
  foot.forEach((row, i) => copy.insertAdjacentHTML('beforeend', `<text class="t foot" x="2" y="${n(words + FOOT_TALL * (i + 1))}">${escape(row)}</text>`));
  const style = document.createElementNS('http://www.w3.org/2000/svg', 'style');
  style.textContent = `${await fontRule()}\n${await rules()}\nsvg { ${ground ? 'background: var(--ground); ' : ''}font-family: var(--font); } .foot { font-size: 8px; }`;
  copy.prepend(style);
  return new XMLSerializer().serializeToString(copy);
}

/** @param {SVGSVGElement} picture @param {string} about what it shows @param {{ stroke: string, words: string }[]} strokes which stroke is whose @param {string} name @param {string} format @param {HTMLCanvasElement | null} [under] what lies under it, already painted */
export async function savePicture(picture, about, strokes, name, format, under = null) {
  const text = await standalone(picture, about, strokes, !under), svg = new Blob([text], { type: 'image/svg+xml' });
  if (format === 'svg') return saveBlob(svg, `${name}.svg`);
  const blob = await paint(text, under);
  if (blob) saveBlob(blob, `${name}.png`);
}

/** @param {string} svg @returns {Promise<HTMLImageElement>} */
export async function image(svg) {
  const picture = new Image();
  picture.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
  await picture.decode();
  return picture;
}
/** @param {string} svg @param {HTMLCanvasElement | null} under @returns {Promise<Blob | null>} */
async function paint(svg, under) {
  const picture = await image(svg), canvas = document.createElement('canvas'), context = canvas.getContext('2d');
  [canvas.width, canvas.height] = under ? [under.width, Math.round((under.width * picture.height) / picture.width)] : [picture.width, picture.height];
  if (context && under) {
    context.fillStyle = getComputedStyle(document.documentElement).getPropertyValue('--ground');
    context.fillRect(0, 0, canvas.width, canvas.height);
    context.drawImage(under, 0, 0);
  }
  context?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise(done => canvas.toBlob(done, 'image/png'));
}

/** A table as comma-separated values. @param {HTMLTableElement} table */
export function tableText(table) {
  const cell = (/** @type {HTMLElement} */ box) => {
    const text = (box.textContent ?? '').trim().replace(/\s+/g, ' ').replace(/−/g, '-');
    return /[",\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
  };
  return `${all('tr', table).map(row => [...row.children].map(box => cell(/** @type {HTMLElement} */ (box))).join(',')).join('\n')}\n`;
}
