// Words for the keys of the program: a maneuver is called as the catalogue calls it. Sentences of the program.
import { escape } from './markup.js';
import { also } from './numbers.js';

/** A sentence of the program as markup, with the user's units. @param {unknown} sentence */
export const told = sentence => escape(also(String(sentence ?? '')));

/** @type {Map<string, string>} */
const titles = new Map();
/** @param {{ id: string, title: string }[]} maneuvers of the catalogue */
export function learnTitles(maneuvers) { for (const { id, title } of maneuvers) titles.set(id, title); }

/** A verdict that stands apart from what it names. @param {string} verdict */
export const verdictWords = verdict => (verdict === 'within computed limits with' ? 'within computed limits, with conditions' : verdict);

/** A key in plain words. @param {string} key */
export const plainWords = key => key.replaceAll('-', ' ');
/** @param {string} key of a maneuver */
export const maneuverTitle = key => titles.get(key) ?? plainWords(key).replace(/^./, first => first.toUpperCase());
/** Keys that are no publication, in words. */
const NO_PUBLICATION = [['training-aid', 'training aid, our own judgement'], ['common-practice', 'common practice, no source'], ['from-memory', 'from memory, to be confirmed'], ['as-told', 'as told']];
/** Titles of publications by their keys. @type {Map<string, string>} */
const publications = new Map();
/** @param {Record<string, string>} titles */
export function learnSources(titles) { for (const [key, title] of Object.entries(titles ?? {})) if (!NO_PUBLICATION.some(([none]) => none === key)) publications.set(key, title); }
/** A text with the title behind each key of a publication. @param {string} text */
export const withTitles = text => text.replace(/[A-Z0-9][A-Za-z0-9.-]*[A-Za-z0-9]/g, key => (publications.has(key) ? `${key} (${publications.get(key)})` : key));
/** Where a statement comes from, in words. @param {string} source */
export const sourceWords = source => NO_PUBLICATION.reduce((text, [key, words]) => text.replaceAll(key, words), source);
