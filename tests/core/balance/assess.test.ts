import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import { buildBody } from '../../../core/body/index.ts';
import { fromAxisAngle, IDENTITY } from '../../../core/geometry/index.ts';
import { palmCentre, poseFigure } from '../../../core/pose/index.ts';
import type { Scene } from '../../../core/scene/index.ts';
import {
  ball,
  box,
  FLOOR,
  figure,
  held,
  MAN,
  moved,
  posed,
  scene,
  standing,
  turned,
  WOMAN,
} from './scenes.ts';

const alone = (what: Scene) => assess(what).figures[0]!;

describe('one figure', () => {
  it('holds when it stands, with its plumb line 40-45 % along the feet', () => {
    // Quiet standing: pressure at 40-45 % of the foot from the heel (from memory, see checks of posture).
    const reading = alone(scene({ figures: [figure('a', standing())] }));
    expect(reading.verdict).toBe('holds');
    expect(reading.mass).toBe(62);
    expect(reading.footPosition).toBeGreaterThan(0.38);
    expect(reading.footPosition).toBeLessThan(0.46);
    expect(reading.centre).toEqual(poseFigure(buildBody(WOMAN), standing()).centre);
    expect(reading.support).toMatchObject({ kind: 'area', basis: 'hull', exact: true });
    expect(reading.sentence).toMatch(
      /^Holds: the plumb line lands 4\d % along the foot, 1\d\.\d cm in front of the heels\.$/,
    );
    expect(reading.margin!.heading).toBe('backwards');
    expect(reading.margin!.tipAngle).toBeCloseTo(
      Math.atan2(reading.margin!.distance, reading.centre![1]),
      12,
    );
  });

  it('is carried by the sole to 80 % of the foot, and teeters on the toes beyond', () => {
    // King, Judge, Wolfson 1994 and the barefoot polygon of Millard & Sloot 2025: about 0.10 to 0.80.
    const lean = (degrees: number) =>
      alone(scene({ figures: [figure('a', posed({ lean: degrees }))] }));
    expect(lean(12).verdict).toBe('holds');
    expect(lean(12).footPosition).toBeLessThan(0.8);
    const tiptoe = lean(15);
    expect(tiptoe.verdict).toBe('teeters');
    expect(tiptoe.footPosition).toBeGreaterThan(0.8);
    expect(tiptoe.margin!.distance).toBeGreaterThan(0);
    expect(tiptoe.margin!.functional).toBeLessThan(0);
    expect(tiptoe.sentence).toMatch(
      /^Teeters: the plumb line lands \d\d % along the foot, \d\.\d cm inside the toes, beyond the part that can carry it for long\.$/,
    );
    const over = lean(19);
    expect(over.verdict).toBe('falls');
    expect(over.sentence).toMatch(/^Falls forwards: the plumb line is \d\.\d cm past the toes\.$/);
    const back = lean(-6);
    expect(back.verdict).toBe('falls');
    expect(back.sentence).toMatch(
      /^Falls backwards: the plumb line is \d\.\d cm behind the heels\.$/,
    );
    expect(back.footPosition).toBeLessThan(0);
    expect(back.margin!.tipAngle).toBe(0);
    expect(back.margin!.direction[1]).toBeCloseTo(-1, 6);
  });

  it('falls sideways when a foot is lifted and the hips are not shifted (common practice, no source)', () => {
    const reading = alone(
      scene({
        figures: [figure('a', standing(), { contacts: { soleL: 'lifted', toesL: 'lifted' } })],
      }),
    );
    expect(reading.verdict).toBe('falls');
    expect(reading.margin!.heading).toBe('to the left');
    expect(reading.sentence).toMatch(
      /^Falls to the left: the plumb line is \d\.\d cm outside the inner edge of the right foot\.$/,
    );
  });

  it('falls forwards when it bends at the hips alone, and not when the legs go back (common practice, no source)', () => {
    const bent = alone(scene({ figures: [figure('a', posed({ lean: 4, trunk: 85 }))] }));
    expect(bent.verdict).toBe('falls');
    expect(bent.margin!.heading).toBe('forwards');
    expect(bent.footPosition).toBeGreaterThan(1);
    const counterweighted = alone(
      scene({ figures: [figure('a', posed({ lean: -8, trunk: 85 }))] }),
    );
    expect(counterweighted.footPosition).toBeLessThan(0.8);
    expect(counterweighted.verdict).toBe('holds');
  });

  it('stands half over a ledge only as far as the ledge goes', () => {
    const at = (edge: number) =>
      alone(
        scene({
          figures: [figure('a', standing())],
          surfaces: [box('ledge', [0, -0.5, edge - 1], [4, 1, 2])],
        }),
      );
    const plumb = at(1).plumb!;
    const off = at(plumb[1] - 0.01);
    expect(off.verdict).toBe('falls');
    expect(off.margin!.distance).toBeCloseTo(-0.01, 9);
    expect(off.sentence).toBe(
      'Falls forwards: the plumb line is 1.0 cm outside the front edge of the support.',
    );
    const on = at(plumb[1] + 0.03);
    expect(on.verdict).toBe('holds');
    expect(on.margin!.distance).toBeCloseTo(0.03, 9);
  });

  it('has on a beam across its feet half the beam on either side', () => {
    const plumb = alone(scene({ figures: [figure('a', standing())] })).plumb!;
    const reading = alone(
      scene({
        figures: [figure('a', standing())],
        surfaces: [box('beam', [0, -0.1, plumb[1]], [3, 0.2, 0.095], { kind: 'beam' })],
      }),
    );
    expect(reading.verdict).toBe('holds');
    expect(reading.margin!.distance).toBeCloseTo(0.0475, 9);
    expect(reading.margin!.ratio).toBeCloseTo(1, 9);
  });

  it('stands on its toes with less room than on its soles', () => {
    const flat = alone(scene({ figures: [figure('a', standing())] }));
    const toes = alone(
      scene({ figures: [figure('a', posed({ foot: { flexion: -40 }, toes: { flexion: 40 } }))] }),
    );
    expect(toes.support.area).toBeGreaterThan(0);
    expect(toes.support.area).toBeLessThan(0.6 * flat.support.area);
  });

  it('is in the air when nothing touches', () => {
    const reading = alone(scene({ figures: [figure('a', moved(standing(), [0, 0.5, 0]))] }));
    expect(reading.verdict).toBe('airborne');
    expect(reading.margin).toBeNull();
    expect(reading.support).toMatchObject({ kind: 'none', polygon: [], area: 0 });
    expect(reading.sentence).toBe('Airborne: nothing touches a surface.');
  });

  it('tells directions by its own facing', () => {
    const angle = 2.1;
    const lifted = { contacts: { soleL: 'lifted', toesL: 'lifted' } } as const;
    const reading = alone(scene({ figures: [figure('a', turned(standing(), angle), lifted)] }));
    expect(reading.margin!.heading).toBe('to the left');
    // Its left, +x at rest, turned about the vertical; the edge of a sole runs a little askew.
    const [x, z] = reading.margin!.direction;
    expect(x * Math.cos(angle) - z * Math.sin(angle)).toBeGreaterThan(Math.cos(0.2));
  });
});

