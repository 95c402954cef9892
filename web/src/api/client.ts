import type { Problem } from './types';

/** What the program said no to; the page shows it as it is. */
export class Refused extends Error {
  constructor(readonly problem: Problem) {
    super(problem.detail);
  }
}

/** The program does not answer: it was stopped, or its machine sleeps. */
export class Away extends Error {
  constructor() {
    super('The program does not answer.');
  }
}

export interface Ask {
  method?: string;
  body?: unknown;
  form?: FormData;
  headers?: Record<string, string>;
  signal?: AbortSignal;
  keepalive?: boolean;
}

/** Asks the program and gives what it answers. Throws Refused, Away, or an AbortError. */
export async function ask<T>(path: string, opt: Ask = {}): Promise<T> {
  const headers: Record<string, string> = { ...opt.headers };
  if (opt.body !== undefined) headers['Content-Type'] = 'application/json';
  let answer: Response;
  try {
    answer = await fetch(path, {
      method: opt.method ?? (opt.body === undefined && !opt.form ? 'GET' : 'POST'),
      headers,
      body: opt.form ?? (opt.body === undefined ? undefined : JSON.stringify(opt.body)),
      signal: opt.signal,
      keepalive: opt.keepalive,
    });
  } catch (err) {
    if (err instanceof DOMException && err.name === 'AbortError') throw err;
    throw new Away();
  }
  if (!answer.ok) throw new Refused(await problemOf(answer));
  if (answer.status === 204) return undefined as T;
  return (await answer.json()) as T;
}

async function problemOf(answer: Response): Promise<Problem> {
  const fallback: Problem = {
    status: answer.status,
    code: 'answer',
    where: '',
    detail: `The program answered ${answer.status} and did not say why.`,
    help: '',
  };
  try {
    return { ...fallback, ...((await answer.json()) as Partial<Problem>), status: answer.status };
  } catch {
    return fallback;
  }
}

/** A sentence for people from whatever was thrown. */
export function told(err: unknown): Problem {
  if (err instanceof Refused) return err.problem;
  const detail = err instanceof Error ? err.message : String(err);
  return { status: 0, code: 'page', where: '', detail, help: '' };
}

export function isAborted(err: unknown): boolean {
  return err instanceof DOMException && err.name === 'AbortError';
}
