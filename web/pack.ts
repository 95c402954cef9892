import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';
import type { Plugin } from 'vite';

/** What is packed already gains nothing from it. */
const text = /\.(html|js|css|svg)$/;

/**
 * Clears what an earlier build left, and packs what this one has made, so that the
 * program hands it out without packing anything itself. The folder `plain`, which is
 * shown where the page was never built, stays.
 */
export function pack(): Plugin {
  let out = '';
  return {
    name: 'pack',
    apply: 'build',
    configResolved(config) {
      out = join(config.root, config.build.outDir);
    },
    buildStart() {
      for (const name of readdirSync(out)) if (name !== 'plain') rmSync(join(out, name), { recursive: true });
    },
    closeBundle() {
      for (const name of readdirSync(out, { recursive: true, encoding: 'utf8' })) {
        if (name.startsWith('plain') || !text.test(name)) continue;
        const data = readFileSync(join(out, name));
        writeFileSync(join(out, name + '.gz'), gzipSync(data, { level: 9 }));
        writeFileSync(join(out, name + '.br'), brotliCompressSync(data, { params: { [constants.BROTLI_PARAM_QUALITY]: 11, [constants.BROTLI_PARAM_SIZE_HINT]: data.length } }));
      }
    },
  };
}
