import { describe, expect, it } from 'vitest';
import { assess, HANDLES, type Handle, takeHold } from '../../../../core/balance/index.ts';
import { withChanges } from '../../../../core/balance/ways-back/index.ts';
import { buildBody, type SegmentName } from '../../../../core/body/index.ts';
import {
  add,
  distance,
  fromAxisAngle,
  subtract,
  type Vec3,
} from '../../../../core/geometry/index.ts';
import { palmCentre, poseFigure, setJoint, turnOf } from '../../../../core/pose/index.ts';
import {
  bodyOf,
  type Load,
  loadTransforms,
  posedFigures,
  type Scene,
} from '../../../../core/scene/index.ts';
import { random } from '../../../helpers/random.ts';
import { away } from '../../pose/solver/drags.ts';
import { HE, MEETING } from '../pairs.ts';
import { ball, box, figure, held, moved, posed, scene, standing, WOMAN } from '../scenes.ts';

const DEGREE = Math.PI / 180;
const alone = scene({ figures: [figure('her', standing())] });
const crouched = scene({
  figures: [
    figure(
      'her',
      posed({
        thigh: { flexion: 45 },
        shank: { flexion: 65 },
        foot: { flexion: 20 },
        abdomen: { flexion: 15 },
      }),
    ),
  ],
});
const carrying = (offset: Vec3 = [0, 0, 0], centre: Vec3 = [0, 0, 0]): Scene =>
  scene({
    figures: [
      figure(
        'her',
        posed({
          upperArm: { flexion: 30 },
          forearm: { flexion: 70 },
          thigh: { flexion: 15 },
          shank: { flexion: 25 },
          foot: { flexion: 10 },
        }),
      ),
    ],
    loads: [{ ...ball('ball', 6, held('her', offset)), centre }],
  });

/** Filled in its middle, and off it. */
const FILLED = [[[0, 0, 0]], [[0, 0, -0.15]]] as const;

const part = (name: Handle, owner = 'her') =>
  ({ kind: 'part', figure: owner, part: name }) as const;

const segmentsOf = (of: Scene, id = 'her') => posedFigures(of).get(id)!.segments;

/** The scene after a thing is dragged by a way. */
function dragged(of: Scene, grab: Parameters<typeof takeHold>[1], way: Vec3, settings = {}) {
  const reaching = takeHold(of, grab, settings)!;
  const result = reaching.to(add(reaching.at, way));
  return { ...result, after: withChanges(of, result.changes), reaching };
}

