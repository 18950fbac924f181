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
  grade: 'plain' | 'trouble';
}

export interface Next {
  do: string;
  drill: string;
  claims: string[];
}

export interface Channel {
  number: number;
  name: string;
  count: number;
  width_ns: number;
}

export interface Output {
  number: number;
  surface: string;
  width_ns: number;
  live: boolean;
}

export interface Tap {
  name: string;
  kind: 'bus' | 'pulses';
  condition: string;
  asked: boolean;
  mode: string;
  last_ns: number;
  channels: Channel[];
  outputs: Output[];
}

export interface Trouble {
  about: string;
  sentence: string;
}

export interface Now {
  now_ns: number;
  seen_ns: number;
  wall_ns: number;
  seq: number;
  drill: string;
  headline: Part[];
  next: Next[];
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
