// How a stone looks from above: a model of a flat-back stone in a room with a window
// high on the left and a lamp on the right, the same as that of the proof pictures.
// All its figures are chosen by eye.

export type Finish = 'clear' | 'ab' | 'opaque' | 'opal' | 'metal';
type Light = [number, number, number];
type Normal = [number, number, number];

const folds = 8;
const sector = (2 * Math.PI) / folds;
const tableRadius = 0.56;
const starRadius = 0.8;

/** In how many turns a kind is drawn, so that neighbours do not look alike. */
export const turns = 6;

function clip(v: number): number {
  return v < 0 ? 0 : v > 1 ? 1 : v;
}

function smooth(t: number): number {
  const u = clip(t);
  return u * u * (3 - 2 * u);
}

function tilted(azimuth: number, tilt: number): Normal {
  const s = Math.sin(tilt);
  return [s * Math.cos(azimuth), s * Math.sin(azimuth), Math.cos(tilt)];
}

function facetAt(x: number, y: number, turn: number): { n: Normal; azimuth: number } {
  const angle = Math.atan2(y, x) - turn;
  const kite = Math.round(angle / sector);
  const off = angle - kite * sector;
  const side = off < 0 ? -1 : 1;
  const r = Math.hypot(x, y);
  const qx = r * Math.cos(Math.abs(off));
  const qy = r * Math.sin(Math.abs(off));
  const half = sector / 2;
  const sx = starRadius * Math.cos(half);
  const sy = starRadius * Math.sin(half);
  if (qx * Math.cos(half) + qy * Math.sin(half) < tableRadius * Math.cos(half)) return { n: [0, 0, 1], azimuth: 0 };
  let azimuth = kite * sector + side * 0.62 * half + turn;
  let tilt = 0.74;
  if ((sx - tableRadius) * qy - sy * (qx - tableRadius) > 0) {
    azimuth = kite * sector + side * half + turn;
    tilt = 0.36;
  } else if ((sx - 1) * qy - sy * (qx - 1) < 0) {
    azimuth = kite * sector + turn;
    tilt = 0.6;
  }
  return { n: tilted(azimuth, tilt), azimuth };
}

/** The light of the room that a face turned to n mirrors upwards. */
function lamp(n: Normal): number {
  const x = 2 * n[2] * n[0];
  const y = 2 * n[2] * n[1];
  const z = 2 * n[2] * n[2] - 1;
  const window = Math.max(0, -0.52 * x - 0.62 * y + 0.59 * z);
  const spot = Math.max(0, 0.8 * x + 0.1 * y + 0.59 * z);
  const sky = (0.16 * (1 + z) * (1 - 0.6 * y)) / 2;
  return clip(sky + 0.95 * window ** 4 + 0.5 * spot ** 12);
}

/** What is seen through a facet: the foiled back, folded like a fan. */
function within(x: number, y: number, n: Normal, turn: number): number {
  const qx = x - 0.42 * n[0];
  const qy = y - 0.42 * n[1];
  const fans = 2 * folds;
  const fan = Math.floor(((Math.atan2(qy, qx) - turn) / (2 * Math.PI)) * fans);
  const mid = ((fan + 0.5) * 2 * Math.PI) / fans + turn;
  const odd = Math.abs(fan) % 2 === 1;
  const seen = lamp(tilted(mid + Math.PI, odd ? 0.4 : 0.62));
  const deep = 1 - 0.3 * smooth(1 - Math.hypot(qx, qy) / 0.5);
  return clip((0.2 + 1.2 * seen) * (odd ? 0.42 : 1) * deep);
}

/** The colour of an iridescent film along its cycle: rose, gold, green, blue. */
function rainbow(phase: number): Light {
  return [0.62 + 0.38 * Math.cos(phase), 0.62 + 0.34 * Math.cos(phase - 2.2), 0.7 + 0.3 * Math.cos(phase - 4)];
}