describe('taking hold of a part', () => {
  it('keeps planted soles in place and turn over 500 drags, from standing and from a crouch (seed 71)', () => {
    const next = random(71);
    let reached = 0;
    for (let i = 0; i < 500; i++) {
      const of = i % 2 === 0 ? alone : crouched;
      const name = HANDLES[Math.floor(next() * HANDLES.length)]!;
      const way = [0, 1, 2].map(() => (next() - 0.5) * 0.3) as unknown as Vec3;
      const { after, reached: there, off } = dragged(of, part(name), way);
      const [before, now] = [segmentsOf(of), segmentsOf(after)];
      for (const foot of ['footL', 'footR'] as const) {
        if (name === foot) continue;
        // A knee goes with its planted foot, which stays.
        const told = `${i}: ${name} by ${way}`;
        expect(distance(before[foot].position, now[foot].position), told).toBeLessThan(1e-3);
        expect(away(before[foot].rotation, now[foot].rotation), told).toBeLessThan(0.5 * DEGREE);
      }
      if (there) reached++;
      else expect(off, `${name} by ${way}`).toBeGreaterThan(5e-4);
    }
    expect(reached).toBeGreaterThan(250);
  });

  it.each(HANDLES)('%s: held and not moved, nothing changes', (name) => {
    const { changes, reached } = dragged(crouched, part(name), [0, 0, 0]);
    expect(changes.poses.her).toBe(crouched.figures[0]!.pose);
    expect(reached).toBe(true);
  });

  it('dragged out and back in one drag: no drift from where the same drag ends at once', () => {
    const reaching = takeHold(crouched, part('handL'))!;
    for (let i = 0; i <= 40; i++) {
      const far = Math.sin((i / 40) * Math.PI);
      reaching.to(add(reaching.at, [0.2 * far, 0.5 * far, 0.6 * far]));
    }
    const near = add(reaching.at, [0.02, 0.02, 0.02]);
    const body = buildBody(WOMAN);
    const [long, short] = [reaching, takeHold(crouched, part('handL'))!].map(
      (one) => poseFigure(body, one.to(near).changes.poses.her!).segments,
    );
    for (const name of HANDLES)
      expect(distance(long![name].position, short![name].position), name).toBeLessThan(5e-3);
  });

  it('a lifted sole is no constraint: told to be lifted, it comes along', () => {
    const [her] = crouched.figures;
    const lifted: Scene = {
      ...crouched,
      figures: [{ ...her!, contacts: { soleL: 'lifted', toesL: 'lifted' } }],
    };
    const { reaching } = dragged(lifted, part('pelvis'), [-0.05, 0, 0]);
    expect(reaching.planted.map(({ segment }) => segment)).toEqual(['footR']);
  });

  it('a dragged foot keeps its turn in the world, so that the sole stays level', () => {
    const { after, reached } = dragged(crouched, part('footL'), [0.05, 0.08, 0.15]);
    expect(reached).toBe(true);
    expect(
      away(segmentsOf(crouched).footL.rotation, segmentsOf(after).footL.rotation),
    ).toBeLessThan(0.01);
  });

  it('a dragged foot that begins out of its range stays as it was in the world', () => {
    const [her] = crouched.figures;
    const bent = setJoint(her!.pose, 'footL', turnOf('footL', { flexion: 48 * DEGREE }));
    const of = { ...crouched, figures: [{ ...her!, pose: bent }] };
    const { after, reached } = dragged(of, part('footL'), [0, 0.01, 0]);
    expect(reached).toBe(true);
    // It may stay out by 18 degrees, no further; the shank tips by less than two.
    expect(away(segmentsOf(of).footL.rotation, segmentsOf(after).footL.rotation)).toBeLessThan(
      2 * DEGREE,
    );
  });

  it('far out of reach it stretches as far as it goes and says so', () => {
    const { reached, off, after } = dragged(alone, part('handR'), [0, 0, 3]);
    expect(reached).toBe(false);
    expect(off).toBeLessThan(2.4);
    expect(
      distance(segmentsOf(alone).footR.position, segmentsOf(after).footR.position),
    ).toBeLessThan(1e-3);
  });

  it('locked joints keep their turn', () => {
    const settings = { locks: { her: ['abdomen', 'chest', 'upperArmL'] } } as const;
    const { after } = dragged(crouched, part('handL'), [0, 0.2, 0.3], settings);
    const [before, now] = [crouched.figures[0]!.pose.joints, after.figures[0]!.pose.joints];
    for (const name of settings.locks.her) expect(now[name]).toEqual(before[name]);
    expect(now.forearmL).not.toEqual(before.forearmL);
  });

  it('a figure that sits keeps its seat on the chair while the hand goes out', () => {
    const pose = posed({ thigh: { flexion: 90 }, shank: { flexion: 90 } });
    const chair = box('chair', [0, 0.2, 0], [0.5, 0.4, 0.5]);
    const body = bodyOf(WOMAN);
    const top = -body.patches.seat.outline[0]![1];
    const sat = moved(pose, [0, 0.4 + top - pose.position[1], -pose.position[2]]);
    const sitting = scene({ figures: [figure('her', sat)], surfaces: [...alone.surfaces, chair] });
    expect(assess(sitting).contacts.map(({ patch }) => patch)).toContain('seat');
    const { after, reaching } = dragged(sitting, part('handL'), [0, 0.3, 0.35]);
    expect(reaching.planted.map(({ segment }) => segment)).toContain('pelvis');
    const seats = [sitting, after].map((one) =>
      assess(one).contacts.find(({ patch }) => patch === 'seat'),
    );
    expect(seats[1]).toBeDefined();
    expect(
      distance(segmentsOf(sitting).pelvis.position, segmentsOf(after).pelvis.position),
    ).toBeLessThan(0.05);
  });
});

