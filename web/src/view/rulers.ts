import { rulerStep, type Camera } from './camera';

/** Width of the strip along the top and the left edge, px: inches in its outer half, millimetres in its inner. */
export const rulerWidth = 34;

const inch = 25.4;
const inchSteps = [1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 5, 10, 20].map((s) => s * inch);
const mmSteps = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];

interface Colours {
  ink: string;
  line: string;
  panel: string;
}

/** Draws both rulers over a frame. */
export function drawRulers(ctx: CanvasRenderingContext2D, c: Camera, width: number, height: number, colours: Colours): void {
  ctx.fillStyle = colours.panel;
  ctx.fillRect(0, 0, width, rulerWidth);
  ctx.fillRect(0, 0, rulerWidth, height);
  ctx.strokeStyle = colours.line;
  ctx.lineWidth = 1;
  line(ctx, rulerWidth, rulerWidth - 0.5, width, rulerWidth - 0.5);
  line(ctx, rulerWidth - 0.5, rulerWidth, rulerWidth - 0.5, height);
  ctx.fillStyle = ctx.strokeStyle = colours.ink;
  ctx.font = '11px "Atkinson Hyperlegible Next", system-ui, sans-serif';
  const tight = { in: rulerStep(c.scale, inchSteps, 44), mm: rulerStep(c.scale, mmSteps, 44) };
  strip(ctx, c.x, c.scale, width, tight, (at, from, to) => line(ctx, at, from, at, to), (text, at, off) => ctx.fillText(text, at + 3, off));
  strip(ctx, c.y, c.scale, height, tight, (at, from, to) => line(ctx, from, at, to, at), (text, at, off) => {
    ctx.save();
    ctx.translate(off, at + 3);
    ctx.rotate(-Math.PI / 2);
    ctx.textAlign = 'right';
    ctx.fillText(text, 0, 0);
    ctx.restore();
  });
  ctx.fillStyle = colours.panel;
  ctx.fillRect(0, 0, rulerWidth - 1, rulerWidth - 1);
  ctx.fillStyle = colours.ink;
  ctx.fillText('in', 4, 12);
  ctx.fillText('mm', 13, 28);
}

function line(ctx: CanvasRenderingContext2D, x0: number, y0: number, x1: number, y1: number): void {
  ctx.beginPath();
  ctx.moveTo(x0, y0);
  ctx.lineTo(x1, y1);
  ctx.stroke();
}

/** One ruler with its two scales; zero is the edge of the drawing. */
function strip(
  ctx: CanvasRenderingContext2D,
  origin: number,
  scale: number,
  long: number,
  step: { in: number; mm: number },
  tick: (at: number, from: number, to: number) => void,
  label: (text: string, at: number, off: number) => void,
): void {
  const half = rulerWidth / 2;
  for (const [unit, size, low, base] of [
    ['in', step.in, 0, 12],
    ['mm', step.mm, half, 28],
  ] as const) {
    const parts = unit === 'in' ? 4 : 5;
    const first = Math.floor(origin / size);
    const last = Math.ceil((origin + long / scale) / size);
    for (let k = first; k <= last; k++) {
      for (let p = 0; p < parts; p++) {
        const at = Math.round(((k + p / parts) * size - origin) * scale) + 0.5;
        if (at < rulerWidth) continue;
        ctx.globalAlpha = p === 0 ? 1 : 0.45;
        tick(at, p === 0 ? low + 2 : low + half - 5, low + half - 1);
        ctx.globalAlpha = 1;
        if (p === 0) label(labelOf(k * size, unit), at, base);
      }
    }
  }
}

function labelOf(mm: number, unit: 'in' | 'mm'): string {
  if (unit === 'mm') return String(Number(mm.toFixed(1)));
  return String(Number((mm / inch).toFixed(4))).replace(/^(-?)0\./, '$1.');
}