export function linear(hex: string): Light {
  const value = parseInt(/^#[0-9a-f]{6}$/i.test(hex) ? hex.slice(1) : 'ccd6e0', 16);
  const one = (byte: number) => {
    const v = byte / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  };
  return [one((value >> 16) & 255), one((value >> 8) & 255), one(value & 255)];
}

function encoded(v: number): number {
  const u = clip(v);
  return 255 * (u <= 0.0031308 ? 12.92 * u : 1.055 * u ** (1 / 2.4) - 0.055);
}

/** Light from the point (x, y) of the unit disc. */
function shade(body: Light, finish: Finish, x: number, y: number, turn: number, glint: number): Light {
  const { n, azimuth } = facetAt(x, y, turn);
  const gloss = lamp(n);
  const inner = within(x, y, n, turn);
  const shine = gloss * gloss * glint;
  const girdle = 1 - 0.5 * smooth((Math.hypot(x, y) - 0.86) / 0.14);
  const [across, along] = [(x + 0.24 - (y + 0.28)) / Math.SQRT2, (x + 0.24 + y + 0.28) / Math.SQRT2];
  const spark = 0.75 * glint * smooth(1.6 - Math.hypot(across / 0.17, along / 0.1));
  const film = finish === 'ab' ? rainbow(2 * azimuth + 5 * y + 3 * x + glint) : rainbow(azimuth + 2);
  return body.map((b, i) => {
    const f = film[i]!;
    let out: number;
    if (finish === 'metal') out = b * (0.3 + 0.35 * inner + 1.5 * gloss) + 0.5 * shine;
    else if (finish === 'opaque') out = b * (0.45 + 0.5 * gloss) + 0.4 * shine;
    else if (finish === 'opal') out = b * (0.66 + 0.3 * inner) + 0.07 * f + 0.3 * shine;
    else if (finish === 'ab') out = b * (f * 0.7 + 0.3) * (0.1 + 1.25 * inner) + 0.5 * gloss * glint * f + 0.4 * shine;
    else out = b * (0.07 + 1.4 * inner) + 0.7 * shine;
    return out * girdle + spark;
  }) as Light;
}

/**
 * Paints a stone of `radius` px around the middle of a square of `side` px into RGBA
 * bytes, not premultiplied, with 3 × 3 samples a pixel (fewer where it is large).
 */
export function paint(pixels: Uint8ClampedArray, side: number, radius: number, hex: string, finish: Finish, turn: number): void {
  const body = linear(hex);
  const share = turn / turns;
  const angle = (share * 2 * Math.PI) / folds;
  const glint = 0.55 + 0.75 * ((share * 7) % 1);
  const n = radius > 24 ? 2 : 4;
  const middle = side / 2;
  for (let j = 0; j < side; j++) {
    for (let i = 0; i < side; i++) {
      const sum: Light = [0, 0, 0];
      let hits = 0;
      for (let k = 0; k < n * n; k++) {
        const x = (i + ((k % n) + 0.5) / n - middle) / radius;
        const y = (j + (Math.floor(k / n) + 0.5) / n - middle) / radius;
        if (x * x + y * y > 1) continue;
        const light = shade(body, finish, x, y, angle, glint);
        for (let c = 0; c < 3; c++) sum[c]! += light[c]!;
        hits++;
      }
      if (hits === 0) continue;
      const at = 4 * (j * side + i);
      for (let c = 0; c < 3; c++) pixels[at + c] = encoded(sum[c]! / hits);
      pixels[at + 3] = (255 * hits) / (n * n);
    }
  }
}

/** The turn of a stone, by its place alone: it keeps its look when others come or go. */
export function turnOf(x: number, y: number): number {
  let h = Math.imul(Math.round(x * 100), 0x9e3779b1) ^ Math.imul(Math.round(y * 100), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  h = Math.imul(h ^ (h >>> 12), 0x297a2d39);
  return ((h ^ (h >>> 15)) >>> 0) % turns;
}
