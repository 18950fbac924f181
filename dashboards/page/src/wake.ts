// The screen stays awake while a drill runs, where the browser keeps it awake.
import {html, nothing, type TemplateResult} from './html';

// What is said where the screen may fall asleep.
const insecure =
  'The screen may fall asleep: browsers keep it awake for secure pages (https) only. Let it stay on longer in the settings of this device.';
const unable = 'The screen may fall asleep: this browser can’t keep it awake. Let it stay on longer in the settings of this device.';
const refused = 'The screen may fall asleep: this device did not let the browser keep it awake, as when its battery is low.';

export class Wake {
  said = ''; // why the screen may fall asleep, '' while it stays awake or may sleep

  private wanted = false;
  private lock: WakeLockSentinel | undefined;

  constructor(private readonly changed: () => void) {
    // A page that was hidden has lost it.
    document.addEventListener('visibilitychange', () => void this.take());
  }

  // want keeps the screen awake, or lets it sleep.
  want(wanted: boolean): void {
    if (wanted === this.wanted) return;
    this.wanted = wanted;
    if (wanted) {
      void this.take();
      return;
    }
    void this.lock?.release();
    this.lock = undefined;
    this.say('');
  }

  private async take(): Promise<void> {
    if (!this.wanted || document.hidden || (this.lock && !this.lock.released)) return;
    if (!isSecureContext) return this.say(insecure);
    if (!('wakeLock' in navigator)) return this.say(unable);
    try {
      const lock = await navigator.wakeLock.request('screen');
      if (!this.wanted) return void lock.release();
      this.lock = lock;
      this.say('');
    } catch {
      this.say(refused);
    }
  }

  private say(why: string): void {
    if (why === this.said) return;
    this.said = why;
    this.changed();
  }
}

export function wakeNote(w: Wake): TemplateResult | typeof nothing {
  return w.said === '' ? nothing : html`<p class="note" role="status">${w.said}</p>`;
}
