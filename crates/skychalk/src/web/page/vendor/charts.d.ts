// What the page uses of the d3 modules, and nothing else: scales, shapes, axes and their round steps.
export { tickStep } from 'd3-array';
export { axisBottom, axisLeft } from 'd3-axis';
export { scaleLinear } from 'd3-scale';
export { select } from 'd3-selection';
export { area, line } from 'd3-shape';
