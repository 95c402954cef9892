import { ask, told } from '../api/client';
import type { Problem, RunFile } from '../api/types';
import type { OpenDesign } from './design.svelte';

interface Made {
  run: string;
  revision: number;
  files: RunFile[];
}

/** Making runs: the files of a design made whole, with progress, as the command line makes them. */
class Making {
  busy = $state(false);
  stage = $state('');
  done = $state(0);
  total = $state(0);
  problem = $state.raw<Problem | null>(null);
  private made = $state.raw<Record<string, Made>>({});
  private source: EventSource | null = null;
  private run = '';

  /** The files of the design as it is now, or null where they have to be made anew. */
  filesOf(design: OpenDesign): RunFile[] | null {
    return this.madeOf(design)?.files ?? null;
  }

  madeOf(design: OpenDesign): Made | null {
    const made = this.made[design.id];
    return made && made.revision === design.revision && design.clean ? made : null;
  }

  /** Whether files were made of an earlier revision. */
  isStale(design: OpenDesign): boolean {
    return !!this.made[design.id] && !this.madeOf(design);
  }

  /** Looks for files that were made before the page was opened. */
  async recall(design: OpenDesign): Promise<void> {
    if (this.madeOf(design)) return;
    try {
      const { run, revision } = await ask<{ run: string; revision: number }>(`/api/designs/${design.id}/runs`);
      await this.keep(design, run, revision);
    } catch {
      // None was made: the page offers to make them.
    }
  }

  private async keep(design: OpenDesign, run: string, revision: number): Promise<void> {
    const files = await ask<RunFile[]>(`/api/runs/${run}/files`);
    this.made = { ...this.made, [design.id]: { run, revision, files } };
  }

  async make(design: OpenDesign): Promise<void> {
    if (this.busy) return;
    this.problem = null;
    this.busy = true;
    this.stage = 'Saving';
    this.done = this.total = 0;
    try {
      await design.save();
      const revision = design.revision;
      const { run } = await ask<{ run: string }>(`/api/designs/${design.id}/runs`, { method: 'POST' });
      this.run = run;
      await follow(`/api/runs/${run}/events`, (source) => (this.source = source), (p) => this.progress(p));
      await this.keep(design, run, revision);
    } catch (err) {
      if (!(err instanceof Stopped)) this.problem = err instanceof Failed ? err.problem : told(err);
    } finally {
      this.busy = false;
      this.source = null;
    }
  }

  private progress(p: { stage: string; done: number; total: number }): void {
    this.stage = p.stage;
    this.done = p.done;
    this.total = p.total;
  }

  async stop(): Promise<void> {
    this.source?.close();
    this.source?.dispatchEvent(new Event('stopped'));
    await ask(`/api/runs/${this.run}`, { method: 'DELETE' }).catch(() => {});
  }
}

/** A run that ended with a fault. */
export class Failed extends Error {
  constructor(readonly problem: Problem) {
    super(problem.detail);
  }
}

class Stopped extends Error {}

/** Follows the events of a run to its end. */
export function follow(path: string, opened: (source: EventSource) => void, progress: (p: { stage: string; done: number; total: number }) => void): Promise<unknown> {
  return new Promise((resolve, reject) => {
    const source = new EventSource(path);
    opened(source);
    const data = (e: Event) => JSON.parse((e as MessageEvent<string>).data || '{}');
    source.addEventListener('progress', (e) => progress(data(e)));
    source.addEventListener('done', (e) => {
      source.close();
      resolve(data(e));
    });
    source.addEventListener('failed', (e) => {
      source.close();
      const body = data(e) as Partial<Problem> & { problem?: Problem };
      reject(new Failed({ status: 422, code: '', where: '', detail: 'The run ended early.', help: '', ...(body.problem ?? body) }));
    });
    source.addEventListener('stopped', () => reject(new Stopped()));
    source.onerror = () => {
      // EventSource asks again by itself while the connection was only lost.
      if (source.readyState === EventSource.CLOSED) reject(new Error('The program went away before it was done. Make the files again.'));
    };
  });
}

export const making = new Making();
