import { ask, told } from '../api/client';
import type { Problem } from '../api/types';

/** Part is one list of the shop's book on the page: what is in it, and what went wrong last. */
export class Part<T> {
  rows = $state.raw<T[] | null>(null);
  problem = $state.raw<Problem | null>(null);

  constructor(private readonly path: string) {}

  async load(query = ''): Promise<void> {
    try {
      this.rows = await ask<T[]>(`/api/shop/${this.path}${query}`);
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
