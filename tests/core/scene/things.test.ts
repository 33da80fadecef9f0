import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import { fromAxisAngle, type Vec3 } from '../../../core/geometry/index.ts';
import {
  boxesOf,
  DENSITIES,
  FRICTION_PAIRS,
  type Load,
  MATERIALS,
  massOf,
  type Scene,
  type Surface,
  volumeOf,
} from '../../../core/scene/index.ts';
import { box, FLOOR, figure, scene, standing } from '../balance/scenes.ts';

const still = [0, 0, 0, 1] as const;

describe('materials', () => {
  it('give masses by volume (litre of water 0.998 kg; steel 7850 kg/m³)', () => {
    const cube = { kind: 'box', size: [0.1, 0.1, 0.1] } as const;
    expect(massOf({ mass: null, material: 'water', shape: cube })).toBeCloseTo(0.998, 9);
    expect(massOf({ mass: 3, material: 'steel', shape: cube })).toBeCloseTo(7.85, 9);
    expect(massOf({ mass: 3, shape: cube })).toBe(3);
    expect(massOf({ mass: null, shape: cube })).toBeNull();
  });

  it('know ball and cylinder (a ball is two thirds of its cylinder: Archimedes)', () => {
    const ball = volumeOf({ kind: 'ball', radius: 0.3 });
    const can = volumeOf({ kind: 'cylinder', radius: 0.3, length: 0.6 });
    expect(ball / can).toBeCloseTo(2 / 3, 12);
  });

  it('and friction pairs all name where they come from', () => {
    for (const name of MATERIALS) expect(DENSITIES[name].source.length).toBeGreaterThan(8);
    for (const { source, friction } of FRICTION_PAIRS) {
      expect(source).toMatch(/no source|OpenStax/);
      expect(friction).toBeGreaterThan(0);
    }
    // College Physics (OpenStax), Table 5.1.
    const value = (id: string) => FRICTION_PAIRS.find((pair) => pair.id === id)?.friction;
    expect(['shoes-wood', 'shoes-ice', 'wood-wood', 'steel-oiled'].map(value)).toEqual([
      0.9, 0.1, 0.5, 0.05,
    ]);
    expect(new Set(FRICTION_PAIRS.map(({ id }) => id)).size).toBe(FRICTION_PAIRS.length);
  });
});

describe('surfaces of several boxes', () => {
  const chair: Surface = {
    ...box('chair', [0, 0.22, 0], [0.5, 0.44, 0.4]),
    kind: 'chair',
    parts: { back: 0.4, arms: 0.2 },
  };

  it('a chair has its seat, a back behind it and arms beside it', () => {
    const [seat, back, right, left] = boxesOf(chair);
    expect(seat?.size).toEqual([0.5, 0.44, 0.4]);
    expect(back!.position[1] - back!.size[1] / 2).toBeCloseTo(0.44, 12);
    expect(back!.position[2] + back!.size[2] / 2).toBeCloseTo(-0.2, 12);
    expect(right!.position[0]).toBeCloseTo(-left!.position[0], 12);
    expect(left!.position[1] + left!.size[1] / 2).toBeCloseTo(0.64, 12);
  });

  it('a stair climbs ahead in even steps, turned with it', () => {
    const stair: Surface = {
      ...box('stair', [1, 0.3, 0], [1, 0.6, 1.2]),
      kind: 'stair',
      parts: { steps: 3 },
      rotation: fromAxisAngle([0, 1, 0], Math.PI / 2),
    };
    const boxes = boxesOf(stair);
    expect(boxes.map(({ position, size }) => position[1] + size[1] / 2)).toEqual([
      expect.closeTo(0.2, 12),
      expect.closeTo(0.4, 12),
      expect.closeTo(0.6, 12),
    ]);
    // Its own ahead (+z) points to +x now: the front edges of the steps go that way.
    const front = boxes.map(({ position, size }) => position[0] - size[2] / 2);
    expect(front[1]! - front[0]!).toBeCloseTo(0.4, 12);
  });

  it('carry a figure on the step that is under its feet', () => {
    const stair: Surface = {
      ...box('stair', [0, 0.3, 0.6], [1, 0.6, 1.2]),
      kind: 'stair',
      parts: { steps: 3 },
    };
    const pose = standing();
    // Feet on the second step, 0.4 m up, 0.55 m ahead.
    const up: Vec3 = [pose.position[0], pose.position[1] + 0.4, pose.position[2] + 0.55];
    const report = assess({
      ...scene({ figures: [figure('a', { ...pose, position: up })] }),
      surfaces: [FLOOR, stair],
    });
    const soles = report.contacts.filter(({ patch }) => patch === 'soleL');
    expect(soles.map(({ surface }) => surface)).toEqual(['stair']);
    expect(soles[0]!.outline[0]![1]).toBeCloseTo(0.4, 9);
    expect(report.groups[0]!.verdict).toBe('holds');
  });
});

describe('loads', () => {
  const load = (more: Partial<Load>): Load => ({
    id: 'l',
    name: 'L',
    shape: { kind: 'cylinder', radius: 0.2, length: 0.6 },
    mass: 10,
    place: { kind: 'standing', position: [0, 0.3, 0], rotation: still },
    ...more,
  });
  const alone = (one: Load): Scene => ({ figures: [], loads: [one], surfaces: [FLOOR], grips: [] });

  it('a standing cylinder stands on its round end: area of a 16-corner of radius 0.2', () => {
    const { groups } = assess(alone(load({})));
    expect(groups[0]!.support.area).toBeCloseTo(8 * 0.04 * Math.sin(Math.PI / 8), 9);
    expect(groups[0]!.margin!.distance).toBeCloseTo(0.2 * Math.cos(Math.PI / 16), 9);
  });

  it('a lying one stands on a line', () => {
    const lying = load({
      place: {
        kind: 'standing',
        position: [0, 0.2, 0],
        rotation: fromAxisAngle([0, 0, 1], Math.PI / 2),
      },
    });
    const { groups } = assess(alone(lying));
    expect(groups[0]!.support.kind).toBe('line');
    expect(groups[0]!.verdict).toBe('teeters');
  });

  it('filled off its middle it falls when the filling is over the edge, and the plumb line shows it', () => {
    const off = load({ centre: [0.25, -0.2, 0] });
    const report = assess(alone(off));
    expect(report.groups[0]!.verdict).toBe('falls');
    expect(report.groups[0]!.centre).toEqual([0.25, expect.closeTo(0.1, 12), 0]);
    expect(report.loads.l!.centre[0]).toBeCloseTo(0.25, 12);
  });

  it('a bag carried in one hand shifts the centre by its own: m·d over the whole', () => {
    const carry = (centre?: Vec3): Scene => ({
      ...scene({ figures: [figure('a', standing())] }),
      loads: [
        load({
          shape: { kind: 'box', size: [0.2, 0.4, 0.3] },
          ...(centre === undefined ? {} : { centre }),
          place: { kind: 'held', figure: 'a', hands: 'right', offset: [0, -0.25, 0] },
        }),
      ],
    });
    const [plain, filled] = [assess(carry()), assess(carry([0.1, 0, 0]))];
    const shift = filled.groups[0]!.centre![0] - plain.groups[0]!.centre![0];
    expect(shift).toBeCloseTo((10 * 0.1) / 72, 9);
  });
});
