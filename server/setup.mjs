// What `npm start`, `npm test` and `npm run bench` need before anything else can run. Plain JavaScript
// on Node's own modules, because on a fresh clone no package is installed yet.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('..', import.meta.url));
const OLDEST_NODE = [20, 19];

/** Stops with one line if this Node is too old to run the project. */
export function requireNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major > OLDEST_NODE[0] || (major === OLDEST_NODE[0] && minor >= OLDEST_NODE[1])) return;
  fail(
    `Counterlean needs Node ${OLDEST_NODE.join('.')} or later; this is ${process.versions.node}.`,
  );
}

/** Runs a command in the project folder with its output shown; stops if it fails. */
export function run(command, args, env = {}) {
  const result = spawnSync(command, args, {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, ...env },
    // npm is a script on Windows and can only be started through its shell.
    shell: process.platform === 'win32',
  });
  if (result.status !== 0) fail(`"${command} ${args.join(' ')}" did not finish; see above.`);
}

/** Installs the locked packages if they are missing or belong to another lock file. */
export function ensureDependencies() {
  const lock = digest([join(root, 'package-lock.json')]);
  const stamp = join(root, 'node_modules', '.counterlean-lock');
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === lock) return;
  if (!installedAfterLock()) {
    console.log('Installing packages (the first time takes a minute or two) ...');
    run('npm', ['ci']);
  }
  writeFileSync(stamp, lock);
}

// Someone who ran `npm ci` by hand has no stamp of ours, but a tree that is newer than the lock file.
function installedAfterLock() {
  const installed = join(root, 'node_modules', '.package-lock.json');
  if (!existsSync(installed)) return false;
  return statSync(installed).mtimeMs >= statSync(join(root, 'package-lock.json')).mtimeMs;
}

const builtFrom = join(root, 'dist', '.sources');

/** Digest of everything that a build is made of. */
function sourceDigest() {
  const sources = ['core', 'web', 'server', 'demo-data', 'migrations'].flatMap((folder) =>
    filesUnder(join(root, folder)),
  );
  return digest([...sources, join(root, 'package-lock.json'), join(root, 'package.json')]);
}

/** Whether the last build was made of the sources as they are. */
export const isBuilt = (now = sourceDigest()) =>
  existsSync(builtFrom) && readFileSync(builtFrom, 'utf8') === now;

/** Builds page and server if any source differs from what the last build was made of. */
export function ensureBuilt() {
  const now = sourceDigest();
  if (isBuilt(now)) return;
  console.log('Building page and server ...');
  run('npm', ['run', '--silent', 'build']);
  mkdirSync(join(root, 'dist'), { recursive: true });
  writeFileSync(builtFrom, now);
}

function filesUnder(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath ?? entry.path, entry.name))
    .sort();
}

function digest(files) {
  const hash = createHash('sha256');
  for (const file of files) hash.update(file.slice(root.length)).update(readFileSync(file));
  return hash.digest('hex');
}

/** @returns {never} */
export function fail(message) {
  console.error(message);
  process.exit(1);
}
