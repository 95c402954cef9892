// Jobs as the book has them.

export interface JobLine {
  number: number;
  name?: string;
  quantity: number;
  destination: string;
  blank?: string;
  shelf?: number;
  made?: number;
  handed_over?: boolean;
}

export interface Job {
  id: number;
  customer?: number;
  called?: string;
  state: string;
  due?: string;
  note?: string;
  partly_handed_over?: boolean;
  lines: JobLine[];
}

export interface JobStep {
  at: string;
  what: string;
  line?: number;
  transfers?: number;
  from_shelf?: number;
  cost?: string;
  note?: string;
  template?: string;
}

/** A line that is asked for, of a design of the bench. */
export interface AskedLine {
  design: string;
  quantity: number;
  destination: string;
  blank: string;
  template: string;
}

export const emptyLine = (): AskedLine => ({ design: '', quantity: 1, destination: 'garment', blank: '', template: 'as needed' });

export const destinations = ['garment', 'bag', 'bow', 'disc', 'decal', 'shelf'];

/** What can be done with the whole of a job in a state. */
export const moves: Record<string, { step: string; label: string }[]> = {
  asked: [
    { step: 'promise', label: 'Promise' },
    { step: 'drop', label: 'Drop' },
  ],
  promised: [
    { step: 'make', label: 'It is made' },
    { step: 'drop', label: 'Drop' },
  ],
  made: [
    { step: 'hand-over', label: 'Hand over' },
    { step: 'drop', label: 'Drop' },
  ],
};

/** The state in words, with what was handed over of it. */
export function stands(j: Job): string {
  return j.partly_handed_over ? `${j.state}, partly handed over` : j.state;
}

/** How far a line is: "5 of 12 made, 3 of them from the shelf". */
export function lineStands(l: JobLine): string {
  const made = l.made ?? 0;
  const parts = [];
  if (made >= l.quantity) parts.push('made');
  else if (made > 0) parts.push(`${made} made, ${l.quantity - made} to make`);
  if (l.shelf) parts.push(`${l.shelf} from the shelf`);
  if (l.handed_over) parts.push('handed over');
  return parts.join(', ');
}

/** Whether a line can be handed over by itself. */
export function mayHandOver(j: Job, l: JobLine): boolean {
  return (j.state === 'promised' || j.state === 'made') && l.destination !== 'shelf' && !l.handed_over && (l.made ?? 0) >= l.quantity;
}

/** One thing that was done with a job, in words. */
export function stepText(s: JobStep): string {
  if (!s.line) return s.what;
  if (s.what === 'handed over') return `line ${s.line} handed over`;
  if (s.what === 'wasted' && !s.transfers) return `stones of line ${s.line} spoiled`;
  const what = s.what === 'wasted' ? 'spoiled' : s.what;
  return `${s.transfers} of line ${s.line} ${what}${s.from_shelf ? `, ${s.from_shelf} from the shelf` : ''}${s.template ? `, with ${s.template}` : ''}`;
}
