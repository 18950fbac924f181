// How this phone lies, by the browser's sensors, as sentences for the server. Its axes and angles are those of W3C's
// Device Orientation text: x to the right of the screen, y to its top, z out of it; alpha about z, then beta about
// x, then gamma about y.
import {post, Refused} from './api';
import type {Store} from './store';

// scale is what a component of a quaternion is in parts of.
const scale = 32768;

// A batch goes each batchMs; what a server that is slow to answer leaves waiting is bounded by mostSentences, the
// oldest lost. Sensors that tell more often than each leastMs are thinned.
const batchMs = 250;
const mostSentences = 64;
const leastMs = 14;
const statusMs = 1000;

type Quaternion = [number, number, number, number];

// quaternion takes the phone's axes to the earth's; angles in degrees.
export function quaternion(alpha: number, beta: number, gamma: number): Quaternion {
  const half = Math.PI / 360;
  const [cx, cy, cz] = [Math.cos(beta * half), Math.cos(gamma * half), Math.cos(alpha * half)];
  const [sx, sy, sz] = [Math.sin(beta * half), Math.sin(gamma * half), Math.sin(alpha * half)];
  return [cx * cy * cz - sx * sy * sz, sx * cy * cz - cx * sy * sz, cx * sy * cz + sx * cy * sz, cx * cy * sz + sx * sy * cz];
}

// rates are those of the turn from one attitude to the next about x, y and z, hundredths of a degree a second.
// Browsers do not agree about which axis a rate of their own is, so it is reckoned from the attitudes.
export function rates(from: Quaternion, to: Quaternion, seconds: number): number[] {
  const [a, b, c, d] = from;
  const [e, f, g, h] = to;
  const turned = [a * e + b * f + c * g + d * h, a * f - b * e - c * h + d * g, a * g + b * h - c * e - d * f, a * h - b * g + c * f - d * e];
  const way = (turned[0] ?? 1) < 0 ? -1 : 1;
  return turned.slice(1).map((v) => Math.round((way * 2 * v * 18000) / Math.PI / seconds));
}

// framed is a sentence with its sum.
export function framed(text: string): string {
  let sum = 0;
  for (let i = 0; i < text.length; i++) sum ^= text.charCodeAt(i);
  return `$${text}*${sum.toString(16).toUpperCase().padStart(2, '0')}\r\n`;
}

// What a page may ask for where a browser wants to be asked.
type Asks = {requestPermission?: () => Promise<'granted' | 'denied'>};

export class Sensing {
  on = false; // attitudes are sent
  said = ''; // why they are not, or what is lacking
  heard = 0; // performance.now() of the latest attitude
  gyroscope = false;

  private readonly sender = 1 + crypto.getRandomValues(new Uint16Array(1))[0]! % 0xffff;
  private number = 0;
  private waiting: string[] = [];
  private posting = false;
  private angles: DeviceOrientationEvent | undefined;
  private last: {at: number; q: Quaternion} | undefined;
  private status = -statusMs;
  private timer = 0;

  constructor(private readonly s: Store) {
    document.addEventListener('visibilitychange', () => this.hidden());
  }

  // begin asks for the sensors, and sends from then on. It wants a touch behind it.
  async begin(): Promise<void> {
    this.said = '';
    if (!isSecureContext) return this.say('Browsers give their sensors to secure pages (https) only: start benchproof with --tls, and open this page anew.');
    if (!('DeviceOrientationEvent' in window)) return this.say('This browser has no sensors of orientation.');
    for (const kind of [DeviceOrientationEvent, DeviceMotionEvent] as unknown as Asks[]) {
      if (kind.requestPermission && (await kind.requestPermission()) !== 'granted') return this.say('The sensors were not allowed: allow them in the settings of the browser.');
    }
    addEventListener('deviceorientation', this.orientation);
    addEventListener('devicemotion', this.motion);
    this.on = true;
    this.timer = window.setInterval(() => void this.send(), batchMs);
    this.s.changed();
  }

  // end says that no more comes, and lets go of the sensors.
  end(): void {
    removeEventListener('deviceorientation', this.orientation);
    removeEventListener('devicemotion', this.motion);
    clearInterval(this.timer);
    this.hide();
    this.on = false;
    this.last = this.angles = undefined;
    this.s.changed();
  }

  private readonly orientation = (e: DeviceOrientationEvent): void => {
    if (e.alpha !== null && e.beta !== null && e.gamma !== null) this.angles = e;
  };

  // A browser tells angles only where they change; how the phone moves it tells all the time. So that is what an attitude is
  // dated by, and where it stops nothing old looks new.
  private readonly motion = (e: DeviceMotionEvent): void => {
    const a = this.angles;
    if (!a || (this.last && e.timeStamp - this.last.at < leastMs)) return;
    const q = quaternion(a.alpha!, a.beta!, a.gamma!);
    const rate = e.rotationRate;
    // A heading by the magnet is no turn: then nothing is known of yaw.
    this.gyroscope = !a.absolute && rate !== null && rate.alpha !== null;
    const turned = this.last ? rates(this.last.q, q, (e.timeStamp - this.last.at) / 1000) : [0, 0, 0];
    this.last = {at: e.timeStamp, q};
    this.heard = performance.now();
    if (e.timeStamp - this.status >= statusMs) {
      this.status = e.timeStamp;
      this.speak('R');
    }
    const time = Math.round(e.timeStamp * 1000) % 2 ** 32;
    const fields = [this.sender.toString(16), this.next().toString(16), time.toString(16), ...q.map((v) => Math.round(v * scale))];
    this.put(`PBTA,${fields.join(',')},${(this.gyroscope ? turned : ['', '', '']).join(',')}`);
  };

  private next(): number {
    this.number = (this.number + 1) % 0x10000;
    return this.number;
  }

  private speak(state: 'R' | 'H'): void {
    const screen = window.screen.orientation?.angle ?? 0;
    this.put(`PBTI,${this.sender.toString(16)},phone,${screen},${state}`);
  }

  private put(text: string): void {
    this.waiting.push(framed(text));
    if (this.waiting.length > mostSentences) this.waiting.shift();
  }

  private hidden(): void {
    if (this.on && document.hidden) this.hide();
  }

  // hide says that the page is about to sleep, in the last moment that it has.
  private hide(): void {
    this.speak('H');
    const sentences = this.waiting.join('');
    this.waiting = [];
    void fetch('/api/tilt', {method: 'POST', keepalive: true, headers: {'Content-Type': 'application/json'}, body: JSON.stringify({sentences})}).catch(() => undefined);
  }

  private async send(): Promise<void> {
    if (this.posting || this.waiting.length === 0) return;
    this.posting = true;
    const sentences = this.waiting.join('');
    this.waiting = [];
    try {
      await post('/api/tilt', {sentences});
      this.say('');
    } catch (e) {
      this.say(e instanceof Refused ? `${e.message}.` : 'benchproof does not answer.');
    }
    this.posting = false;
  }

  private say(why: string): void {
    if (why === this.said) return;
    this.said = why;
    this.s.changed();
  }
}
