import { describe, expect, it } from 'vitest';
import { assess, study, type Verdict } from '../../../core/balance/index.ts';
import { JOB_SCENES } from './job-scenes.ts';

/** The job's cases (design.md): each a scene with its verdict and its sentence. Common practice, no source. */
const READINGS: Readonly<Record<string, readonly [Verdict, string]>> = {
  'a heavy pack, upright': ['falls', 'Falls backwards: the plumb line is 1.8 cm behind the heels.'],
  'a heavy pack, leaning forward': [
    'holds',
    'Holds: the plumb line lands 28 % along the foot, 7.1 cm in front of the heels.',
  ],
  'a child carried in arms, upright': [
    'holds',
    'Holds together: the plumb line lands 64 % along the foot, 9.7 cm inside the toes.',
  ],
  'a child carried in arms, leaning in': [
    'falls',
    'Falls together forwards (as Ben faces): the plumb line is 0.5 cm past the toes.',
  ],
  'a light ball held out in front': [
    'holds',
    'Holds: the plumb line lands 53 % along the foot, 12.0 cm inside the toes.',
  ],
  'a heavy ball held out in front': [
    'falls',
    'Falls forwards: the plumb line is 5.1 cm past the toes.',
  ],
  'leaning back against a heavy lift': [
    'holds',
    'Holds: the plumb line lands 49 % along the foot, 12.0 cm inside the outer edge of the left foot.',
  ],
  'the same without the weight': [
    'teeters',
    'Teeters: the plumb line lands 5 % along the foot, 1.4 cm in front of the heels, beyond the part that can carry it for long.',
  ],
  'bending to the toes, legs upright': [
    'teeters',
    'Teeters: the plumb line lands 97 % along the foot, 0.7 cm inside the toes, beyond the part that can carry it for long.',
  ],
  'bending to the toes, hips going back': [
    'holds',
    'Holds: the plumb line lands 52 % along the foot, 12.0 cm inside the outer edge of the left foot.',
  ],
  'sitting on a chair': [
    'holds',
    'Holds: the plumb line lands 25.9 cm inside the back edge of the support. The contacts lie at different heights and count with their friction.',
  ],
  'seat-off with the feet out in front': [
    'falls',
    'Falls backwards: the plumb line is 21.0 cm behind the heels.',
  ],
  'one foot before the other': [
    'holds',
    'Holds: the plumb line lands 3.5 cm inside the left edge of the support.',
  ],
  'across a beam, hips over it': [
    'holds',
    'Holds: the plumb line lands 21 % along the foot, 1.9 cm in front of the heels.',
  ],
  'across a beam, leaning': [
    'falls',
    'Falls forwards: the plumb line is 0.6 cm outside the front edge of the support.',
  ],
  'on one foot, hips where they were': [
    'falls',
    'Falls to the left: the plumb line is 3.4 cm outside the inner edge of the right foot.',
  ],
  'on one foot, leaning over it': [
    'holds',
    'Holds: the plumb line lands 42 % along the foot, 3.4 cm inside the outer edge of the right foot.',
  ],
  'over a ledge, both feet at the edge': [
    'falls',
    'Falls forwards: the plumb line is 6.9 cm outside the front edge of the support.',
  ],
  'over a ledge, the other leg raised behind': [
    'falls',
    'Falls forwards: the plumb line is 1.5 cm outside the front edge of the support.',
  ],
  'over a ledge, the hips going back as well': [
    'holds',
    'Holds: the plumb line lands 42 % along the foot, 3.7 cm inside the right edge of the support.',
  ],
  'a crouched, wide stance': ['holds', 'Holds: the plumb line lands 4.8 cm in front of the heels.'],
};

/** What the study says about some of them, word for word. */
const TOLD: readonly (readonly [string, string, readonly string[]])[] = [
  [
    'a heavy pack, leaning forward',
    'implied weight',
    [
      'Pack reads as any weight up to 79 kg (127 % of the body). It stands, if only just, with any weight up to 174 kg (281 % of the body).',
    ],
  ],
  [
    'a heavy pack, upright',
    'implied weight',
    [
      'Pack reads as any weight up to 7.2 kg (12 % of the body). It stands, if only just, with any weight up to 16 kg (27 % of the body). It is set to 24 kg, too heavy for this pose.',
    ],
  ],
  [
    'a child carried in arms, upright',
    'letting go',
    [
      'When Ben and Cato let go of each other: Ben holds; Cato drops 1.02 m to Floor in 11 frames.',
      'When Ben and Cato let go of one grip (armL): Ben and Cato hold.',
      'When Ben and Cato let go of one grip (armR): Ben and Cato hold.',
    ],
  ],
  [
    'a child carried in arms, upright',
    'grips',
    [
      'Ben carries Cato whole: 2 grips take 196 N, likely 98 N each, and they must hold a turning moment of 39 N m as well.',
    ],
  ],
  [
    'leaning back against a heavy lift',
    'letting go',
    ['When Stone is let go: Ada teeters; Stone drops 89.0 cm to Floor in 10 frames.'],
  ],
  [
    'leaning back against a heavy lift',
    'implied weight',
    [
      'Stone reads as 2.2 to 57 kg (4 to 92 % of the body). It stands, if only just, with any weight up to 93 kg (150 % of the body). 21 kg (35 %) would centre it, a convention and no measurement.',
    ],
  ],
  [
    'one foot before the other',
    'loads',
    [
      'Likely the left foot carries 38 % and the right foot 62 % of the weight; statics alone leaves the left foot 14 to 55 %.',
    ],
  ],
  [
    'on one foot, leaning over it',
    'tipping',
    [
      'Tips most easily to the right, at a tilt of 2.1 degrees, over the right sole; 0.4 J would take it over.',
    ],
  ],
  [
    'a crouched, wide stance',
    'pushes',
    [
      'Pushed at 1.20 m, Ben stands up to 29 N from the front, 96 N from behind, 243 N from the left and 243 N from the right.',
    ],
  ],
  [
    'a light ball held out in front',
    'growth',
    ['When Stone grows, both soles lift first, at about 17 kg; it falls from 19 kg on.'],
  ],
  [
    'a light ball held out in front',
    'reaching',
    [
      "Stone may go 4.51 m farther forward before this teeters, 7.59 m before it falls (the arms' own weight left where it is).",
    ],
  ],
  [
    'sitting on a chair',
    'loads',
    [
      'Likely the left foot carries 21 %, the right foot 21 % and the seat 58 % of the weight; statics alone leaves the left foot 0 to 84 %.',
    ],
  ],
  [
    'on one foot, hips where they were',
    'sturdiness',
    ['Falls under every table and with segment masses 10 % off, by 2.9 cm at least.'],
  ],
  [
    'a heavy ball held out in front',
    'loads',
    ['Cannot tell what each contact carries: it falls, so nothing here is at rest.'],
  ],
];

describe('the cases of the job', () => {
  it('are all told', () => {
    expect(Object.keys(READINGS)).toEqual(Object.keys(JOB_SCENES));
  });

  it.each(Object.entries(READINGS))('%s', (name, [verdict, sentence]) => {
    const { groups } = assess(JOB_SCENES[name]!);
    expect(groups).toHaveLength(1);
    expect(groups[0]!.verdict).toBe(verdict);
    expect(groups[0]!.sentence).toBe(sentence);
  });

  it.each(TOLD)('%s: %s', (name, subject, sentences) => {
    const told = study(JOB_SCENES[name]!).groups[0]!.sentences;
    expect(told.filter((s) => s.subject === subject).map(({ text }) => text)).toEqual(sentences);
  });
});
