import { describe, expect, it } from 'vitest';
import { buildBody } from '../../../core/body/index.ts';
import { findContacts } from '../../../core/contact/index.ts';
import { thinned } from '../../../core/contact/outlines.ts';
import {
  applyTransform,
  convexHull,
  fromAxisAngle,
  IDENTITY,
  polygonArea,
  toPlan,
  type Vec3,
} from '../../../core/geometry/index.ts';
import { loadTransforms, posedFigures, type Scene } from '../../../core/scene/index.ts';
import {
  ball,
  box,
  figure,
  held,
  moved,
  posed,
  scene,
  standing,
  WOMAN,
} from '../balance/scenes.ts';

function contactsOf(what: Scene) {
  const figures = posedFigures(what);
  return findContacts(what, figures, loadTransforms(what, figures));
}
const ids = (what: Scene) => contactsOf(what).map(({ id }) => id);
const range = (outline: readonly Vec3[], axis: 0 | 1 | 2) => [
  Math.min(...outline.map((p) => p[axis])),
  Math.max(...outline.map((p) => p[axis])),
];
const area = (outline: readonly Vec3[]) => polygonArea(convexHull(outline.map(toPlan)).vertices);

describe('findContacts', () => {
  it('finds soles and toes of a standing figure on the floor, whole', () => {
    const found = contactsOf(scene({ figures: [figure('a', standing())] }));
    expect(found.map(({ id }) => id)).toEqual(['a/soleL', 'a/soleR', 'a/toesL', 'a/toesR']);
    const sole = found[0]!;
    expect(sole.surface).toBe('floor');
    expect(sole.normal).toEqual([0, 1, 0]);
    expect(sole.friction).toBe(0.8);
    expect(sole.clipped).toBe(false);
    const patch = buildBody(WOMAN).patches.soleL.outline;
    expect(area(sole.outline)).toBeCloseTo(area(patch), 12);
    expect(range(sole.outline, 1)).toEqual([0, 0]);
  });

  it('takes what is within two centimetres, lays it down, and leaves what is higher', () => {
    const at = (height: number) =>
      scene({ figures: [figure('a', moved(standing(), [0, height, 0]))] });
    expect(ids(at(0.019))).toHaveLength(4);
    expect(contactsOf(at(0.019))[0]!.outline.every((p) => Math.abs(p[1]) < 1e-12)).toBe(true);
    expect(ids(at(0.021))).toEqual([]);
    expect(ids(at(-0.3))).toHaveLength(4);
  });

  it('obeys planted at any height and lifted on the floor', () => {
    const high = moved(standing(), [0, 0.4, 0]);
    const found = contactsOf(
      scene({ figures: [figure('a', high, { contacts: { soleL: 'planted' } })] }),
    );
    expect(found.map(({ id, setting }) => [id, setting])).toEqual([['a/soleL', 'planted']]);
    expect(range(found[0]!.outline, 1)).toEqual([0, 0]);
    const lifted = figure('a', standing(), { contacts: { soleL: 'lifted', toesL: 'lifted' } });
    expect(ids(scene({ figures: [lifted] }))).toEqual(['a/soleR', 'a/toesR']);
  });

  it('plants on the surface next beneath, not on the one farther down', () => {
    const step = box('step', [0, 0.1, 0], [1, 0.2, 1]);
    const found = contactsOf(
      scene({
        figures: [figure('a', moved(standing(), [0, 0.3, 0]), { contacts: { soleL: 'planted' } })],
        surfaces: [...scene({}).surfaces, step],
      }),
    );
    expect(found.map(({ surface }) => surface)).toEqual(['step']);
    expect(range(found[0]!.outline, 1)).toEqual([0.2, 0.2]);
  });

  it('cuts a sole where the surface ends: half a foot over a ledge, a beam across', () => {
    const [back, front] = range(
      contactsOf(scene({ figures: [figure('a', standing())] }))[0]!.outline,
      2,
    ) as [number, number];
    const middle = (back + front) / 2;
    const ledge = box('ledge', [0, -0.5, middle - 1], [4, 1, 2]);
    const half = contactsOf(scene({ figures: [figure('a', standing())], surfaces: [ledge] }));
    expect(half.map(({ id }) => id)).toEqual(['a/soleL', 'a/soleR']);
    expect(range(half[0]!.outline, 2)[0]).toBeCloseTo(back, 12);
    expect(range(half[0]!.outline, 2)[1]).toBeCloseTo(middle, 12);
    expect(half[0]!.clipped).toBe(true);
    expect(Math.max(...half[0]!.functional.map((p) => p[2]))).toBeLessThanOrEqual(middle + 1e-12);

    const beam = box('beam', [0, -0.1, 0.02], [3, 0.2, 0.095]);
    const across = contactsOf(scene({ figures: [figure('a', standing())], surfaces: [beam] }));
    const [near, far] = range(across[0]!.outline, 2) as [number, number];
    expect(far - near).toBeCloseTo(0.095, 12);
  });

  it('keeps of a foot with its heel up only what is near: the toes and the front of the ball', () => {
    // Foot bent down 40 degrees at the ankle, toes bent back up by as much: standing on the toes.
    const onToes = posed({ foot: { flexion: -40 }, toes: { flexion: 40 } });
    const found = contactsOf(scene({ figures: [figure('a', onToes)] }));
    const flat = contactsOf(scene({ figures: [figure('a', standing())] }));
    const sole = found.find(({ id }) => id === 'a/soleL')!;
    expect(found.map(({ id }) => id)).toContain('a/toesL');
    expect(area(sole.outline)).toBeGreaterThan(0);
    expect(area(sole.outline)).toBeLessThan(0.25 * area(flat[0]!.outline));
    const toes = found.find(({ id }) => id === 'a/toesL')!;
    expect(range(sole.outline, 2)[0]).toBeGreaterThan(range(toes.outline, 2)[0]! - 0.05);
  });

  it('stands on the mat, not on the floor beneath it; across two boards on both', () => {
    const mat = box('mat', [0, 0.005, 0], [2, 0.01, 2]);
    const floor = scene({}).surfaces;
    const up = moved(standing(), [0, 0.01, 0]);
    const onMat = contactsOf(scene({ figures: [figure('a', up)], surfaces: [...floor, mat] }));
    expect(new Set(onMat.map(({ surface }) => surface))).toEqual(new Set(['mat']));

    const boards = [
      box('b1', [0, -0.1, -0.98], [2, 0.2, 2]),
      box('b2', [0, -0.1, 1.03], [2, 0.2, 2]),
    ];
    const both = contactsOf(scene({ figures: [figure('a', standing())], surfaces: boards }));
    expect(both.map(({ id, surface }) => [id, surface])).toContainEqual(['a/soleL', 'b1']);
    expect(both.map(({ id, surface }) => [id, surface])).toContainEqual(['a/soleL@b2', 'b2']);
    const other = contactsOf(
      scene({ figures: [figure('a', standing())], surfaces: boards.toReversed() }),
    );
    expect(other).toEqual(both);
  });

  it('leans a back on a wall: a contact with the wall’s own normal', () => {
    const wall = box('wall', [0, 1.5, -0.2], [4, 3, 0.2]);
    const flat = scene({ figures: [figure('a', standing())] });
    const posedFigure = posedFigures(flat).get('a')!;
    const chest = posedFigure.segments.chest;
    const gap = chest.position[2] + posedFigure.body.patches.back.outline[0]![2] - -0.1;
    const near = scene({
      figures: [figure('a', moved(standing(), [0, 0, -gap + 0.005]))],
      surfaces: [...flat.surfaces, wall],
    });
    const back = contactsOf(near).find(({ id }) => id === 'a/back')!;
    expect(back.surface).toBe('wall');
    expect(back.normal).toEqual([0, 0, 1]);
    expect(back.outline.every((p) => Math.abs(p[2] - -0.1) < 1e-12)).toBe(true);
  });

  it('sits on the top of a box and not on its front, though the hips are sunk past its edge', () => {
    const sit = posed({ thigh: { flexion: 90 }, shank: { flexion: 90 } });
    const high = scene({ figures: [figure('a', sit)] });
    const hips = posedFigures(high).get('a')!;
    const seatHeight = hips.segments.pelvis.position[1] + hips.body.patches.seat.outline[0]![1];
    const hipZ = hips.segments.pelvis.position[2];
    const seat = box(
      'seat',
      [0, (seatHeight + 0.01) / 2, hipZ - 0.25],
      [0.5, seatHeight + 0.01, 0.5],
    );
    const found = contactsOf(
      scene({ figures: [figure('a', sit)], surfaces: [...high.surfaces, seat] }),
    );
    const contact = found.filter(({ patch }) => patch === 'seat');
    expect(contact).toHaveLength(1);
    expect(contact[0]!.normal).toEqual([0, 1, 0]);
    expect(contact[0]!.clipped).toBe(true);
  });

  it('keeps a tilted seat on the thin board that it is planted on, though one edge goes through it', () => {
    // 25 degrees over a board of 5 cm: the front edge of the seat comes out below its middle.
    const tilted = posed({
      pelvis: { flexion: 25 },
      thigh: { flexion: 115 },
      shank: { flexion: 90 },
    });
    const hips = posedFigures(scene({ figures: [figure('a', tilted)] })).get('a')!;
    const corners = hips.body.patches.seat.outline.map((p) =>
      applyTransform(hips.segments.pelvis, p),
    );
    const middle = corners.reduce((sum, p) => sum + p[1], 0) / 4;
    const board = box(
      'board',
      [0, middle - 0.03, hips.segments.pelvis.position[2]],
      [0.6, 0.05, 0.6],
    );
    expect(range(corners, 1)[0]).toBeLessThan(middle - 0.03);
    for (const setting of ['auto', 'planted'] as const) {
      const found = contactsOf(
        scene({
          figures: [figure('a', tilted, { contacts: { seat: setting } })],
          surfaces: [...scene({}).surfaces, board],
        }),
      ).filter(({ patch }) => patch === 'seat');
      expect(found.map(({ surface }) => surface)).toEqual(['board']);
      expect(range(found[0]!.outline, 1)[0]).toBeCloseTo(middle - 0.005, 9);
    }
  });

  it('rests standing loads on what is under them, and lets carried ones hang', () => {
    const crate = {
      id: 'crate',
      name: 'Crate',
      shape: { kind: 'box', size: [0.4, 0.3, 0.6] },
      mass: 20,
      place: { kind: 'standing', position: [0, 0.852, 0], rotation: IDENTITY },
    } as const;
    const table = box('table', [0.1, 0.35, 0], [0.4, 0.7, 2]);
    const found = contactsOf(scene({ loads: [crate], surfaces: [...scene({}).surfaces, table] }));
    expect(found.map(({ id, patch, surface }) => [id, patch, surface])).toEqual([
      ['crate', 'underside', 'table'],
    ]);
    // The table reaches from x = -0.1 to 0.3, the crate from -0.2 to 0.2.
    expect(range(found[0]!.outline, 0)).toEqual([
      expect.closeTo(-0.1, 12),
      expect.closeTo(0.2, 12),
    ]);

    const onEdge = {
      ...crate,
      place: {
        ...crate.place,
        position: [0, 0.2121, 0],
        rotation: fromAxisAngle([0, 0, 1], Math.PI / 4),
      },
    } as const;
    const square = { ...onEdge, shape: { kind: 'box', size: [0.3, 0.3, 0.6] } } as const;
    const edge = contactsOf(scene({ loads: [square] }));
    expect(range(edge[0]!.outline, 0)[1]! - range(edge[0]!.outline, 0)[0]!).toBeLessThan(0.006);

    const lying = ball('ball', 5, { kind: 'standing', position: [1, 0.1, 0], rotation: IDENTITY });
    expect(contactsOf(scene({ loads: [lying] }))[0]!.outline).toEqual([[1, 0, 0]]);
    const carried = ball('ball', 5, held('a'));
    expect(ids(scene({ figures: [figure('a', standing())], loads: [carried] }))).not.toContain(
      'ball',
    );
  });
});

describe('thinned', () => {
  it('keeps a measured outline within half a millimetre, inside itself', () => {
    const outline = buildBody(WOMAN).patches.soleL.functional!;
    const thin = thinned(outline);
    expect(outline.length).toBeGreaterThan(40);
    expect(thin.length).toBeLessThan(25);
    const lost = area(outline) - area(thin);
    expect(lost).toBeGreaterThanOrEqual(0);
    // Perimeter of about 0.45 m times half a millimetre bounds the loss.
    expect(lost).toBeLessThan(0.45 * 0.0005);
  });
});
