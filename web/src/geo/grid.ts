/** Stones by place: which are near a point. Cells are as wide as the largest reach asked for is usual, about one pitch. */
export class Grid {
  private readonly cells = new Map<number, number[]>();

  constructor(
    private readonly x: ArrayLike<number>,
    private readonly y: ArrayLike<number>,
    private readonly cell = 4,
  ) {
    for (let i = 0; i < x.length; i++) {
      const key = this.key(Math.floor(x[i]! / cell), Math.floor(y[i]! / cell));
      const list = this.cells.get(key);
      if (list) list.push(i);
      else this.cells.set(key, [i]);
    }
  }

  // A design is at most some metres wide: 2^16 cells each way are more than enough.
  private key(i: number, j: number): number {
    return (i + 32768) * 65536 + (j + 32768);
  }

  /** The stones whose centres are no farther than `reach` from the point. */
  within(px: number, py: number, reach: number): number[] {
    const out: number[] = [];
    const i0 = Math.floor((px - reach) / this.cell);
    const i1 = Math.floor((px + reach) / this.cell);
    const j0 = Math.floor((py - reach) / this.cell);
    const j1 = Math.floor((py + reach) / this.cell);
    for (let i = i0; i <= i1; i++) {
      for (let j = j0; j <= j1; j++) {
        for (const s of this.cells.get(this.key(i, j)) ?? []) {
          if (Math.hypot(this.x[s]! - px, this.y[s]! - py) <= reach) out.push(s);
        }
      }
    }
    return out;
  }

  /** The nearest stone within `reach`, or −1. */
  nearest(px: number, py: number, reach: number): number {
    let best = -1;
    let far = Infinity;
    for (const s of this.within(px, py, reach)) {
      const d = Math.hypot(this.x[s]! - px, this.y[s]! - py);
      if (d < far) {
        best = s;
        far = d;
      }
    }
    return best;
  }

  /**
   * The nearest stone in a direction (a quarter of the compass around it), for
   * going from stone to stone with the arrow keys; −1 where there is none.
   */
  towards(from: number, dx: number, dy: number): number {
    const fx = this.x[from]!;
    const fy = this.y[from]!;
    let best = -1;
    let far = Infinity;
    for (let i = 0; i < this.x.length; i++) {
      const vx = this.x[i]! - fx;
      const vy = this.y[i]! - fy;
      const along = vx * dx + vy * dy;
      const across = Math.abs(vx * dy - vy * dx);
      if (i === from || along <= 0 || across > along) continue;
      const cost = along + 2 * across;
      if (cost < far) {
        best = i;
        far = cost;
      }
    }
    return best;
  }
}
