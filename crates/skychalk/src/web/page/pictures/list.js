// The pictures, in the order that never changes. One more picture is one file and one line here.
import { curves } from './curves.js';
import { hands } from './hands.js';
import { nose } from './nose.js';
import { outside } from './outside.js';
import { plan } from './plan.js';
import { seat } from './seat.js';

/** @type {import('../types').Picture[]} */
export const PICTURES = [outside, seat, nose, plan, hands, curves];