describe('a figure with a load', () => {
  const inHands = (mass: number | null) => {
    const arms = posed({ lean: 4, upperArm: { flexion: 80 }, forearm: { flexion: 0 } }, MAN);
    return alone(
      scene({ figures: [figure('a', arms, { body: MAN })], loads: [ball('b', mass, held('a'))] }),
    );
  };

  it('asks no lean for a light ball held out front, and tips over a heavy one (common practice, no source)', () => {
    const light = inHands(0.5);
    const none = inHands(0);
    expect(light.verdict).toBe('holds');
    expect(light.plumb![1] - none.plumb![1]).toBeLessThan(0.01);
    const heavy = inHands(60);
    expect(heavy.verdict).toBe('falls');
    expect(heavy.margin!.heading).toBe('forwards');
    expect(heavy.footPosition).toBeGreaterThan(1);
  });

  it('moves the common centre by the lever of the load', () => {
    // sum(m c) / sum(m) by hand.
    const none = inHands(0).centre!;
    const report = assess(
      scene({
        figures: [figure('a', posed({ lean: 4, upperArm: { flexion: 80 } }, MAN), { body: MAN })],
        loads: [ball('b', 10, held('a'))],
      }),
    );
    const load = report.loads.b!.centre;
    const with10 = inHands(10).centre!;
    for (const axis of [0, 1, 2] as const) {
      const own = report.figures[0]!.bodyCentre[axis];
      expect(report.figures[0]!.centre![axis]).toBeCloseTo((74 * own + 10 * load[axis]) / 84, 12);
    }
    expect(with10[2]).toBeGreaterThan(none[2]);
  });

  it('puts 10 kg at 0.40 m ahead of 73 kg 48.2 mm forward (checks.md 11, computed)', () => {
    const body = { ...MAN, mass: 73 };
    const base = scene({ figures: [figure('a', standing(body), { body })] });
    const centre = alone(base).centre!;
    const crate = ball('b', 10, {
      kind: 'standing',
      position: [centre[0], centre[1], centre[2] + 0.4],
      rotation: IDENTITY,
    });
    const grip = {
      id: 'g',
      a: { kind: 'figure', figure: 'a', segment: 'handL' },
      b: { kind: 'load', load: 'b' },
      open: false,
    } as const;
    const carrying = assess({ ...base, loads: [crate], grips: [grip] });
    expect(carrying.groups).toHaveLength(1);
    expect(carrying.groups[0]!.centre![2] - centre[2]).toBeCloseTo(0.0482, 4);
    const open = assess({ ...base, loads: [crate], grips: [{ ...grip, open: true }] });
    expect(open.groups.map(({ members }) => members)).toEqual([['a'], ['b']]);
    expect(open.figures[0]!.centre).toEqual(centre);
  });

  it('cannot tell while the mass of a load is not set, and says which', () => {
    const reading = inHands(null);
    expect(reading).toMatchObject({ verdict: 'unknown', mass: null, centre: null, margin: null });
    expect(reading.sentence).toBe('Cannot tell: the mass of b is not set.');
    expect(reading.bodyCentre[1]).toBeGreaterThan(0.8);
  });

  it('weighs a load that stands by itself by itself', () => {
    const crate = ball('crate', null, {
      kind: 'standing',
      position: [1, 0.1, 0],
      rotation: IDENTITY,
    });
    const report = assess(scene({ figures: [figure('a', standing())], loads: [crate] }));
    expect(report.groups.map(({ id, verdict }) => [id, verdict])).toEqual([
      ['a', 'holds'],
      ['crate', 'teeters'],
    ]);
    expect(report.groups[1]!.sentence).toBe(
      'Teeters: everything rests on one point, and the plumb line lands on it.',
    );
    expect(report.groups[1]!.margin!.footShare).toBeNull();
  });

  it('leaves out loads and grips that hang on things no longer there', () => {
    const report = assess(
      scene({
        figures: [figure('a', standing()), figure('c', moved(standing(), [1, 0, 0]))],
        loads: [ball('b', 5, held('gone'))],
        grips: ['a', 'c'].map((id) => ({
          id: `g${id}`,
          a: { kind: 'figure', figure: id, segment: 'handL' },
          b: { kind: 'figure', figure: 'gone', segment: 'handR' },
          open: false,
        })),
      }),
    );
    expect(report.loads).toEqual({});
    expect(report.groups.map(({ members }) => members)).toEqual([['a'], ['c']]);
  });
});

