import { execFileSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { TestProject } from 'vitest/node';

declare module 'vitest' {
  export interface ProvidedContext {
    program: string;
  }
}

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Builds the program with the page in it, once for all scenarios. */
export default function setup(project: TestProject): void {
  const folder = fileURLToPath(new URL('../node_modules/.cache/brushfall', import.meta.url));
  const program = `${folder}/brushfall`;
  mkdirSync(folder, { recursive: true });
  if (!process.env.BRUSHFALL_PROGRAM) execFileSync('go', ['build', '-o', program, './cmd/brushfall'], { cwd: root, stdio: 'inherit' });
  project.provide('program', process.env.BRUSHFALL_PROGRAM ?? program);
}
