// What part of the plane is seen: screen = (plane − origin) · scale.

export interface Camera {
  x: number; // mm at the left edge
  y: number; // mm at the top edge
  scale: number; // CSS px a mm
}

export interface Box {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}

/** The nearest view holds a few stones, the farthest a garment several times over. */
const closest = 120;
const farthest = 0.15;

export function clampScale(scale: number): number {
  return Math.min(closest, Math.max(farthest, scale));
}

/** The camera that shows the whole box, in the middle, with a rim of `pad` px. */
export function fit(box: Box, width: number, height: number, pad = 32): Camera {
  const w = Math.max(box.x1 - box.x0, 0.001);
  const h = Math.max(box.y1 - box.y0, 0.001);
  const scale = clampScale(Math.min(Math.max(width - 2 * pad, 10) / w, Math.max(height - 2 * pad, 10) / h));
  return centred({ x: (box.x0 + box.x1) / 2, y: (box.y0 + box.y1) / 2 }, scale, width, height);
}

/** The camera with a point in the middle of the screen. */
export function centred(p: { x: number; y: number }, scale: number, width: number, height: number): Camera {
  return { x: p.x - width / 2 / scale, y: p.y - height / 2 / scale, scale };
}

/** Zooms by a factor, the point under (sx, sy) px standing still. */
export function zoomAt(c: Camera, factor: number, sx: number, sy: number): Camera {
  const scale = clampScale(c.scale * factor);
  return { x: c.x + sx / c.scale - sx / scale, y: c.y + sy / c.scale - sy / scale, scale };
}

export function panBy(c: Camera, dx: number, dy: number): Camera {
  return { x: c.x - dx / c.scale, y: c.y - dy / c.scale, scale: c.scale };
}

export function toPlane(c: Camera, sx: number, sy: number): { x: number; y: number } {
  return { x: c.x + sx / c.scale, y: c.y + sy / c.scale };
}

export function toScreen(c: Camera, x: number, y: number): { x: number; y: number } {
  return { x: (x - c.x) * c.scale, y: (y - c.y) * c.scale };
}

/** The camera a share t of the way from one to another; the scale goes by equal factors. */
export function between(a: Camera, b: Camera, t: number, width: number, height: number): Camera {
  const scale = a.scale * Math.pow(b.scale / a.scale, t);
  const ca = toPlane(a, width / 2, height / 2);
  const cb = toPlane(b, width / 2, height / 2);
  return centred({ x: ca.x + (cb.x - ca.x) * t, y: ca.y + (cb.y - ca.y) * t }, scale, width, height);
}

/** Steps of a ruler: the widest of the list whose ticks are at least `least` px apart. */
export function rulerStep(scale: number, steps: number[], least: number): number {
  return steps.find((s) => s * scale >= least) ?? steps[steps.length - 1]!;
}
