// Prints what all tests/bench/*.bench.ts files measure; names behind it narrow the files.
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'vite';
import type { BenchRow } from './rows.ts';

const folder = fileURLToPath(new URL('.', import.meta.url));
const root = join(folder, '..', '..');
const built = join(root, 'dist', 'bench');
const wanted = process.argv.slice(2);
const files = readdirSync(folder)
  .filter((name) => name.endsWith('.bench.ts'))
  .filter((name) => wanted.length === 0 || wanted.some((part) => name.includes(part)))
  .sort();

// Measured is what ships: the code as built. (The loader that runs TypeScript directly names every
// function at run time, which makes code with many small functions several times slower.)
await build({
  configFile: false,
  root,
  logLevel: 'error',
  build: {
    ssr: true,
    outDir: built,
    emptyOutDir: true,
    minify: false,
    target: 'node20',
    rollupOptions: {
      input: files.map((file) => join(folder, file)),
      output: { entryFileNames: '[name].js' },
    },
  },
});

for (const file of files) {
  const { run } = (await import(pathToFileURL(join(built, file.replace(/\.ts$/, '.js'))).href)) as {
    run(): Promise<BenchRow[]>;
  };
  console.log(`\n${file}`);
  print(await run());
}

function print(rows: readonly BenchRow[]): void {
  const width = Math.max(...rows.map(({ name }) => name.length));
  for (const { name, value, unit, ratio, peer } of rows) {
    const number = value >= 100 ? value.toFixed(0) : value.toPrecision(3);
    const beside = ratio === undefined ? '' : `   ${ratio.toFixed(2)} x ${peer}`;
    console.log(`  ${name.padEnd(width)}  ${number.padStart(8)} ${unit}${beside}`);
  }
}
