import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';
import { pack } from './pack.ts';

// The pages go where the program embeds them from. Nothing is inlined: the
// program's content security policy allows neither inline scripts nor data: URLs.
export default defineConfig({
  plugins: [svelte(), pack()],
  base: './',
  build: {
    outDir: '../internal/web/dist',
    emptyOutDir: false,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    target: 'es2022',
  },
  server: { proxy: { '/api': process.env.BRUSHFALL ?? 'http://127.0.0.1:8787' } },
  test: {
    projects: [
      { extends: true, test: { name: 'logic', include: ['src/**/*.test.ts'], testTimeout: 60_000 } },
      {
        extends: true,
        test: {
          name: 'browser',
          include: ['browser/**/*.test.ts'],
          globalSetup: './browser/setup.ts',
          testTimeout: 120_000,
          hookTimeout: 120_000,
          // Scenarios wait half of their time: three keep two processors busy.
          maxWorkers: 3,
          expect: { poll: { timeout: 20_000, interval: 100 } },
        },
      },
      {
        extends: true,
        test: { name: 'figures', include: ['browser/**/*.figures.ts'], globalSetup: './browser/setup.ts', testTimeout: 300_000, hookTimeout: 60_000, maxWorkers: 1 },
      },
      {
        extends: true,
        test: { name: 'pictures', include: ['browser/**/*.pictures.ts'], globalSetup: './browser/setup.ts', testTimeout: 300_000, hookTimeout: 300_000, maxWorkers: 1, expect: { poll: { timeout: 20_000, interval: 100 } } },
      },
    ],
  },
});
