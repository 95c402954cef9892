import { ask, told } from '../api/client';
import type { Design, Problem } from '../api/types';
import { amount } from '../geo/words';
import { Failed, follow } from '../state/making.svelte';

/** Part is one list of the shop's book on the page: what is in it, and what went wrong last. */
export class Part<T> {
  rows = $state.raw<T[] | null>(null);
  problem = $state.raw<Problem | null>(null);
  private query = '';
  private asked = 0;

  constructor(private readonly path: string) {}

  /** Reads the list; without a query with that of the last time. An answer that a later one overtook is dropped. */
  async load(query = this.query): Promise<void> {
    this.query = query;
    const mine = ++this.asked;
    try {
      const rows = await ask<T[]>(`/api/shop/${this.path}${query}`);
      if (mine === this.asked) this.rows = rows;
    } catch (err) {
      this.problem = told(err);
    }
  }

  /** Sends a change and reads the list again; gives false where it was refused. */
  async send(path: string, body: unknown, method = 'POST'): Promise<boolean> {
    this.problem = null;
    try {
      await ask(`/api/shop/${path}`, { method, body });
    } catch (err) {
      this.problem = told(err);
      await this.load();
      return false;
    }
    await this.load();
    return true;
  }
}

/** Without the keys that are empty. */
export function filled<T extends Record<string, unknown>>(of: T): Partial<T> {
  return Object.fromEntries(Object.entries(of).filter(([, v]) => v !== '' && v !== null && v !== undefined)) as Partial<T>;
}

/** A day as people read it. */
export function day(iso: string | undefined): string {
  return iso ? new Date(iso).toLocaleDateString('en-GB', { day: 'numeric', month: 'short', year: 'numeric' }) : '';
}

export interface Setting {
  name: string;
  value: string | null;
  unit?: string;
  source: string;
  about: string;
}

/** What prices are made of, as the book has it; the currency is that of every amount on the page. */
class Settings {
  all = $state.raw<Setting[]>([]);
  problem = $state.raw<Problem | null>(null);
  saved = $state('');
  private turn = 0;

  get currency(): string {
    return this.of('currency');
  }

  /** The settings without which nothing can be priced. */
  get missing(): string[] {
    return ['currency', 'labour', 'flock', 'tape'].filter((name) => !this.of(name));
  }

  of(name: string): string {
    return this.all.find((s) => s.name === name)?.value ?? '';
  }

  async load(): Promise<void> {
    try {
      this.all = await ask<Setting[]>('/api/shop/prices/settings');
    } catch (err) {
      this.problem = told(err);
    }
  }

  /** Keeps one setting; an empty value goes back to the default. */
  async set(name: string, value: string): Promise<void> {
    this.problem = null;
    const mine = ++this.turn;
    try {
      const all = await ask<Setting[]>('/api/shop/prices/settings', { method: 'PUT', body: { [name]: value.trim() } });
      if (mine === this.turn) this.all = all;
      else await this.load(); // others are on their way: as it stands now
      this.saved = name;
    } catch (err) {
      this.problem = told(err);
      this.saved = '';
    }
  }
}

export const settings = new Settings();

/** An amount as people read it, in the shop's money where that is said. */
export function money(text: string | undefined, decimals?: number): string {
  if (!text) return '';
  return amount(text, settings.currency, decimals);
}

/** The share of a tax, with all its decimals: 0.09975 is 9.975%. */
export const rate = (share: string): string => `${Number((Number(share) * 100).toFixed(6))}%`;

/** A share as people read it: 0.4012 is 40.1%. */
export function percent(share: string): string {
  return `${Number((Number(share) * 100).toFixed(1))}%`;
}

/** Files makes the files of a design, where there are none of it as it is now. */
export class Files {
  busy = $state(false);
  stage = $state('');
  problem = $state.raw<Problem | null>(null);
  private known = new Map<string, Promise<string>>();

  /** The run of a design as it is now; null where it could not be made. */
  async of(id: string): Promise<string | null> {
    this.problem = null;
    const late = setTimeout(() => (this.busy = true), 400);
    try {
      const design = await ask<Design>(`/api/designs/${id}`);
      const key = `${id} ${design.revision}`;
      let run = this.known.get(key);
      if (!run) this.known.set(key, (run = this.make(id, design.revision)));
      try {
        const found = await run;
        await ask(`/api/runs/${found}/files`); // it is at hand for a while only
        return found;
      } catch (err) {
        this.known.delete(key);
        throw err;
      }
    } catch (err) {
      this.problem = err instanceof Failed ? err.problem : told(err);
      return null;
    } finally {
      clearTimeout(late);
      this.busy = false;
    }
  }

  private async make(id: string, revision: number): Promise<string> {
    try {
      const last = await ask<{ run: string; revision: number }>(`/api/designs/${id}/runs`);
      if (last.revision === revision) return last.run;
    } catch {
      // None was made yet.
    }
    const { run } = await ask<{ run: string }>(`/api/designs/${id}/runs`, { method: 'POST' });
    await follow(`/api/runs/${run}/events`, () => {}, (p) => (this.stage = p.stage));
    return run;
  }
}

/** What papers are printed on and in, as chosen last. */
class Printing {
  paper = $state(localStorage.getItem('brushfall paper') ?? 'a4');
  language = $state(localStorage.getItem('brushfall language') ?? 'en');

  choose(what: 'paper' | 'language', value: string): void {
    this[what] = value;
    localStorage.setItem(`brushfall ${what}`, value);
  }

  /** The address of a paper, with these. */
  at(path: string): string {
    return `${path}${path.includes('?') ? '&' : '?'}paper=${this.paper}&language=${this.language}`;
  }
}

export const printing = new Printing();

export const languages = [
  { code: 'en', name: 'English' },
  { code: 'de', name: 'Deutsch' },
  { code: 'es', name: 'Español' },
];