describe('what is not one level', () => {
  it('counts hands on a wall as a region, never as a hull, and only as far as friction carries', () => {
    // Leaning 16 degrees, palms forward at shoulder height: by the feet alone it falls.
    const leaning = posed(
      { lean: 16, upperArm: { flexion: 80 }, forearm: { rotation: -90 }, hand: { flexion: -75 } },
      MAN,
    );
    const z = palmCentre(poseFigure(buildBody(MAN), leaning), 'L')[2] + 0.005;
    const at = (feet: number, palms: number) =>
      alone(
        scene({
          figures: [figure('a', leaning, { body: MAN })],
          surfaces: [
            { ...FLOOR, friction: feet },
            box('wall', [0, 1.5, z + 0.1], [4, 3, 0.2], { kind: 'wall', friction: palms }),
          ],
        }),
      );
    const free = alone(scene({ figures: [figure('a', leaning, { body: MAN })] }));
    expect(free.verdict).toBe('falls');
    const leans = at(0.8, 0.4);
    expect(leans.verdict).toBe('holds');
    expect(leans.support.basis).toBe('region');
    expect(leans.support.contacts).toContain('a/palmL');
    expect(leans.sentence).toMatch(
      /Counted with friction: the push of the left palm and the right palm against a side\.$/,
    );
    // On ice the feet slide from under it however rough the wall: with no friction under the feet
    // nothing may push sideways, and what is left is the hull of the soles.
    const ice = at(0, 0.4);
    expect(ice.verdict).toBe('falls');
    expect(ice.margin!.distance).toBeCloseTo(free.margin!.distance, 3);
  });

  it('takes the hull on a slope that grips, and lets it slip where it does not', () => {
    const slope = (friction: number) => {
      const rotation = fromAxisAngle([1, 0, 0], (-15 * Math.PI) / 180);
      return scene({
        figures: [figure('a', posed({ lean: 5, foot: { flexion: 15 } }))],
        surfaces: [{ ...FLOOR, kind: 'slope' as const, rotation, friction }],
      });
    };
    const grips = alone(slope(0.5));
    expect(grips.support.kind).toBe('area');
    expect(grips.support.basis).toBe('hull');
    const slips = alone(slope(0.1));
    expect(slips.verdict).toBe('falls');
    expect(slips.sentence).toBe('Falls: what it stands on is too slippery.');
    expect(slips.support.kind).toBe('none');
  });

  it('reads one foot on a step as a region with friction', () => {
    // Left thigh and knee bent so that the left foot is level and higher than the right one.
    const up = posed({ thighL: { flexion: 60 }, shankL: { flexion: 60 } });
    const feet = poseFigure(buildBody(WOMAN), up).segments;
    const height = feet.footL.position[1] - feet.footR.position[1];
    const z = feet.footL.position[2];
    const step = box('step', [0.1, height / 2, z], [0.3, height, 0.6]);
    const reading = alone(scene({ figures: [figure('a', up)], surfaces: [FLOOR, step] }));
    expect(height).toBeGreaterThan(0.1);
    expect(reading.support.basis).toBe('region');
    expect(reading.support.exact).toBe(true);
    expect(reading.support.contacts).toEqual(['a/soleL', 'a/soleR', 'a/toesL', 'a/toesR']);
    expect(reading.sentence).toMatch(
      /The contacts lie at different heights and count with their friction\.$/,
    );
  });
});
