// Keys that work everywhere on the page. Those of the mat are in the stage and its tools.

import { app } from './app.svelte';
import { making } from './making.svelte';
import { stations } from './route';

export interface KeyHelp {
  keys: string[];
  text: string;
}

/** The cheat sheet. */
export const help: { head: string; keys: KeyHelp[] }[] = [
  {
    head: 'Everywhere',
    keys: [
      { keys: ['?'], text: 'this sheet' },
      { keys: ['U'], text: 'inches or millimetres first' },
      { keys: ['Tab'], text: 'to the next field or button; onto the mat, too' },
    ],
  },
  {
    head: 'In a design',
    keys: [
      { keys: ['1', '…', '5'], text: 'go to drawing, stones, plates, sheets, papers' },
      { keys: ['Ctrl Z'], text: 'undo' },
      { keys: ['Ctrl Y', 'Ctrl Shift Z'], text: 'redo' },
      { keys: ['M'], text: 'make the files' },
      { keys: ['F'], text: 'to the next finding' },
      { keys: ['Esc'], text: 'close the findings' },
    ],
  },
  {
    head: 'On the mat',
    keys: [
      { keys: ['+', '−'], text: 'zoom' },
      { keys: ['0'], text: 'show everything' },
      { keys: ['←', '↑', '→', '↓'], text: 'move the view' },
    ],
  },
  {
    head: 'Several drawings',
    keys: [
      { keys: ['←', '↑', '→', '↓'], text: 'move the picked one by 1 mm, with Shift 10 mm' },
      { keys: ['Esc'], text: 'let go' },
    ],
  },
  {
    head: 'Stones by hand',
    keys: [
      { keys: ['V', 'A', 'P'], text: 'pick and move, add, paint' },
      { keys: ['←', '↑', '→', '↓'], text: 'from stone to stone' },
      { keys: ['Enter'], text: 'take the stone up; put it down' },
      { keys: ['←', '↑', '→', '↓'], text: 'a stone in the air: 0.1 mm, with Shift 1 mm' },
      { keys: ['Delete', 'Backspace'], text: 'take the stone out' },
      { keys: ['C'], text: 'give it the chosen colour' },
      { keys: ['R'], text: 'give its whole row the chosen colour' },
      { keys: ['Esc'], text: 'leave it as it was; let go' },
    ],
  },
  {
    head: 'Plates on sheets',
    keys: [
      { keys: ['Enter'], text: 'pick a plate, the next one' },
      { keys: ['←', '↑', '→', '↓'], text: 'move it by 1 mm, with Shift 10 mm' },
      { keys: ['T'], text: 'turn it' },
      { keys: ['S'], text: 'to the next free place, also on another sheet' },
      { keys: ['Esc'], text: 'let go' },
    ],
  },
  {
    head: 'Making, step by step',
    keys: [
      { keys: ['N', 'B'], text: 'next step, one step back' },
      { keys: ['Space'], text: 'play or hold' },
    ],
  },
];

/** Says whether the key belongs to a field that is being typed into. */
export function isTyping(e: KeyboardEvent): boolean {
  const at = e.target as HTMLElement | null;
  if (!at) return false;
  if (at instanceof HTMLInputElement) return !['checkbox', 'radio', 'button', 'range', 'color'].includes(at.type);
  return at.isContentEditable || at instanceof HTMLTextAreaElement || at instanceof HTMLSelectElement;
}

/** Says whether what has the focus answers to the key itself, as a button does to Space. */
function answers(e: KeyboardEvent): boolean {
  return e.key === ' ' && e.target instanceof Element && e.target.closest('button, a, summary, input') !== null;
}

/** What stations add while they are open. */
export const stationKeys = new Map<string, () => void>();

export function onKey(e: KeyboardEvent): void {
  if (isTyping(e) || document.querySelector('dialog[open]')) return;
  const design = app.design;
  if ((e.ctrlKey || e.metaKey) && design) {
    const key = e.key.toLowerCase();
    if (key === 'z' || key === 'y') {
      e.preventDefault();
      void design.step(key === 'y' || e.shiftKey ? 'redo' : 'undo');
    }
    return;
  }
  if (e.ctrlKey || e.metaKey || e.altKey || answers(e)) return;
  if (e.key === '?') {
    app.sheetOpen = true;
    e.preventDefault();
    return;
  }
  const own = stationKeys.get(e.key.toLowerCase());
  if (own) {
    e.preventDefault();
    own();
    return;
  }
  const letter = e.key.toLowerCase();
  if (letter === 'u') app.setUnit(app.unit === 'in' ? 'mm' : 'in');
  if (!design) return;
  const at = Number(e.key);
  if (at >= 1 && at <= stations.length) app.go({ page: 'design', id: design.id, station: stations[at - 1]! });
  if (letter === 'm') {
    app.go({ page: 'design', id: design.id, station: 'papers' });
    void making.make(design);
  }
}
