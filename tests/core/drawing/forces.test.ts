import { describe, expect, it } from 'vitest';
import { assess, borderOf, study } from '../../../core/balance/index.ts';
import { drawScene, forceArrows, forceLabels } from '../../../core/drawing/index.ts';
import { JOB_SCENES } from '../balance/job-scenes.ts';
import { MEETING } from '../balance/pairs.ts';

const arrowsOf = (scene: (typeof JOB_SCENES)[string]) => forceArrows(study(scene), assess(scene));

describe('forces as arrows', () => {
  it('hold each other up: the pushes of the ground are as long as the weight', () => {
    const scene = JOB_SCENES['one foot before the other']!;
    const arrows = arrowsOf(scene);
    const up = (kind: string): number =>
      arrows.filter((a) => a.kind === kind).reduce((sum, a) => sum + a.to[1] - a.from[1], 0);
    expect(up('contact')).toBeCloseTo(-up('weight'), 6);
    const weight = arrows.find(({ kind }) => kind === 'weight')!;
    expect(weight.newtons).toBeCloseTo(62 * 9.81, 6);
    expect(weight.from).toEqual(assess(scene).groups[0]!.centre);
    // One arrow a foot, though sole and toes touch.
    expect(arrows.filter(({ kind }) => kind === 'contact')).toHaveLength(2);
  });

  it('act on both ends of a grip, against each other', () => {
    const grips = arrowsOf(MEETING).filter(({ kind }) => kind === 'grip');
    expect(grips).toHaveLength(4);
    const [a, b] = grips;
    expect(a!.from).toEqual(b!.from);
    a!.to.forEach((value, i) => {
      expect(value - a!.from[i]!).toBeCloseTo(b!.from[i]! - b!.to[i]!, 9);
    });
  });

  it('are none where nothing is at rest', () => {
    expect(arrowsOf(JOB_SCENES['a heavy ball held out in front']!)).toEqual([]);
  });

  it('share a number where their tips meet on the page', () => {
    const arrows = arrowsOf(JOB_SCENES['on one foot, leaning over it']!).slice(0, 1);
    const twice = [arrows[0]!, { ...arrows[0]!, newtons: 12 }];
    const ends = [
      [
        [100, 200],
        [100, 150],
      ],
      [
        [104, 200],
        [104, 152],
      ],
    ] as const;
    const labels = forceLabels(twice, ends);
    expect(labels).toHaveLength(1);
    expect(labels[0]!.text).toBe(`${Math.round(arrows[0]!.newtons)} + 12 N`);
  });

  it('are drawn into the picture with their newtons when they are asked for', () => {
    const scene = JOB_SCENES['on one foot, leaning over it']!;
    const report = assess(scene);
    const options = { view: 'front', width: 400, height: 500 } as const;
    expect(drawScene(scene, report, options)).not.toContain('class="forces"');
    const drawn = drawScene(scene, report, {
      ...options,
      forces: forceArrows(study(scene), report),
    });
    expect(drawn).toContain('class="forces"');
    expect(drawn).toContain('608 N');
  });
});

describe('the border of a support', () => {
  const square = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
  ] as const;

  it('is closed where it has an end', () => {
    expect(borderOf({ polygon: square })).toEqual([[...square, [0, 0]]]);
    expect(borderOf({ polygon: [[0, 0]] })).toEqual([]);
  });

  it('is open where it has none', () => {
    expect(borderOf({ polygon: square, open: [1] })).toEqual([
      [
        [1, 1],
        [0, 1],
        [0, 0],
        [1, 0],
      ],
    ]);
    expect(borderOf({ polygon: square, open: [0, 2] })).toEqual([
      [
        [1, 0],
        [1, 1],
      ],
      [
        [0, 1],
        [0, 0],
      ],
    ]);
  });
});
