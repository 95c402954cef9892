import { ask, Away, isAborted, Refused, told } from '../api/client';
import type { Design, Job, Layout, LaidRegion, Outline, OutlineRegion, Problem } from '../api/types';
import type { Change } from '../job/rules';

/** How long the job rests before the layout is finished as it will be cut, ms. */
const rest = 700;
/** How often a program that is away is asked for again, ms. */
const again = 1500;

/** By what name the program knows this window's layouts. */
const me = crypto.randomUUID?.() ?? String(Math.random());

const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel('brushfall');

/**
 * OpenDesign is the design that is worked on: its job as the page shows it, what
 * of it is saved, and the newest layout. Every change is a function on the job, so that
 * it can be made again on a newer revision that another window saved.
 */
export class OpenDesign {
  readonly id: string;
  name = $state('');
  revision = $state(0);
  first = $state(0);
  last = $state(0);
  /** The job with every change, saved or not. */
  job = $state.raw<Job>({});
  drawings = $state.raw<{ name: string; bytes: number }[]>([]);
  layout = $state.raw<Layout | null>(null);
  outline = $state.raw<Outline | null>(null);
  /** What the layout on screen is: a quick look, or as it will be cut. */
  finished = $state(false);
  laying = $state(false);
  saving = $state(false);
  away = $state(false);
  /** Why the job as it stands cannot be laid out or saved. */
  problem = $state.raw<Problem | null>(null);
  /** Something the person should know once: another window's change, a lost file. */
  news = $state('');
  /** Time from the last change to its layout, ms. */
  lag = $state(0);

  private saved: Job = {};
  private pending: Change[] = [];
  private draft: Change | null = null;
  private laid: AbortController | null = null;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private retry: ReturnType<typeof setTimeout> | undefined;
  private saveLoop: Promise<void> | null = null;
  private closed = false;
  private outlineOf = '';
  private readonly heard = (e: MessageEvent) => this.hear(e.data as { id: string; revision: number });

  constructor(id: string) {
    this.id = id;
    channel?.addEventListener('message', this.heard);
  }

  close(): void {
    this.closed = true;
    channel?.removeEventListener('message', this.heard);
    clearTimeout(this.timer);
    clearTimeout(this.retry);
    this.laid?.abort();
  }

  get canUndo(): boolean {
    return this.pending.length > 0 || this.revision > this.first;
  }

  get canRedo(): boolean {
    return this.pending.length === 0 && this.revision < this.last;
  }

  get clean(): boolean {
    return !this.saving && this.pending.length === 0;
  }

  /** The regions of the artwork by id, for rules. */
  region(id: string | undefined): OutlineRegion | undefined {
    return this.outline?.regions.find((r) => r.id === id);
  }

  laidRegion(id: string | undefined): LaidRegion | undefined {
    return this.layout?.regions.find((r) => r.id === id);
  }

  async open(): Promise<void> {
    const d = await ask<Design>(`/api/designs/${this.id}`);
    this.take(d);
    await this.lay('live');
  }

  private take(d: Design): void {
    this.name = d.name;
    this.revision = d.revision;
    this.first = d.first;
    this.last = d.last;
    this.saved = d.job;
    this.job = this.pending.reduce((job, change) => change(job), d.job);
    this.drawings = d.drawings;
  }

  /** Shows a change that is not done yet, as while a slider is dragged. */
  try(change: Change): void {
    this.draft = change;
    this.job = change(this.current());
    void this.lay('live');
  }

  /** Makes a change and saves it. */
  change(change: Change): void {
    this.draft = null;
    const before = this.current();
    const after = change(before);
    if (JSON.stringify(before) === JSON.stringify(after)) {
      this.job = after;
      return;
    }
    this.pending = [...this.pending, change];
    this.job = after;
    void this.lay('live');
    void this.save();
  }

  private current(): Job {
    return this.pending.reduce((job, change) => change(job), this.saved);
  }

  /** Saves what is pending; one request at a time, what came meanwhile goes with the next. */
  save(): Promise<void> {
    this.saveLoop ??= this.saveAll().finally(() => {
      this.saveLoop = null;
    });
    return this.saveLoop;
  }

  private async saveAll(): Promise<void> {
    while (this.pending.length > 0 && !this.closed) {
      const sent = this.pending;
      const job = sent.reduce((j, change) => change(j), this.saved);
      this.saving = true;
      try {
        const { revision } = await ask<{ revision: number }>(`/api/designs/${this.id}/job`, {
          method: 'PUT',
          body: job,
          headers: { 'If-Match': String(this.revision) },
          keepalive: JSON.stringify(job).length < 60_000,
        });
        this.saved = job;
        this.pending = this.pending.slice(sent.length);
        this.revision = revision;
        this.last = revision;
        this.back();
        this.refreshName(job);
        channel?.postMessage({ id: this.id, revision });
        this.renewOutline();
      } catch (err) {
        if (!(await this.mended(err, sent.length))) return;
      } finally {
        this.saving = false;
      }
    }
  }

