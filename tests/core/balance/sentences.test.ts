import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { assess, SUBJECTS, study } from '../../../core/balance/index.ts';
import type { Scene } from '../../../core/scene/index.ts';
import { demoReview } from '../../../demo-data/index.ts';
import { JOB_SCENES } from './job-scenes.ts';
import { MEETING, OUT_PULLED } from './pairs.ts';

// Every sentence about every case of the job (design.md): verdict, each figure alone, all subjects of
// the study. The texts are kept in a fixture that people have read; COUNTERLEAN_WRITE=1 writes it anew.
const FIXTURE = new URL('../../fixtures/job-sentences.json', import.meta.url);

/** The pair under names that a sentence may begin with. */
const named = (scene: Scene): Scene => ({
  ...scene,
  figures: scene.figures.map((figure) => ({
    ...figure,
    name: figure.id === 'he' ? 'Joss' : 'Mira',
  })),
});

/** Cases that are shots of the demo review rather than scenes of their own, by code and draft. */
const SHOTS = [
  ['rising, hands on the arms', 'ARM-0120', 0],
  ['rising, the hands let go too soon', 'ARM-0120', 1],
  ['rising on the feet alone', 'ARM-0120', 2],
  ['on a rope, hips over it', 'LIN-0090', 4],
] as const;

function scenes(): Record<string, Scene> {
  const { shots } = demoReview();
  const shown = SHOTS.map(([name, code, draft]): [string, Scene] => {
    const scene = shots.find((shot) => shot.code === code)?.drafts[draft]?.scene;
    if (scene === undefined) throw new Error(`the demo has no draft ${draft} of ${code}`);
    return [name, scene];
  });
  return {
    ...JOB_SCENES,
    'two who hold each other, he out-pulls her': named(OUT_PULLED),
    'two who hold each other, leaning until they meet': named(MEETING),
    ...Object.fromEntries(shown),
  };
}

function told(scene: Scene): string[] {
  const { groups, figures } = assess(scene);
  return [
    ...groups.map(({ sentence }) => sentence),
    ...(figures.length > 1 ? figures.map(({ figure, sentence }) => `${figure}: ${sentence}`) : []),
    ...study(scene).groups.flatMap(({ sentences }) =>
      sentences.map(({ subject, text }) => `${subject}: ${text}`),
    ),
  ];
}

const all = Object.fromEntries(
  Object.entries(scenes()).map(([name, scene]) => [name, told(scene)] as const),
);
if (process.env.COUNTERLEAN_WRITE === '1')
  writeFileSync(FIXTURE, `${JSON.stringify(all, null, 2)}\n`);
const kept = JSON.parse(readFileSync(FIXTURE, 'utf8')) as typeof all;

describe('every reading of every case of the job, read out', () => {
  it('covers all cases and all subjects', () => {
    expect(Object.keys(kept)).toEqual(Object.keys(all));
    const lines = Object.values(all).flat();
    for (const subject of SUBJECTS)
      expect(
        lines.some((line) => line.startsWith(`${subject}: `)),
        subject,
      ).toBe(true);
  });

  it.each(Object.entries(all))('%s', (name, sentences) => {
    expect(sentences).toEqual(kept[name]);
  });

  it.each(Object.entries(all))('is plain language: %s', (_, sentences) => {
    for (const sentence of sentences) {
      expect(sentence).toMatch(/^([\w ]+: )?[A-Z\d].*[.]$/);
      expect(sentence).not.toMatch(/NaN|Infinity|undefined|null|\bsafe|!/i);
      // Whatever is told of sizes comes with its unit.
      for (const [, unit = ''] of sentence.matchAll(/\d(?:\.\d+)? ([a-zA-Z%]+)/g))
        expect(unit, sentence).toMatch(
          /^(cm|mm|m|N|kg|J|%|degrees?|frames?|to|from|over|grips?|ways?|s|and|each)$/,
        );
    }
  });
});
