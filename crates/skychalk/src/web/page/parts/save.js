// Keeping things: a picture as SVG or PNG, anything as a file.
import { all, n } from '../core/markup.js';

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
  return theme === 'board' ? text : text.replaceAll(`[data-theme="${theme}"]`, 'svg');
}

/** What a picture says that stands alone: lines under it, and the height of each, units of the sheet. */
const CAUTION = ['Training aid, not approved data. The flight manual, placards, local', 'rules and a qualified instructor decide. Never used in flight.'];
const CAUTION_TALL = 9;
/** How much taller a picture is with its caution. @param {number} height of the sheet */
const withCaution = height => (height + CAUTION_TALL * (CAUTION.length + 0.6)) / height;

/** The picture as a file of its own, drawn with the rules of the page, over the caution. @param {SVGSVGElement} picture
 * @param {boolean} [ground] whether on the ground of the page */
export async function standalone(picture, ground = true) {
  const copy = /** @type {SVGSVGElement} */ (picture.cloneNode(true)), { width, height } = picture.viewBox.baseVal, tall = height * withCaution(height);
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  copy.setAttribute('viewBox', `0 0 ${width} ${n(tall)}`);
  copy.setAttribute('width', String(width * 3));
  copy.setAttribute('height', String(Math.round(tall * 3)));
  CAUTION.forEach((words, i) => copy.insertAdjacentHTML('beforeend', `<text class="t caution" x="2" y="${n(height + CAUTION_TALL * (i + 1))}">${words}</text>`));
  const style = document.createElementNS('http://www.w3.org/2000/svg', 'style');
  style.textContent = `${await rules()}\nsvg { ${ground ? 'background: var(--ground); ' : ''}font-family: var(--font); } .caution { font-size: 8px; }`;
  copy.prepend(style);
  return new XMLSerializer().serializeToString(copy);
}

/** @param {SVGSVGElement} picture @param {string} name @param {string} format @param {HTMLCanvasElement | null} [under] what lies under it, already painted */
export async function savePicture(picture, name, format, under = null) {
  const text = await standalone(picture, !under), svg = new Blob([text], { type: 'image/svg+xml' });
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
