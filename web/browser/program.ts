import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { inject } from 'vitest';

/** The real program on a free port, with a home of its own. */
export class Program {
  url = '';
  private child: ChildProcess | null = null;
  private port = 0;

  constructor(
    readonly home = mkdtempSync(join(tmpdir(), 'brushfall-bench-')),
    /** What a shell does before it becomes the program: `ulimit`, say. */
    private readonly before = '',
  ) {}

  /** Starts it, at the same port again after a kill. */
  async start(...flags: string[]): Promise<void> {
    const args = ['open', '--no-browser', '--addr', `127.0.0.1:${this.port}`, ...flags];
    const child = spawn('bash', ['-c', `${this.before} exec "$0" "$@"`, inject('program'), ...args], {
      env: { ...process.env, HOME: this.home, XDG_DATA_HOME: join(this.home, 'data') },
    });
    this.child = child;
    this.url = await new Promise((resolve, reject) => {
      let text = '';
      const hear = (data: Buffer) => {
        text += data.toString();
        const found = /http:\/\/[\d.]+:(\d+)\S*/.exec(text);
        if (!found) return;
        this.port = Number(found[1]);
        resolve(found[0].endsWith('/') || found[0].includes('#') ? found[0] : found[0] + '/');
      };
      child.stdout!.on('data', hear);
      child.stderr!.on('data', hear);
      child.on('exit', (code) => reject(new Error(`the program ended with ${code}: ${text}`)));
    });
  }

  /** Ends it as a power cut would. */
  kill(): Promise<void> {
    const child = this.child;
    this.child = null;
    if (!child || child.exitCode !== null) return Promise.resolve();
    return new Promise((resolve) => {
      child.on('exit', () => resolve());
      child.kill('SIGKILL');
    });
  }

  async end(): Promise<void> {
    await this.kill();
    rmSync(this.home, { recursive: true, force: true });
  }
}
