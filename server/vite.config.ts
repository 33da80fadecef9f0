import { readFileSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';

const root = fileURLToPath(new URL('..', import.meta.url));
const { dependencies } = JSON.parse(
  readFileSync(new URL('../package.json', import.meta.url), 'utf8'),
);

// Built to run without dev packages: our own sources and the demo's data go into the bundle, installed
// packages stay outside, and migrations are read from the project's folder.
export default defineConfig({
  root,
  build: {
    ssr: true,
    target: 'node20',
    outDir: 'dist/server',
    emptyOutDir: true,
    minify: false,
    sourcemap: true,
    rolldownOptions: {
      input: {
        main: 'server/main.ts',
        cli: 'server/cli.ts',
        'sheet-worker': 'server/sheet/sheet-worker.ts',
      },
      external: (id) =>
        builtinModules.includes(id.replace(/^node:/, '')) ||
        Object.keys(dependencies).some((name) => id === name || id.startsWith(`${name}/`)),
      output: { entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
    },
  },
});