describe('loads and partners', () => {
  it.each([[[0, 0, 0]], [[0, 0.05, 0.15]]] as const)(
    'a ball in both hands goes where it is dragged, held off the palms by %j',
    (offset) => {
      const of = carrying(offset);
      const target = (one: Scene): Vec3 =>
        loadTransforms(one, posedFigures(one)).get('ball')!.position;
      const { after, reached } = dragged(of, { kind: 'load', load: 'ball' }, [0.05, 0.1, 0.08]);
      expect(reached).toBe(true);
      expect(distance(target(after), add(target(of), [0.05, 0.1, 0.08]))).toBeLessThan(5e-4);
    },
  );

  it('the second hand on the same load follows the first', () => {
    const of = carrying();
    const way: Vec3 = [0.04, 0.12, 0.05];
    const { after } = dragged(of, part('handL'), way);
    const [a, b] = [of, after].map((one) => posedFigures(one).get('her')!);
    for (const side of ['L', 'R'] as const)
      expect(distance(subtract(palmCentre(b!, side), palmCentre(a!, side)), way)).toBeLessThan(
        5e-4,
      );
  });

  it('a partner whose hand is held reaches after it', () => {
    const { after, reached } = dragged(MEETING, part('handL', 'he'), [0, -0.04, 0]);
    const palm = (of: Scene, id: string, side: 'L' | 'R') =>
      palmCentre(posedFigures(of).get(id)!, side);
    expect(reached).toBe(true);
    expect(palm(after, 'she', 'R')[1] - palm(MEETING, 'she', 'R')[1]).toBeCloseTo(-0.04, 3);
    const { footL } = segmentsOf(MEETING, 'she');
    expect(distance(segmentsOf(after, 'she').footL.position, footL.position)).toBeLessThan(1e-3);
  });

  describe('a child that hangs on him', () => {
    const hanging = (...grips: readonly ['handL' | 'handR', SegmentName][]): Scene => {
      const child = { table: 'jensen-child', age: 6, stature: 1.15, mass: 20 } as const;
      const holds = posed({ upperArm: { flexion: 45 }, forearm: { flexion: 50 } }, HE);
      return scene({
        figures: [
          figure('he', holds, { body: HE }),
          figure('child', moved(standing(child), [0, 0.5, 0.45]), { body: child }),
        ],
        grips: grips.map(([mine, theirs], i) => ({
          ...{ id: `grip-${i}`, open: false },
          a: { kind: 'figure', figure: 'he', segment: mine },
          b: { kind: 'figure', figure: 'child', segment: theirs },
        })),
      });
    };

    it.each(['chest', 'handR'] as const)('by its %s alone is carried as it is', (theirs) => {
      const of = hanging(['handL', theirs]);
      const way: Vec3 = [0.05, 0.1, 0.08];
      const { after, reached } = dragged(of, part('handL', 'he'), way);
      expect(reached).toBe(true);
      const [before, now] = [of, after].map(({ figures }) => figures[1]!.pose);
      expect(distance(now!.position, add(before!.position, way))).toBeLessThan(5e-4);
      expect({ ...now!, position: 0 }).toEqual({ ...before!, position: 0 });
    });

    it('by both hands keeps both of his, though only one of them is dragged', () => {
      const of = hanging(['handL', 'handR'], ['handR', 'handL']);
      const { after } = dragged(of, part('handL', 'he'), [-0.1, -0.1, 0.45]);
      const way = (id: string, side: 'L' | 'R'): Vec3 => {
        const [a, b] = [of, after].map((one) => palmCentre(posedFigures(one).get(id)!, side));
        return subtract(b!, a!);
      };
      // His trunk bends, and takes the other hand along.
      expect(Math.hypot(...way('he', 'R'))).toBeGreaterThan(0.03);
      expect(distance(way('child', 'R'), way('he', 'L'))).toBeLessThan(1e-3);
      expect(distance(way('child', 'L'), way('he', 'R'))).toBeLessThan(1e-3);
    });
  });

  it('a load on the floor, or fixed to the back, is put elsewhere and nobody moves', () => {
    const of = scene({
      figures: alone.figures,
      loads: [
        ball('floor', 4, { kind: 'standing', position: [0.5, 0.1, 0], rotation: [0, 0, 0, 1] }),
        ball('pack', 9, {
          kind: 'attached',
          figure: 'her',
          segment: 'chest',
          offset: [0, 0.1, -0.2],
          rotation: [0, 0, 0, 1],
        }),
      ],
    });
    for (const load of ['floor', 'pack']) {
      const { after, changes } = dragged(of, { kind: 'load', load }, [0.1, 0.05, -0.1]);
      const [a, b] = [of, after].map((one) => loadTransforms(one, posedFigures(one)).get(load)!);
      expect(distance(subtract(b!.position, a!.position), [0.1, 0.05, -0.1])).toBeLessThan(1e-9);
      expect(changes.poses).toEqual({});
    }
  });
});