  private refreshName(job: Job): void {
    if (job.design) this.name = job.design;
  }

  /** Deals with a save that failed; says whether it should be tried again at once. */
  private async mended(err: unknown, sent: number): Promise<boolean> {
    if (err instanceof Away) {
      this.waitForProgram();
      return false;
    }
    if (err instanceof Refused && err.problem.status === 409) {
      this.take(await ask<Design>(`/api/designs/${this.id}`));
      this.news = 'This design was changed in another window. Your change was made on top of that one.';
      return true;
    }
    if (err instanceof Refused && err.problem.status === 507) {
      this.problem = err.problem;
      this.retry = setTimeout(() => void this.save(), 4 * again);
      return false;
    }
    // The job cannot be: what was changed goes back to what is saved.
    this.pending = this.pending.slice(sent);
    this.job = this.current();
    this.problem = told(err);
    void this.lay('live', true);
    return this.pending.length > 0;
  }

  private waitForProgram(): void {
    this.away = true;
    clearTimeout(this.retry);
    this.retry = setTimeout(() => void this.lookForProgram(), again);
  }

  private async lookForProgram(): Promise<void> {
    if (this.closed) return;
    try {
      const d = await ask<Design>(`/api/designs/${this.id}`);
      this.back();
      if (d.revision !== this.revision) this.take(d);
      await this.save();
      await this.lay('live');
    } catch (err) {
      if (err instanceof Away) this.waitForProgram();
      else this.problem = told(err);
    }
  }

  private back(): void {
    this.away = false;
    clearTimeout(this.retry);
    if (this.problem?.status === 507) this.problem = null;
  }

  private hear(told: { id: string; revision: number }): void {
    if (told.id !== this.id || told.revision === this.revision || !this.clean) return;
    void ask<Design>(`/api/designs/${this.id}`).then((d) => {
      if (d.revision === this.revision) return;
      this.take(d);
      this.news = 'Changed in another window: this is the newest.';
      void this.lay('live');
    }, () => {});
  }

  async step(way: 'undo' | 'redo'): Promise<void> {
    await this.save();
    try {
      const d = await ask<Design>(`/api/designs/${this.id}/${way}`, { method: 'POST' });
      this.problem = null;
      this.take(d);
      channel?.postMessage({ id: this.id, revision: d.revision });
      await this.lay('live');
    } catch (err) {
      if (err instanceof Away) this.waitForProgram();
      else if (!(err instanceof Refused && err.problem.status === 409)) this.problem = told(err);
    }
  }

  /** Lays the job out as it stands; a newer call ends an older one. */
  async lay(effort: 'live' | 'final', keepProblem = false): Promise<void> {
    clearTimeout(this.timer);
    this.laid?.abort();
    const control = new AbortController();
    this.laid = control;
    const job = this.job;
    const start = performance.now();
    this.laying = true;
    const own = this.pending.length === 0 && this.draft === null;
    try {
      const layout = await ask<Layout>(`/api/designs/${this.id}/layout`, {
        body: own ? { effort, window: me } : { effort, window: me, job },
        signal: control.signal,
      });
      if (this.laid !== control || this.closed) return;
      this.layout = layout;
      this.finished = effort === 'final';
      if (effort === 'live') this.lag = performance.now() - start;
      if (!keepProblem) this.problem = this.problem?.status === 507 ? this.problem : null;
      // A full disk lays stones as before: only a save ends that.
      if (this.away) this.back();
      this.renewOutline();
      if (effort === 'live') this.timer = setTimeout(() => void this.lay('final', true), rest);
    } catch (err) {
      if (isAborted(err) || this.laid !== control || this.closed) return;
      if (err instanceof Away) this.waitForProgram();
      else if (err instanceof Refused && err.problem.code === 'layout-newer') this.timer = setTimeout(() => void this.lay(effort), rest);
      else this.problem = told(err);
      this.renewOutline();
    } finally {
      if (this.laid === control) this.laying = false;
    }
  }

  /** Fetches the outlines where what they depend on has been saved anew. */
  private renewOutline(): void {
    const { artwork, drawings, width, height, widths, lettering, regions } = this.saved;
    const of = JSON.stringify([artwork, drawings, width, height, widths, lettering, regions, this.drawings]);
    if (of === this.outlineOf) return;
    this.outlineOf = of;
    void ask<Outline>(`/api/designs/${this.id}/outline`).then(
      (o) => {
        this.outline = o;
      },
      () => {
        this.outlineOf = '';
      },
    );
  }

  /** Brings one more file into the design, or another in the place of the one of its name. */
  async bring(file: File): Promise<void> {
    const form = new FormData();
    form.append('drawing', file);
    await this.save();
    this.take(await ask<Design>(`/api/designs/${this.id}/drawings`, { form }));
    this.outlineOf = '';
    await this.lay('live');
  }
}
