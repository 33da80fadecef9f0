import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assess, type FigureReading } from '../../../core/balance/index.ts';
import { buildBody } from '../../../core/body/index.ts';
import { signedMargin, type Vec2 } from '../../../core/geometry/index.ts';
import { mirrorPose, type Pose, poseFromAngles } from '../../../core/pose/index.ts';
import type { Scene } from '../../../core/scene/index.ts';
import { ball, box, FLOOR, figure, held, MAN, moved, scene, turned, WOMAN } from './scenes.ts';

// Laws that hold whatever the numbers are; fast-check prints seed and counterexample on failure.
const RUNS = { numRuns: 60, seed: 20_24 };

const body = buildBody(WOMAN);
const degrees = (most: number) => fc.double({ min: -most, max: most, noNaN: true });
const poses = fc
  .record({
    lean: degrees(12),
    trunk: degrees(40),
    upperArmL: fc.record({
      flexion: degrees(90),
      abduction: degrees(40),
      rotation: fc.constant(0),
    }),
    thighR: fc.record({ flexion: degrees(40), abduction: degrees(20), rotation: degrees(20) }),
    head: fc.record({ flexion: degrees(30), abduction: degrees(20), rotation: degrees(40) }),
  })
  .map((angles): Pose => poseFromAngles(angles, body));
const metres = fc.double({ min: -20, max: 20, noNaN: true });
const angles = fc.double({ min: -3.1, max: 3.1, noNaN: true });

const withBall = (pose: Pose, mass = 5): Scene =>
  scene({ figures: [figure('a', pose)], loads: [ball('b', mass, held('a', [0.05, 0, 0.1]))] });
const read = (what: Scene): FigureReading => assess(what).figures[0]!;

/** Numbers that no change of place or facing may touch. */
const core = ({ mass, margin, support, verdict, footPosition }: FigureReading) => ({
  mass,
  verdict,
  kind: support.kind,
  area: expect.closeTo(support.area, 8),
  footPosition: footPosition === null ? null : expect.closeTo(footPosition, 7),
  distance: margin === null ? null : expect.closeTo(margin.distance, 8),
  ratio: margin?.ratio == null ? null : expect.closeTo(margin.ratio, 6),
  functional: margin?.functional == null ? null : expect.closeTo(margin.functional, 8),
  tipAngle: margin === null ? null : expect.closeTo(margin.tipAngle, 7),
});
const plain = (reading: FigureReading) => ({
  mass: reading.mass,
  verdict: reading.verdict,
  kind: reading.support.kind,
  area: reading.support.area,
  footPosition: reading.footPosition,
  distance: reading.margin?.distance ?? null,
  ratio: reading.margin?.ratio ?? null,
  functional: reading.margin?.functional ?? null,
  tipAngle: reading.margin?.tipAngle ?? null,
});

describe('assess', () => {
  it('does not care where on the floor the scene is, nor which way it faces', () => {
    fc.assert(
      fc.property(poses, metres, metres, angles, (pose, x, z, angle) => {
        const before = read(withBall(pose));
        const after = read(withBall(moved(turned(pose, angle), [x, 0, z])));
        expect(plain(after)).toEqual(core(before));
      }),
      RUNS,
    );
  });

  it('keeps its digits a kilometre away', () => {
    fc.assert(
      fc.property(poses, (pose) => {
        const near = read(withBall(pose));
        const far = read(withBall(moved(pose, [1000, 0, -1000])));
        expect(plain(far)).toEqual(core(near));
      }),
      { ...RUNS, numRuns: 20 },
    );
  });

  it('mirrors: equal numbers with the sides swapped', () => {
    fc.assert(
      fc.property(poses, (pose) => {
        const before = read(scene({ figures: [figure('a', pose)] }));
        // Mirrored in its own middle plane: the hips stay where they are.
        const other = mirrorPose(pose);
        const after = read(scene({ figures: [figure('a', other)] }));
        expect(plain(after)).toEqual(core(before));
        expect(after.centre![0] - other.position[0]).toBeCloseTo(
          pose.position[0] - before.centre![0],
          9,
        );
      }),
      RUNS,
    );
  });

  it('does not change when every mass is scaled', () => {
    fc.assert(
      fc.property(poses, fc.double({ min: 0.3, max: 3, noNaN: true }), (pose, factor) => {
        const before = read(withBall(pose));
        const heavier = { ...WOMAN, mass: WOMAN.mass * factor };
        const base = withBall(pose, 5 * factor);
        const after = read({ ...base, figures: [figure('a', pose, { body: heavier })] });
        expect({ ...plain(after), mass: before.mass }).toEqual(core(before));
      }),
      RUNS,
    );
  });

  it('never loses support by a contact more', () => {
    fc.assert(
      fc.property(poses, fc.constantFrom('soleL', 'toesL', 'soleR', 'toesR'), (pose, patch) => {
        const few = read(
          scene({ figures: [figure('a', pose, { contacts: { [patch]: 'lifted' } })] }),
        );
        const more = read(
          scene({ figures: [figure('a', pose, { contacts: { [patch]: 'planted' } })] }),
        );
        expect(more.support.area).toBeGreaterThanOrEqual(few.support.area - 1e-12);
        const plumb: Vec2 = more.plumb!;
        expect(signedMargin(plumb, more.support.polygon)).toBeGreaterThanOrEqual(
          signedMargin(plumb, few.support.polygon) - 1e-9,
        );
      }),
      RUNS,
    );
  });

  it('does not depend on the order of things, and does not touch its input', () => {
    const step = box('step', [2, 0.1, 0], [1, 0.2, 1]);
    const mixed = scene({
      figures: [
        figure('b', poseFromAngles({ lean: 3 }, body)),
        figure('a', moved(poseFromAngles({ trunk: 10 }, body), [1, 0, 0]), { body: MAN }),
      ],
      loads: [ball('y', 3, held('a')), ball('x', 2, held('b')), ball('w', 1, held('a'))],
      surfaces: [step, FLOOR],
      grips: [
        {
          id: 'g',
          a: { kind: 'figure', figure: 'a', segment: 'handL' },
          b: { kind: 'figure', figure: 'b', segment: 'handR' },
          open: false,
        },
      ],
    });
    const kept = structuredClone(mixed);
    const turnedRound: Scene = {
      figures: mixed.figures.toReversed(),
      loads: mixed.loads.toReversed(),
      surfaces: mixed.surfaces.toReversed(),
      grips: mixed.grips.toReversed(),
    };
    expect(assess(turnedRound)).toEqual(assess(mixed));
    expect(assess(mixed)).toEqual(assess(mixed));
    expect(mixed).toEqual(kept);
  });
});
