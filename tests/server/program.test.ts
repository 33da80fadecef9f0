import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { writeSceneJson } from '../../core/formats/index.ts';
import { demoReview } from '../../demo-data/index.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));

describe('the program itself', () => {
  it('runs from its file and keeps answer and error apart', () => {
    const folder = mkdtempSync(join(tmpdir(), 'counterlean-'));
    try {
      const file = join(folder, 'scene.json');
      const picture = join(folder, 'scene.svg');
      const first = demoReview().shots[0]?.drafts[0]?.scene;
      if (first === undefined) throw new Error('the demo is empty');
      writeFileSync(file, writeSceneJson(first));
      const call = (...args: string[]) =>
        spawnSync(process.execPath, [join(root, 'server', 'counterlean.mjs'), ...args], {
          encoding: 'utf8',
        });
      const good = call('weigh', file, '--json', '--picture', picture);
      expect(good.stderr).toBe('');
      expect(good.status).toBe(0);
      expect(JSON.parse(good.stdout).source).toBe(file);
      expect(readFileSync(picture, 'utf8')).toContain('<svg ');
      const bad = call('weigh', join(folder, 'none.json'));
      expect([bad.status, bad.stdout]).toEqual([2, '']);
      expect(bad.stderr.trimEnd().split('\n')).toHaveLength(1);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
