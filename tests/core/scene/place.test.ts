import { describe, expect, it } from 'vitest';
import { buildBody } from '../../../core/body/index.ts';
import {
  applyTransform,
  distance,
  fromAxisAngle,
  IDENTITY,
  multiply,
  rotate,
} from '../../../core/geometry/index.ts';
import { palmCentre, poseFigure } from '../../../core/pose/index.ts';
import { facing, loadTransforms, posedFigures } from '../../../core/scene/index.ts';
import { ball, figure, held, posed, scene, standing, turned, WOMAN } from '../balance/scenes.ts';

const place = (what: Parameters<typeof scene>[0]) => {
  const full = scene(what);
  return loadTransforms(full, posedFigures(full));
};

describe('posedFigures', () => {
  it('poses every figure on its own body', () => {
    const small = { ...WOMAN, stature: 1.2, mass: 24 };
    const figures = posedFigures(
      scene({
        figures: [figure('a', standing()), figure('b', standing(small), { body: small })],
      }),
    );
    expect([...figures.keys()]).toEqual(['a', 'b']);
    expect(figures.get('a')).toEqual(poseFigure(buildBody(WOMAN), standing()));
    expect(figures.get('b')!.body.spec.stature).toBe(1.2);
  });

  it('throws for a body that cannot be built', () => {
    const flat = { ...WOMAN, stature: 0 };
    expect(() =>
      posedFigures(scene({ figures: [figure('a', standing(), { body: flat })] })),
    ).toThrow(RangeError);
  });
});

describe('loadTransforms', () => {
  const bent = turned(posed({ trunk: 30, upperArm: { flexion: 70 } }), 0.7);
  const world = poseFigure(buildBody(WOMAN), bent);

  it('keeps an attached load fixed in its segment', () => {
    const rotation = fromAxisAngle([0, 1, 0], 0.4);
    const at = place({
      figures: [figure('a', bent)],
      loads: [
        ball('b', 5, {
          kind: 'attached',
          figure: 'a',
          segment: 'chest',
          offset: [0.1, 0.2, -0.3],
          rotation,
        }),
      ],
    }).get('b')!;
    expect(at.position).toEqual(applyTransform(world.segments.chest, [0.1, 0.2, -0.3]));
    expect(at.rotation).toEqual(multiply(world.segments.chest.rotation, rotation));
  });

  it('puts a held load between the palms, moved in the chest’s frame and turned with its heading', () => {
    const at = (hands: 'both' | 'left' | 'right', offset: [number, number, number]) =>
      place({
        figures: [figure('a', bent)],
        loads: [ball('b', 5, { kind: 'held', figure: 'a', hands, offset })],
      }).get('b')!;
    const left = palmCentre(world, 'L');
    const right = palmCentre(world, 'R');
    expect(at('left', [0, 0, 0]).position).toEqual(left);
    expect(at('right', [0, 0, 0]).position).toEqual(right);
    const middle = at('both', [0, 0, 0]).position;
    expect(distance(middle, left)).toBeCloseTo(distance(middle, right), 12);
    expect(distance(middle, left)).toBeCloseTo(distance(left, right) / 2, 12);
    const ahead = at('both', [0, 0, 0.2]);
    const offset = rotate(world.segments.chest.rotation, [0, 0, 0.2]);
    expect(ahead.position).toEqual([
      middle[0] + offset[0],
      middle[1] + offset[1],
      middle[2] + offset[2],
    ]);
    // Level, though the chest is bent: only the heading is taken over.
    expect(rotate(ahead.rotation, [0, 1, 0])[1]).toBeCloseTo(1, 12);
    const forward = rotate(ahead.rotation, [0, 0, 1]);
    expect(Math.atan2(forward[0], forward[2])).toBeCloseTo(0.7, 9);
  });

  it('leaves a standing load where it is and one without its figure out', () => {
    const placed = place({
      figures: [figure('a', bent)],
      loads: [
        ball('b', 5, { kind: 'standing', position: [1, 2, 3], rotation: IDENTITY }),
        ball('c', 5, held('nobody')),
      ],
    });
    expect(placed.get('b')).toEqual({ position: [1, 2, 3], rotation: IDENTITY });
    expect(placed.has('c')).toBe(false);
  });
});

describe('facing', () => {
  it('is the heading, also of someone bent past the level or lying on a side', () => {
    expect(facing(IDENTITY)).toEqual([0, 1]);
    const [x, z] = facing(fromAxisAngle([0, 1, 0], Math.PI / 2));
    expect([x, z]).toEqual([expect.closeTo(1, 12), expect.closeTo(0, 12)]);
    const bent = facing(fromAxisAngle([1, 0, 0], 2));
    expect(bent).toEqual([expect.closeTo(0, 12), expect.closeTo(1, 12)]);
    // On the right side, left pointing up, still looking along +z.
    const lying = facing(fromAxisAngle([0, 0, 1], Math.PI / 2));
    expect(lying).toEqual([expect.closeTo(0, 12), expect.closeTo(1, 12)]);
  });
});
