import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));

interface Import {
  readonly file: string;
  readonly specifier: string;
  /** Project path of the imported file, or null for a package. */
  readonly target: string | null;
}

function sources(folder: string): string[] {
  return readdirSync(join(root, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.m?ts$/.test(entry.name))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)).split(sep).join('/'));
}

function importsOf(file: string): Import[] {
  const text = readFileSync(join(root, file), 'utf8');
  // A statement at the start of a line, over several lines or not, or a dynamic import.
  const found = text.matchAll(
    /^(?:import|export)\s(?:[^;'"]*?\sfrom\s)?\s*['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]/gm,
  );
  return [...found]
    .map(([, stated, dynamic]) => stated ?? dynamic ?? '')
    .map((specifier) => ({
      file,
      specifier,
      target: specifier.startsWith('.')
        ? relative(root, resolve(root, dirname(file), specifier))
            .split(sep)
            .join('/')
        : null,
    }));
}

const show = (list: readonly Import[]): string[] =>
  list.map(({ file, specifier }) => `${file} imports ${specifier}`);

const imports = ['core', 'web', 'server'].flatMap(sources).flatMap(importsOf);

// Inside core a folder may import itself and the folders named here (design: one picture).
const CORE_ARROWS: Record<string, readonly string[]> = {
  geometry: [],
  body: ['geometry'],
  pose: ['geometry', 'body'],
  scene: ['geometry', 'body', 'pose'],
  contact: ['geometry', 'body', 'pose', 'scene'],
  balance: ['geometry', 'body', 'pose', 'scene', 'contact'],
  compare: ['geometry', 'body', 'pose', 'scene', 'contact', 'balance'],
  motion: ['geometry', 'body', 'pose', 'scene', 'contact', 'balance'],
  formats: ['geometry', 'body', 'pose', 'scene', 'contact', 'balance', 'motion'],
  drawing: ['geometry', 'body', 'pose', 'scene', 'contact', 'balance', 'motion'],
  protocol: [],
  document: [
    ...['geometry', 'body', 'pose', 'scene', 'contact', 'balance', 'motion'],
    ...['formats', 'protocol'],
  ],
  sheet: ['balance', 'scene', 'motion', 'drawing', 'document'],
};

// Packages that core may use: pure computation, no page and no machine. The glTF reader resolves the
// format's accessors (strided, sparse, normalised) and is only given bytes: core uses its WebIO, which
// neither fetches nor opens a file that way, and loads it when a glTF file is read, not before.
const CORE_PACKAGES = [
  ...['@gltf-transform/core', 'fractional-indexing', 'robust-predicates', 'yjs', 'zod'],
];

describe('imports', () => {
  it('found the sources', () => {
    expect(imports.length).toBeGreaterThan(100);
  });

  it('go from web to core and from server to core, never between web and server', () => {
    const crossing = imports.filter(({ file, target }) => {
      const from = file.split('/')[0];
      const to = target?.split('/')[0];
      if (from === 'core') return target !== null && to !== 'core';
      return (from === 'web' && to === 'server') || (from === 'server' && to === 'web');
    });
    expect(show(crossing)).toEqual([]);
  });

  it('follow the arrows inside core', () => {
    const against = imports.filter(({ file, target }) => {
      const from = file.match(/^core\/([^/]+)\//)?.[1];
      const to = target?.match(/^core\/([^/]+)\//)?.[1];
      if (from === undefined || to === undefined || from === to) return false;
      return !(CORE_ARROWS[from] ?? []).includes(to);
    });
    expect(show(against)).toEqual([]);
  });

  it('name only folders of core that the arrows know', () => {
    const folders = readdirSync(join(root, 'core'), { withFileTypes: true })
      .filter((entry) => entry.isDirectory())
      .map((entry) => entry.name);
    expect(folders.filter((name) => !(name in CORE_ARROWS))).toEqual([]);
  });

  it('enter a folder of core through its door (index.ts) or its types', () => {
    const aside = imports.filter(({ file, target }) => {
      const topic = target?.match(/^core\/([^/]+)\/(.+)$/);
      if (!topic || file.startsWith('core/')) return false;
      const [, folder, inside] = topic;
      // The shared document has one file per document; each is a door of its own.
      if (folder === 'document' || folder === 'protocol') return false;
      return inside !== 'index.ts' && inside !== 'types.ts';
    });
    expect(show(aside)).toEqual([]);
  });

  it('keep core free of packages that know a page or a machine', () => {
    const foreign = imports.filter(
      ({ file, target, specifier }) =>
        file.startsWith('core/') && target === null && !CORE_PACKAGES.includes(specifier),
    );
    expect(show(foreign)).toEqual([]);
  });

  it('keep Yjs at the edges: mechanics and drawing never see a shared type', () => {
    const seen = imports.filter(
      ({ file, specifier }) =>
        specifier === 'yjs' && file.startsWith('core/') && !/^core\/document\//.test(file),
    );
    expect(show(seen)).toEqual([]);
  });
});

describe('the tree', () => {
  it('holds one copy of Yjs (two copies break its class checks)', () => {
    const lock = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'));
    const copies = Object.keys(lock.packages).filter((path) =>
      /(^|\/)node_modules\/yjs$/.test(path),
    );
    expect(copies).toEqual(['node_modules/yjs']);
  });

  it('has only the agreed names at the top', () => {
    const names = readdirSync(root).filter((name) => !name.startsWith('.'));
    const agreed = [
      ...['DEVELOPERS.md', 'LICENSE', 'README.md', 'core', 'demo-data', 'migrations'],
      ...['package-lock.json', 'package.json', 'server', 'tests', 'tsconfig.json', 'web'],
      // Made on the spot and ignored by git.
      ...['data', 'dist', 'node_modules'],
    ];
    expect(names.filter((name) => !agreed.includes(name))).toEqual([]);
  });
});
