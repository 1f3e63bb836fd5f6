// Scales, shapes and axes of charts, by the d3 modules in `vendor/`, as the markup that pictures are made of.
import { area, axisBottom, axisLeft, line, scaleLinear, select, tickStep } from '../vendor/charts.js';

export { tickStep };
/** @typedef {import('./markup.js').Point} Point */
/** @typedef {ReturnType<typeof scale>} Scale */
/** @typedef {{ x: number, low: number, high: number }} Row of a band: places on the sheet */

/** From values to places on the sheet. @param {[number, number]} domain @param {[number, number]} range */
export const scale = (domain, range) => scaleLinear(domain, range);

const through = /** @type {import('d3-shape').Line<Point>} */ (line()).digits(1);
const between = /** @type {import('d3-shape').Area<Row>} */ (/** @type {unknown} */ (area())).digits(1).x(row => row.x).y0(row => row.low).y1(row => row.high);
/** A line through points. @param {Point[]} points @param {string} name */
export const curve = (points, name) => `<path class="${name}" d="${through(points) ?? ''}"/>`;
/** What lies between two lines. @param {Row[]} rows @param {string} name */
export const band = (rows, name) => `<path class="${name}" d="${between(rows) ?? ''}"/>`;

/**
 * An axis: ticks with their words, lines of the sheet through them.
 * @param {'bottom' | 'left'} side @param {Scale} of
 * @param {{ at: number, ticks?: number, values?: number[], words: (value: number, index: number) => string, reach?: number, gap?: number, lines?: (value: number) => string }} how
 *   `at`: where it stands; `ticks`: about so many, at round values, unless `values` says which; `reach`: how far its lines go into the chart;
 *   `gap`: from the words to it; `lines`: class of a line.
 */
export function axis(side, of, { at, ticks = 5, values, words, reach = 0, gap = 6, lines = () => 'grid' }) {
  const made = (side === 'bottom' ? axisBottom(of) : axisLeft(of)).tickSizeInner(-reach).tickSizeOuter(0).tickPadding(gap).offset(0).tickFormat((value, index) => words(Number(value), index));
  if (values) made.tickValues(values); else made.ticks(ticks);
  const box = select(document.createElementNS('http://www.w3.org/2000/svg', 'g')).attr('transform', side === 'bottom' ? `translate(0 ${at})` : `translate(${at} 0)`);
  box.call(made);
  // How it looks is told by the style sheet alone.
  box.attr('fill', null).attr('font-size', null).attr('font-family', null).select('.domain').remove();
  box.selectAll('line').attr('stroke', null).attr('class', value => lines(Number(value)));
  box.selectAll('.tick').attr('class', null).attr('opacity', null);
  box.selectAll('text').attr('fill', null).attr('class', 't small muted');
  return box.node()?.outerHTML ?? '';
}
