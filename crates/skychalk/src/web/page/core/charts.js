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
