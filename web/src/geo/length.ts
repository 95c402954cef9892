// Lengths as people type and read them. Inside, everything is millimetres; an
// inch is 25.4 mm exactly (ISO 31-1).

export type Unit = 'in' | 'mm';

const perInch = 25.4;

/**
 * Reads a length such as "240 mm", "24 cm", "9.5 in", "9 1/2 in", `9.5"` into mm.
 * A number alone takes the unit of `bare`. Gives null for anything else.
 */
export function parseLength(text: string, bare: Unit = 'mm'): number | null {
  const m = /^\s*(\d+(?:[.,]\d+)?)?(?:\s+)?(?:(\d+)\s*\/\s*(\d+))?\s*(mm|cm|in|inch|inches|"|″)?\s*$/i.exec(text);
  if (!m || (m[1] === undefined && m[2] === undefined)) return null;
  let value = m[1] === undefined ? 0 : Number(m[1].replace(',', '.'));
  if (m[2] !== undefined) {
    if (Number(m[3]) === 0) return null;
    value += Number(m[2]) / Number(m[3]);
  }
  const unit = m[4]?.toLowerCase() ?? bare;
  if (unit === 'mm') return value;
  if (unit === 'cm') return value * 10;
  return value * perInch;
}

/** A number with at most `digits` decimals and no zeros behind them. */
export function plain(value: number, digits: number): string {
  return String(Number(value.toFixed(digits)));
}

/** A length in one unit: "9 in", "228.6 mm". */
export function inUnit(mm: number, unit: Unit): string {
  return unit === 'in' ? `${plain(mm / perInch, mm < perInch ? 3 : 2)} in` : `${plain(mm, mm < 10 ? 2 : 1)} mm`;
}

/** A length in both units, the one in use first: "9 in · 228.6 mm". */
export function both(mm: number, first: Unit): string {
  const second: Unit = first === 'in' ? 'mm' : 'in';
  return `${inUnit(mm, first)} · ${inUnit(mm, second)}`;
}

/** A small length in both units, to 0.05 mm, that keeps its width while it is dragged: "0.031 in · 0.80 mm". */
export function fine(mm: number, first: Unit): string {
  const [inches, metric] = [`${(mm / perInch).toFixed(3)} in`, `${mm.toFixed(2)} mm`];
  return first === 'in' ? `${inches} · ${metric}` : `${metric} · ${inches}`;
}

/** Two sides in both units: "9 × 8.2 in · 228.6 × 208.3 mm". */
export function bothSides(w: number, h: number, first: Unit): string {
  const inches = `${plain(w / perInch, 2)} × ${plain(h / perInch, 2)} in`;
  const mm = `${plain(w, 1)} × ${plain(h, 1)} mm`;
  return first === 'in' ? `${inches} · ${mm}` : `${mm} · ${inches}`;
}

/** The text of a length for the job file, which wants a unit. */
export function written(mm: number, unit: Unit): string {
  return unit === 'in' ? `${plain(mm / perInch, mm < perInch ? 4 : 3)} in` : `${plain(mm, 3)} mm`;
}

/** The unit a written length is in, to go on in it. */
export function unitOf(text: unknown): Unit | null {
  if (typeof text !== 'string') return null;
  if (/(in|inch|inches|"|″)\s*$/i.test(text)) return 'in';
  return /(mm|cm)\s*$/i.test(text) ? 'mm' : null;
}

/** Minutes for people: "under a minute", "12 min", "1 h 5 min". */
export function minutesText(minutes: number): string {
  const whole = Math.round(minutes);
  if (minutes <= 0) return '–';
  if (whole < 1) return 'under 1 min';
  return whole < 60 ? `${whole} min` : `${Math.floor(whole / 60)} h ${whole % 60} min`;
}

/** A count with thousands parted: 1,367. */
export function count(n: number): string {
  return n.toLocaleString('en-GB');
}

/** "1 plate", "2 plates". */
export function some(n: number, one: string, many = one + 's'): string {
  return `${count(n)} ${n === 1 ? one : many}`;
}
