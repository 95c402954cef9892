// How a transfer is made from its plates, one step after the other, as the ticket has it.

import type { Layout } from '../api/types';

export type Step =
  | { do: 'lay'; plate: number; text: string }
  | { do: 'brush'; plate: number; kind: string; kinds: number[]; stones: number; text: string }
  | { do: 'check'; plate: number; text: string }
  | { do: 'hinge'; plate: number; text: string }
  | { do: 'fold'; plate: number; text: string }
  | { do: 'lift'; plate: number; text: string }
  | { do: 'done'; plate: number; text: string };

/** The steps of all plates in their order. */
export function stepsOf(layout: Layout): Step[] {
  const out: Step[] = [];
  layout.plates.forEach((p, i) => {
    const first = i === 0;
    out.push({
      do: 'lay',
      plate: p.number,
      text: first ? 'Lay plate 1 on the flocked tray, notch away from you.' : `Fold the tape back. Take plate ${layout.plates[i - 1]!.number} away, clean up stray stones, and put plate ${p.number} exactly in its place: through its holes no other hole may be seen.`,
    });
    for (const kind of p.order) {
      const kinds = layout.kinds.flatMap((k, at) => (`${k.size} ${k.colour}` === kind ? [at] : []));
      const stones = layout.stones.plate.reduce((n, plate, s) => n + (plate === p.number && kinds.includes(layout.stones.kind[s]!) ? 1 : 0), 0);
      out.push({ do: 'brush', plate: p.number, kind, kinds, stones, text: `Pour ${kind} and brush in circles until all ${stones} holes are full; brush off what is left over.` });
    }
    out.push({ do: 'check', plate: p.number, text: 'Turn stones that lie on their faces with tweezers.' });
    if (first) out.push({ do: 'hinge', plate: p.number, text: 'Cut tape that covers the design and reaches the raised edge of the tray. Stick it there: that is the hinge. Fold it down and rub it on.' });
    else out.push({ do: 'fold', plate: p.number, text: 'Fold the tape down again on its hinge and rub it on.' });
    out.push({ do: 'lift', plate: p.number, text: 'Lift the tape: the stones come with it.' });
  });
  out.push({ do: 'done', plate: layout.plates.at(-1)?.number ?? 1, text: 'Cover the tape with its backing. The transfer can be pressed now, or kept.' });
  return out;
}

/** Stones that lie in the plate, and stones that hang on the tape, after a step. */
export function stateAt(steps: Step[], at: number): { plate: number; inPlate: Set<string>; lifted: Set<number>; tape: 'none' | 'down' | 'up' } {
  const inPlate = new Set<string>();
  const lifted = new Set<number>();
  let plate = 1;
  let tape: 'none' | 'down' | 'up' = 'none';
  for (const step of steps.slice(0, at + 1)) {
    plate = step.plate;
    if (step.do === 'lay') inPlate.clear();
    if (step.do === 'brush') step.kinds.forEach((k) => inPlate.add(`${step.plate} ${k}`));
    if (step.do === 'hinge' || step.do === 'fold') tape = 'down';
    if (step.do === 'lift' || step.do === 'done') {
      lifted.add(step.plate);
      inPlate.clear();
      tape = 'up';
    }
    if (step.do === 'lay' && lifted.size > 0) tape = 'up';
  }
  return { plate, inPlate, lifted, tape };
}
