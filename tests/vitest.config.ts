import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));

// Two projects: `unit` runs in parallel and needs nothing but the sources; `browser` drives the built
// page in a real Chromium, one file at a time, because the machine that this must pass on has 2 cores.
export default defineConfig({
  root,
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/browser/**'],
          testTimeout: 60_000,
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          testTimeout: 90_000,
          hookTimeout: 90_000,
          fileParallelism: false,
          // A busy machine takes its time; what never comes still fails within the test's own time.
          expect: { poll: { timeout: 20_000, interval: 100 } },
        },
      },
    ],
  },
});
