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
  entryHeading: number; entryHeight_ft: number; total: number; ahead: number; seconds: number;
  /** Which columns are told at all. */
  has: (name: keyof Columns) => boolean;
  partWays: Way[];
}

export interface Check { part: number; progress: number; clock: number; time_s: number; label: string; /** Short enough to stand in a picture: phases by their number. */ mark: string; phase: string | null; }
export interface GroundMark { name: string; along_m: number[]; across_m: number[]; /** Of one side only, where the sides have each their own. */ side?: Way; }

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

/** A place in the frame of the entry: along and to the right of the entry heading, above the entry; meters. */
export type Place = [number, number, number];
/** One thing of a picture in space. Its name is its class in the style sheet: whoever draws it takes colors, widths and dashes from there. */
export type Shape =
  | { kind: 'line'; points: Place[]; name: string; /** Shows faintly through what hides it. */ through?: boolean }
  /** Lines of the ground, each the fainter the nearer its share is to nil. */
  | { kind: 'mesh'; segments: { ends: [Place, Place]; shares: [number, number] }[]; name: string }
  /** A band between two edges, left and right as seen from its upper side. */
  | { kind: 'strip'; edges: [Place, Place][]; name: string }
  /** A flat piece of a body; nearer ones hide farther ones. */
  | { kind: 'face'; points: Place[]; name: string }
  /** Radius in units of the sheet. */
  | { kind: 'dot'; at: Place; radius: number; name: string; ground: boolean }
  /** Off: from the place, in units of the sheet. Inside: never over the edge of the sheet. */
  | { kind: 'label'; at: Place; off: [number, number]; words: string; name: string; anchor: 'start' | 'middle' | 'end'; inside: boolean }
  /** Words that stand on the sheet and not in space. */
  | { kind: 'note'; at: [number, number]; words: string; name: string; anchor: 'start' | 'middle' | 'end' };
/** What stands still in a picture in space, in the order in which it is laid down, and how it is looked at. What lies on the ground comes
 * first and hides nothing. */
export interface Space {
  ground: Shape[];
  air: Shape[];
  sight: Sight;
}
/** How a picture in space is looked at first, degrees and meters, and what must be seen whole. */
export interface Sight { middle: Place; size_m: number; turn_deg: number; tilt_deg: number; seen: Place[]; }

export interface Picture {
  id: string; title: string;
  /** Of both sides beside or upon each other its numbers are told by its table itself, or by one table a side: of a side that was mirrored turned
   * with it, or the side's own. */
  sides: 'told' | 'turned' | 'own';
  /** Both sides beside each other are named in it. */
  named?: boolean;
  note: (scene: Scene) => string;
  help: string;
  /** Drawn once a scene. */
  still: (scene: Scene, look: Look) => string;
  /** Drawn at every step of the clock. */
  live: (scene: Scene, clock: number, look: Look) => string;
  /** The same in words and numbers, for those who do not see the picture. */
  table: (scene: Scene) => { head: string[]; rows: string[][] };
  /** A picture in space says what is there; `still` and `live` draw it flat. */
  space?: { still: (scene: Scene) => Space | null; live: (scene: Scene, clock: number) => Shape[] };
}
/** How a picture in space is turned and how near it is looked at: degrees, times, and which place of the whole sheet stands in the middle. */
export interface Orbit { turn: number; tilt: number; zoom?: number; center?: [number, number]; }
/** How the user looks: what belongs to the eye and not to the flight. */
export interface Look { seat: Way; orbit: Orbit; /** Apart from other stages of the page: names inside pictures must be. */ key?: string; }