describe('the plumb line', () => {
  it.each(FILLED)(
    'kept: hand and load go through their box, the centre of all stays within 5 mm (seed 72), filled at %j',
    (centre) => {
      const next = random(72);
      const of = carrying([0, 0, 0], centre);
      const at = assess(of).groups[0]!.plumb!;
      const reaching = takeHold(of, { kind: 'load', load: 'ball' }, { keep: 'here' })!;
      let reached = 0;
      for (let i = 0; i < 80; i++) {
        const way: Vec3 = [(next() - 0.5) * 0.4, (next() - 0.4) * 0.6, next() * 0.25];
        const result = reaching.to(add(reaching.at, way));
        const { plumb } = assess(withChanges(of, result.changes)).groups[0]!;
        expect(Math.hypot(plumb![0] - at[0], plumb![1] - at[1]), `by ${way}`).toBeLessThan(5e-3);
        if (result.reached) reached++;
      }
      expect(reached).toBeGreaterThan(50);
    },
  );

  it.each(FILLED)(
    'pulled: the centre goes where it is dragged, the feet stay, the load counts, filled at %j',
    (centre) => {
      const of = carrying([0, 0, 0], centre);
      const { after, reached } = dragged(of, { kind: 'centre', figure: 'her' }, [0.05, 0, -0.03]);
      expect(reached).toBe(true);
      const [a, b] = [of, after].map((one) => assess(one).groups[0]!.plumb!);
      expect(b![0] - a![0]).toBeCloseTo(0.05, 3);
      expect(b![1] - a![1]).toBeCloseTo(-0.03, 3);
      for (const foot of ['footL', 'footR'] as const)
        expect(
          distance(segmentsOf(of)[foot].position, segmentsOf(after)[foot].position),
        ).toBeLessThan(1e-3);
    },
  );
});

describe('the centre with what is carried', () => {
  const bent = posed({
    trunk: 40,
    chest: { rotation: 20, abduction: 10 },
    forearm: { flexion: 70 },
  });
  const aside = fromAxisAngle([0, 1, 0], 0.7);
  const places: readonly Load['place'][] = [
    held('her', [0.02, 0.05, 0.1]),
    { ...held('her'), hands: 'left', rotation: aside } as Load['place'],
    {
      ...{ kind: 'attached', figure: 'her', segment: 'chest' },
      ...{ offset: [0, 0.1, -0.2], rotation: aside },
    },
  ];
  it.each(places)('is the one that is weighed, with a filling off the middle: %j', (place) => {
    const centre = [0.1, -0.04, 0.15] as const;
    const of = scene({
      figures: [figure('her', bent)],
      loads: [{ ...ball('bag', 15, place), centre }],
    });
    const { at } = takeHold(of, { kind: 'centre', figure: 'her' })!;
    const { plumb } = assess(of).groups[0]!;
    expect(at[0]).toBeCloseTo(plumb![0], 9);
    expect(at[2]).toBeCloseTo(plumb![1], 9);
  });
});

it('is not there: null', () => {
  expect(takeHold(alone, { kind: 'load', load: 'none' })).toBeNull();
  expect(takeHold(alone, part('handL', 'nobody'))).toBeNull();
});
