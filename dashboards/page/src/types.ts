// What the server sends, as it sends it. Members that end in _ns are nanoseconds of bench time.

export type Verdict = 'open' | 'seen right' | 'seen wrong' | 'stale';

export interface Span {
  from_ns: number;
  to_ns: number;
}

export interface Claim {
  claim: string;
  verdict: Verdict;
  sentence: string;
  evidence: Span[];
  figures: Record<string, number>;
  settle: string;
  drill: string;
}

export interface Part {
  part: string;
  text: string;
  grade: 'plain' | 'trouble' | 'wrong';
}

// Next is one thing to do, and the claims that it would settle.
export interface Next {
  do: string;
  drill: string;
  claims: string[];
  settings: {channel: string; place: string}[];
  waits: boolean;
}

// Sheet is the set-up sheet: its own lines, and what follows from it alone.
export interface Sheet {
  name: string;
  hash: string;
  model: string;
  lines: SheetLine[];
  claims: SheetClaim[];
  cells: SheetCell[];
}

export interface SheetLine {
  number: number;
  text: string;
  says: string; // '' for a remark alone, or a blank line
  claims: string[];
  reads: SheetRead;
}

export interface SheetRead {
  kind: 'channel' | 'mode' | 'gain' | 'link' | 'output' | 'none';
  name: string;
  number: number;
  place: string;
}

export interface SheetClaim {
  claim: string;
  line: number;
  heading: string;
  reopens: string;
  channels: number[];
  only_wrong: boolean;
}

export interface SheetCell {
  mode: string;
  cell: number;
  channel: number;
  from_ns: number;
  to_ns: number;
}

export interface Channel {
  number: number;
  name: string;
  count: number;
  width_ns: number;
  place: string; // of the sheet that it is at, '' for none
}

export interface Output {
  number: number;
  surface: string;
  width_ns: number;
  live: boolean;
}

// Phone is one that lies on the model.
export interface Phone {
  live: boolean; // attitudes come
  asleep: boolean; // its page said that it is hidden
  laid: boolean; // how it lies was shown
  resting: boolean;
  off_cdeg: number; // from the latest rest, hundredths of a degree
  troubles: string[]; // that stand
}

export interface Tap {
  name: string;
  kind: 'bus' | 'pulses' | 'tilt';
  condition: string;
  asked: boolean;
  mode: string;
  last_ns: number;
  channels: Channel[];
  outputs: Output[];
  phone?: Phone;
}

export interface Trouble {
  about: string;
  sentence: string;
}

// PromptWaiting is how far a drill is that waits for the builder.
export interface PromptWaiting {
  id: string; // of the prompt that stands, '' while the cautions do
  waits: {name: string; met: boolean; text: string}[];
  left_ns: number; // until the drill ends by itself; 0: the prompt does before that
  warning: string; // that it soon does, '' while there is time
}

export interface Now {
  now_ns: number;
  seen_ns: number;
  wall_ns: number;
  seq: number;
  drill: string;
  prompt?: PromptWaiting;
  headline: Part[];
  taps: Tap[];
  troubles: Trouble[];
}

export interface Hello {
  build: string;
  model: string;
  session: string;
  runs: number;
  after: number; // events behind this one follow
  now_ns: number;
  wall_ns: number;
  change: boolean;
  token: boolean;
}

// An event of the timeline.
export interface Line {
  seq: number;
  kind: string;
  about: string;
  [member: string]: unknown;
}

// What this visitor may do.
export interface May {
  read: boolean;
  change: boolean;
  token: boolean; // with the token it is more
}

// A session beside this one, or this one.
export interface PastSession {
  name: string;
  model: string;
  begun: string;
  length_ns?: number; // not known where no record was made
  count?: {seen_right: number; seen_wrong: number; open: number; stale: number};
  report: boolean;
  running: boolean;
}

export interface Sessions {
  sessions: PastSession[];
  more: number;
}
