import { ask, Refused, told } from '../api/client';
import type { About, Design, Problem } from '../api/types';
import { inUnit, unitOf, type Unit } from '../geo/length';
import { OpenDesign } from './design.svelte';
import { address, parse, type Route } from './route';

type Theme = 'light' | 'dark';

/** What the whole page knows: where it is, what there is to choose from, what is open. */
class App {
  about = $state.raw<About | null>(null);
  route = $state.raw<Route>({ page: 'shelf' });
  design = $state.raw<OpenDesign | null>(null);
  problem = $state.raw<Problem | null>(null);
  theme = $state<Theme>('light');
  unit = $state<Unit>('in');
  sheetOpen = $state(false); // the cheat sheet of keys
  /** Read out by screen readers; the last thing that happened. */
  said = $state('');
  /** The design that is being opened; another takes its place when the address changes. */
  private opening: string | null = null;

  async start(): Promise<void> {
    this.theme = (stored('theme') as Theme | null) ?? (matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light');
    document.documentElement.dataset.theme = this.theme;
    if (stored('unit') === 'mm') this.unit = 'mm';
    addEventListener('hashchange', () => void this.follow());
    await this.look();
    await this.follow();
  }

  /** Reads again what there is to choose from; the shop adds colours of its own. */
  async look(): Promise<void> {
    try {
      this.about = await ask<About>('/api/about');
    } catch (err) {
      this.problem = told(err);
    }
  }

  setTheme(theme: Theme): void {
    this.theme = theme;
    document.documentElement.dataset.theme = theme;
    store('theme', theme);
  }

  setUnit(unit: Unit): void {
    this.unit = unit;
    store('unit', unit);
  }

  go(route: Route): void {
    const to = address(route);
    if (location.hash === to) void this.follow();
    else location.hash = to;
  }

  /** Changes the address without a step in the history: what is picked on a station. */
  note(route: Route): void {
    this.route = route;
    history.replaceState(null, '', address(route));
  }

  private async follow(): Promise<void> {
    const route = parse(location.hash);
    const id = route.page === 'design' || route.page === 'list' ? route.id : null;
    if (this.design && this.design.id !== id) {
      const left = this.design;
      this.design = null;
      void left.save().finally(() => left.close());
    }
    this.route = route;
    if (!id || this.design || this.opening === id) {
      if (!id) this.opening = null;
      return;
    }
    this.opening = id;
    const design = new OpenDesign(id);
    try {
      await design.open();
      if (this.opening !== id) return design.close(); // gone elsewhere meanwhile
      const unit = unitOf(design.job.width ?? design.job.height);
      if (unit && !stored('unit')) this.unit = unit;
      this.design = design;
      this.problem = null;
    } catch (err) {
      design.close();
      if (this.opening !== id) return;
      this.problem = told(err);
      if (err instanceof Refused && err.problem.status === 404) this.go({ page: 'shelf' });
    } finally {
      if (this.opening === id) this.opening = null;
    }
  }

  /** Begins a design and opens it. */
  async begin(from: { sample: string } | { lettering: { text: string; face?: string; height?: string } } | File): Promise<void> {
    this.problem = null;
    try {
      let made: Design;
      if (from instanceof File) {
        const form = new FormData();
        form.append('drawing', from);
        made = await ask<Design>('/api/designs', { form });
      } else {
        made = await ask<Design>('/api/designs', { body: from });
      }
      this.go({ page: 'design', id: made.id, station: 'stones' });
    } catch (err) {
      this.problem = told(err);
    }
  }

  length(mm: number): string {
    return inUnit(mm, this.unit);
  }
}

function stored(key: string): string | null {
  try {
    return localStorage.getItem(`brushfall ${key}`);
  } catch {
    return null;
  }
}

function store(key: string, value: string): void {
  try {
    localStorage.setItem(`brushfall ${key}`, value);
  } catch {
    // Without storage the choice lasts as long as the page.
  }
}

export const app = new App();
