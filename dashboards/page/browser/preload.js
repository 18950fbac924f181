// What a test has in each page: window.rig. It runs before the page's own scripts.
(() => {
  const rig = { spoken: [], tones: 0, heard: [] };
  Object.defineProperty(window, "rig", { value: rig });

  // What the policy refused goes to the console, where the test looks.
  document.addEventListener("securitypolicyviolation", (e) => {
    console.error(`policy: ${e.effectiveDirective} refused ${e.blockedURI} at ${e.sourceFile}:${e.lineNumber}`);
  });

  // Headless browsers have no voice. What is said is kept, and takes no time.
  const voice = { default: true, lang: "en-GB", localService: true, name: "stub", voiceURI: "stub" };
  const tell = (u, what) => {
    const e = new Event(what);
    u["on" + what]?.(e);
    u.dispatchEvent(e);
  };
  const speech = Object.assign(new EventTarget(), {
    speaking: false, pending: false, paused: false, onvoiceschanged: null,
    cancel() {}, pause() {}, resume() {}, getVoices: () => [voice],
    speak(u) {
      rig.spoken.push({ text: u.text, at: performance.now() });
      setTimeout(() => { tell(u, "start"); tell(u, "end"); });
    },
  });
  Object.defineProperty(window, "speechSynthesis", { value: speech, configurable: true });
  window.SpeechSynthesisUtterance = class extends EventTarget {
    constructor(text = "") { super(); Object.assign(this, { text, lang: "", voice: null, rate: 1, pitch: 1, volume: 1 }); }
  };
  const start = window.OscillatorNode?.prototype.start;
  if (start) {
    const scheduled = Object.getPrototypeOf(OscillatorNode.prototype);
    const begin = scheduled.start;
    scheduled.start = function (...when) { rig.tones++; return begin.apply(this, when); };
  }

  // What the page hears: events of the timeline, by its stream and by asking for the past.
  const Source = window.EventSource;
  window.EventSource = class extends Source {
    constructor(...given) {
      super(...given);
      this.addEventListener("message", (e) => rig.heard.push(e.data));
    }
  };
  const ask = window.fetch;
  window.fetch = async (...given) => {
    const answer = await ask(...given);
    if (answer.ok && String(given[0].url ?? given[0]).includes("/api/timeline")) {
      rig.heard.push(...(await answer.clone().text()).split("\n").filter((line) => line !== ""));
    }
    return answer;
  };

  // When a text comes on screen, as ms of the wall clock: behind the picture that has it.
  rig.expect = (where, text) => {
    rig.expected = new Promise((resolve) => {
      const has = () => document.querySelector(where)?.textContent.includes(text);
      const shown = () => requestAnimationFrame(() => {
        const behind = new MessageChannel();
        behind.port1.onmessage = () => resolve(performance.timeOrigin + performance.now());
        behind.port2.postMessage(0);
      });
      const watch = new MutationObserver(() => {
        if (!has()) return;
        watch.disconnect();
        shown();
      });
      watch.observe(document.documentElement, { subtree: true, childList: true, characterData: true });
    });
    return true;
  };

  const pressable = "a[href],button,summary,input,select,textarea,label,[role=button],[role=tab],[role=link],[role=menuitem],[tabindex='0']";
  const plain = (text) => (text ?? "").replace(/\s+/g, " ").trim();
  const seen = (e) => e.getClientRects().length > 0 && e.checkVisibility({ visibilityProperty: true });
  const nameOf = (e) => plain(e.getAttribute("aria-label") ?? (e.labels?.[0]?.innerText || e.innerText || e.value || e.title));

  // An element by a selector, or by its name behind an =.
  rig.find = (what) => {
    if (!what.startsWith("=")) return [...document.querySelectorAll(what)].find(seen) ?? null;
    const named = [...document.querySelectorAll(pressable)].filter(seen);
    const name = what.slice(1);
    return named.find((e) => nameOf(e) === name) ?? named.find((e) => nameOf(e).startsWith(name)) ?? null;
  };
  rig.ready = (what) => { const e = rig.find(what); return !!e && !e.disabled; };
  rig.focused = (what) => { const e = rig.find(what); return !!e && (e === document.activeElement || e.control === document.activeElement); };
  rig.text = (where) => plain((where ? rig.find(where) : document.body)?.innerText);
  rig.shows = (where, texts) => { const text = rig.text(where); return texts.every((t) => text.includes(t)); };

  // All that a keyboard should reach, by numbers of ours, and where it is: its number, its name, and whether that shows.
  const reachable = (e) => seen(e) && !e.disabled && e.tabIndex >= 0 && !["LABEL"].includes(e.tagName) &&
    !(e.type === "radio" && !e.checked) && !e.closest("[inert]");
  const called = (e) => `${e.tagName.toLowerCase()} "${nameOf(e).slice(0, 60)}"`;
  const numbers = new WeakMap();
  let latest = 0;
  const numberOf = (e) => numbers.get(e) ?? (numbers.set(e, ++latest), latest);
  rig.pressable = () => Object.fromEntries([...document.querySelectorAll(pressable)].filter(reachable).map((e) => [numberOf(e), called(e)]));
  rig.focus = () => {
    const e = document.activeElement;
    if (!e || e === document.body) return { Number: 0, Name: "", Seen: true };
    const style = getComputedStyle(e), box = e.getBoundingClientRect();
    const drawn = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
    const top = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
    return { Number: numberOf(e), Name: called(e), Seen: drawn && !!top && (e.contains(top) || top.contains(e)) };
  };

  // Where an element is pressed, once it stands still, and what is wrong with that.
  const place = (e) => { const b = e.getClientRects()[0]; return b ? [b.left, b.top, b.width, b.height].map(Math.round).join() : ""; };
  rig.reach = async (what) => {
    let e = null, at = "", stood = 0;
    for (let looks = 0; looks < 50 && stood < 3; looks++) {
      e = rig.find(what);
      if (!e || e.disabled) return { X: 0, Y: 0, There: false, Wrong: "" };
      e.scrollIntoView({ block: "center", inline: "center", behavior: "instant" });
      const now = place(e);
      stood = now !== "" && now === at ? stood + 1 : 0;
      at = now;
      await new Promise((r) => setTimeout(r, 16));
    }
    const box = e.getClientRects()[0];
    if (!box) return { X: 0, Y: 0, There: false, Wrong: "" };
    const X = box.left + box.width / 2, Y = box.top + box.height / 2;
    const top = document.elementFromPoint(X, Y);
    const Wrong = top && (e.contains(top) || top.contains(e)) ? "" : `over ${what} lies ${top ? top.outerHTML.slice(0, 120) : "nothing: it is out of sight"}`;
    rig.aimed = { e, what };
    rig.clicked = [];
    return { X, Y, There: true, Wrong };
  };
  window.addEventListener("click", (e) => { rig.clicked?.push(e.target); }, true);

  // What a click came down on in place of what was aimed at: "" for that itself, for what was drawn anew in its place,
  // or where the page was left by it; "nothing" where nobody heard of it: it came down beside, or what it came down on
  // moved before the button was let go, or could not be pressed any more, or a page that was never painted took no input.
  rig.missed = () => {
    if (!rig.aimed) return "";
    const { e, what } = rig.aimed, anew = rig.find(what);
    const hit = (c) => e.contains(c) || anew?.contains(c) || c.closest(pressable)?.contains(e);
    if (rig.clicked.some(hit)) return "";
    const other = rig.clicked.find((c) => c.closest(pressable));
    return other ? "pressed " + other.outerHTML.slice(0, 120) : "nothing";
  };

  // How many ms it took until something held, -1 where it did not in that time.
  rig.holds = (what, most) => new Promise((resolve) => {
    const from = performance.now();
    const look = () => {
      const took = performance.now() - from;
      let is = false;
      try { is = what(); } catch { is = false; }
      if (is) resolve(took);
      else if (took > most) resolve(-1);
      else setTimeout(look, 10);
    };
    look();
  });

  // What can be pressed and is smaller than a finger: WCAG 2.5.5. Links within a sentence, and what waits off the
  // screen until a keyboard gets there, are left out.
  rig.small = (least) => [...document.querySelectorAll(pressable)].filter(seen).filter((e) => {
    if (e.closest("label") && e.tagName !== "LABEL" || e.tagName === "LABEL" && !e.querySelector("input,select")) return false;
    if (e.tagName === "A" && getComputedStyle(e).display === "inline" && plain(e.parentElement?.innerText) !== plain(e.innerText)) return false;
    const b = e.getBoundingClientRect();
    return b.right > 0 && (b.width < least || b.height < least);
  }).map((e) => { const b = e.getBoundingClientRect(); return `${e.tagName.toLowerCase()} "${nameOf(e)}" ${Math.round(b.width)}x${Math.round(b.height)}`; });

  // Does the page run over to the right?
  rig.wide = () => {
    const width = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth <= width) return [];
    return [...document.querySelectorAll("body *")].filter((e) => seen(e) && e.getBoundingClientRect().right > width + 1)
      .map((e) => `${e.tagName.toLowerCase()}.${e.className} "${plain(e.innerText).slice(0, 40)}" ends at ${Math.round(e.getBoundingClientRect().right)} of ${width}`);
  };
})();
