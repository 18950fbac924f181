// What the stream brings of what moved, drawn as plainly as can be: all of the last three minutes,
// each time that more of it came.
const canvas = document.querySelector("canvas"), ink = canvas.getContext("2d");
canvas.width = innerWidth * devicePixelRatio;
canvas.height = innerHeight * devicePixelRatio;
const columns = [], kept = 3600, low = 850, high = 2150;
window.drawn = 0;
let asked = false;

new EventSource("/api/live").addEventListener("trace", (e) => {
  for (const tap of JSON.parse(e.data).taps) columns.push(...tap.columns);
  columns.splice(0, columns.length - kept);
  if (asked) return;
  asked = true;
  requestAnimationFrame(draw);
});

function draw() {
  asked = false;
  ink.clearRect(0, 0, canvas.width, canvas.height);
  const traces = 16, height = canvas.height / traces, latest = columns.at(-1)?.[0] ?? 0;
  for (let n = 0; n < traces; n++) {
    ink.beginPath();
    for (const c of columns) {
      const x = (1 - (latest - c[0]) / kept) * canvas.width;
      const y = (width) => (n + (high - width) / (high - low)) * height;
      ink.moveTo(x, y(c[1 + 2 * n]));
      ink.lineTo(x, y(c[2 + 2 * n]) + 1);
    }
    ink.stroke();
  }
  window.drawn++;
}
