// What is told of a flight beside its recording: airplane, standard, weather, ground, how its table is read.

/** What is told of the flight, and how its table is to be read: parameter, words, what stands in the empty field. */
export const TOLD = [['wind', 'wind', 'found'], ['qnh', 'QNH', '1013.25hPa'], ['oat', 'air at height', 'standard'], ['ground-elevation', 'ground elevation', 'not told'],
  ['unit', 'unit of a column', 'column=unit'], ['row-interval', 'time between rows', 'by its clock'], ['aircraft', 'aircraft recorded', 'the only one'], ['entry', 'file in the archive', 'the only one']];
/** All that is told, by parameter. */
export const NAMES = ['airplane', 'standard', ...TOLD.map(([name]) => name)];

/** What a parameter is called. @param {string} name */
export const toldWords = name => ({ airplane: 'airplane flown', standard: 'standard' })[name] ?? TOLD.find(([key]) => key === name)?.[1] ?? name;

/** A hint in the words of the page: the program names its options as the command line has them. @param {string} hint */
export const ofThePage = hint => hint.replace(/--([a-z-]+)/g, (option, name) => { const field = TOLD.find(([key]) => key === name); return field ? `“${field[1]}”` : name === 'columns' ? '“column map”' : option; });

/** The fields. */
export const toldFields = () => `<div class="typed">${TOLD.map(([name, say, example]) => `<label>${say}<input name="${name}" placeholder="${example}" size="${Math.max(9, example.length)}"></label>`).join('')}<label>column map<input type="file" name="columns" accept=".toml,text/plain"></label></div>`;

/** @param {Record<string, string>} from @param {string[]} names @returns {Record<string, string>} */
const only = (from, names) => Object.fromEntries(names.flatMap(name => (from[name] ? [[name, from[name]]] : [])));
/** What is remembered of what was told: not the weather and the ground of one day. @param {Record<string, string>} told */
export const lasting = told => only(told, ['airplane', 'standard']);
/** What an address of Flight may say beside that. */
const PLACES = ['flight', 'attempt', 'over', 'at'];
/** What an address says that Flight knows nothing of. @param {Record<string, string>} given */
export const unknownIn = given => Object.keys(given).filter(name => !PLACES.includes(name) && !NAMES.includes(name));
/** What an address tells of its flight. @param {Record<string, string>} given */
export const toldIn = given => only(given, NAMES);
