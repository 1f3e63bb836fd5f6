// The shapes that the modules pass to each other; for the type checker alone, never served.

export type Role = 'reference' | 'attempt' | 'reflight' | 'other';
export type Way = 'left' | 'right';

/** Columns of a flight in the frame of its entry: along and to the right of the entry heading, above the entry. */
export interface Columns {
  time_s: number[]; clock: number[]; progress: number[]; part: number[];
  along_m: number[]; across_m: number[]; rise_m: number[]; height_ft: number[];
  bank: number[]; pitch: number[]; heading: number[]; speed_kt: number[]; load: number[]; stall_kt: number[];
}
export interface State {
  time_s: number; clock: number; progress: number; part: number;
  along_m: number; across_m: number; rise_m: number; height_ft: number;
  bank: number; pitch: number; heading: number; speed_kt: number; load: number; stall_kt: number;
}
/** One standard deviation a sample; a quantity the recording does not tell is absent. */
export type Sigmas = Partial<Record<keyof Columns, number[]>>;

export interface Flight {
  role: Role; side: Way; columns: Columns; sigmas: Sigmas | null;
  entryHeading: number; entryHeight_ft: number; total: number; seconds: number;
  /** Which columns are told at all. */
  has: (name: keyof Columns) => boolean;
  partWays: Way[];
}

export interface Check { part: number; progress: number; clock: number; time_s: number; label: string; /** Short enough to stand in a picture: phases by their number. */ mark: string; phase: string | null; }
export interface GroundMark { name: string; along_m: number[]; across_m: number[]; }

/** What a picture draws. The first flight leads: labels, dial and table are its own. */
export interface Scene {
  flights: Flight[];
  mode: 'left' | 'right' | 'both' | 'mirrored';
  progress: string; span: number; parts: number;
  checks: Check[];
  marks: GroundMark[];
  wind: { toward_deg: number; speed_kt: number } | null;
  eyes: Partial<Record<Way, any>>;
  controls: Partial<Record<Way, any>>;
  controlsNote: string | null;
  groundBelow_m: number | null;
  bankRule_deg: number | null;
  /** Far references: bearing from the entry heading. */
  references: Partial<Record<Way, { name: string, azimuth: number }[]>>;
  /** Where the numbers come from, in words: the flight that leads, hands and feet, an attempt. */
  sources: { path: string, hands: string, speed: string };
}

export interface Picture {
  id: string; title: string;
  note: (scene: Scene) => string;
  help: string;
  /** Drawn once a scene. */
  still: (scene: Scene, look: Look) => string;
  /** Drawn at every step of the clock. */
  live: (scene: Scene, clock: number, look: Look) => string;
  /** The same in words and numbers, for those who do not see the picture. */
  table: (scene: Scene) => { head: string[]; rows: string[][] };
}
/** How the user looks: what belongs to the eye and not to the flight. */
export interface Look { seat: Way; orbit: { turn: number; tilt: number }; /** Apart from other stages of the page: names inside pictures must be. */ key?: string; }
