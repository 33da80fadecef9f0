// `npm test`: everything, from a fresh clone. `npm run bench`: the measurements (--bench). `npm run soak`:
// a server at work for half an hour (--soak; minutes behind `--` shorten it).
// Names of files or folders behind `--` narrow the tests: npm test -- tests/core

import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ensureBuilt, ensureDependencies, fail, requireNode, root, run } from '../server/setup.mjs';

requireNode();
ensureDependencies();

if (process.argv.includes('--bench')) {
  ensureBuilt();
  run(process.execPath, [bin('tsx/dist/cli.mjs'), 'tests/bench/run.ts', ...only()]);
  process.exit(0);
}
if (process.argv.includes('--soak')) {
  ensureBuilt();
  run(process.execPath, [bin('tsx/dist/cli.mjs'), 'tests/bench/soak.ts', ...only()]);
  process.exit(0);
}

run('npm', ['run', '--silent', 'typecheck']);
run('npm', ['run', '--silent', 'lint']);
ensureBuilt();
const { findBrowser, HOW_TO_GET_A_BROWSER } = await import('./helpers/find-browser.mjs');
const browser = findBrowser();
const projects = browser === null ? ['--project', 'unit'] : [];
const folder = mkdtempSync(join(tmpdir(), 'counterlean-tests-'));
const report = join(folder, 'report.json');
const result = spawnSync(
  process.execPath,
  [
    ...[
      bin('vitest/vitest.mjs'),
      'run',
      '--config',
      'tests/vitest.config.ts',
      ...projects,
      ...only(),
    ],
    ...['--reporter=default', '--reporter=json', `--outputFile.json=${report}`],
  ],
  { cwd: root, stdio: 'inherit' },
);
printTotals(report);
rmSync(folder, { recursive: true, force: true });
if (result.status !== 0) process.exit(result.status ?? 1);
if (browser === null) fail(`The browser tests did not run: ${HOW_TO_GET_A_BROWSER}`);

function bin(path) {
  return join(root, 'node_modules', path);
}

function only() {
  return process.argv
    .slice(2)
    .filter((argument) => argument !== '--bench' && argument !== '--soak');
}

// What was broken on purpose, and one plain closing line for people and for machines that read logs.
function printTotals(file) {
  if (!existsSync(file)) return;
  const totals = JSON.parse(readFileSync(file, 'utf8'));
  const skipped = totals.numPendingTests + (totals.numTodoTests ?? 0);
  const tail = skipped > 0 ? `, ${skipped} skipped` : '';
  const faults = faultsOf(totals);
  if (faults !== '') console.log(`come through: ${faults}`);
  console.log(`tests: ${totals.numPassedTests} passed, ${totals.numFailedTests} failed${tail}`);
}

// What was broken on purpose (tests/helpers/counted.ts), by tests that came through it.
function faultsOf({ testResults }) {
  const sums = new Map();
  for (const { meta, status } of testResults.flatMap(({ assertionResults }) => assertionResults)) {
    if (status !== 'passed') continue;
    for (const [fault, count] of Object.entries(meta?.counted ?? {}))
      sums.set(fault, (sums.get(fault) ?? 0) + count);
  }
  return [...sums].map(([fault, count]) => `${count.toLocaleString('en')} ${fault}`).join(', ');
}
