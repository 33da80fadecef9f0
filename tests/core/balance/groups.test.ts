import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import { IDENTITY } from '../../../core/geometry/index.ts';
import type { Grip, Scene } from '../../../core/scene/index.ts';
import { ball, figure, held, MAN, moved, posed, scene, standing, turned, WOMAN } from './scenes.ts';

const grip = (id: string, a: string, b: string, open = false): Grip => ({
  id,
  a: { kind: 'figure', figure: a, segment: 'handL' },
  b: { kind: 'figure', figure: b, segment: 'handL' },
  open,
});

const onLoad = (id: string, by: string, load: string): Grip => ({
  id,
  a: { kind: 'figure', figure: by, segment: 'handR' },
  b: { kind: 'load', load },
  open: false,
});

/** Two people who face each other, `gap` metres between their ankles, each leaning back. */
function pair(lean: number, massB: number, open = false): Scene {
  const a = moved(turned(posed({ lean }), 0), [0, 0, -0.3]);
  const b = moved(turned(posed({ lean }), Math.PI), [0, 0, 0.3]);
  return scene({
    figures: [figure('a', a), figure('b', b, { body: { ...WOMAN, mass: massB } })],
    grips: [grip('g', 'a', 'b', open)],
  });
}

describe('two figures', () => {
  it('of equal mass balance half-way, and a heavier one draws the centre to itself (common practice, no source)', () => {
    const even = assess(pair(-6, 62)).groups[0]!;
    expect(even.members).toEqual(['a', 'b']);
    expect(even.mass).toBe(124);
    expect(even.centre![2]).toBeCloseTo(0, 12);
    const uneven = assess(pair(-6, 93)).groups[0]!;
    expect(uneven.centre![2]).toBeGreaterThan(0.05);
  });

  it('that lean apart hold together, and each falls backwards once they let go', () => {
    const joined = assess(pair(-8, 62));
    const group = joined.groups[0]!;
    expect(group.verdict).toBe('holds');
    expect(group.sentence).toMatch(/^Holds together: the plumb line lands \d+\.\d cm inside /);
    for (const reading of joined.figures) {
      expect(reading.verdict).toBe('held');
      expect(reading.groupVerdict).toBe('holds');
      expect(reading.group).toBe('a');
      expect(reading.margin!.heading).toBe('backwards');
      expect(reading.margin!.distance).toBeLessThan(0);
      expect(reading.sentence).toMatch(
        /^Held: together they hold; alone it falls backwards: the plumb line is \d\.\d cm behind the heels\.$/,
      );
    }
    const open = assess(pair(-8, 62, true));
    expect(open.groups.map(({ verdict }) => verdict)).toEqual(['falls', 'falls']);
    expect(open.figures.map(({ verdict }) => verdict)).toEqual(['falls', 'falls']);
    expect(open.figures[0]!.margin).toEqual(joined.figures[0]!.margin);
  });

  it('of whom one is carried: in the air alone, held in the group', () => {
    const report = assess(
      scene({
        figures: [
          figure('man', standing(MAN), { body: MAN }),
          figure('child', moved(standing(), [0, 0.6, 0.1]), {
            body: { ...WOMAN, stature: 1.1, mass: 18 },
          }),
        ],
        grips: [grip('g', 'man', 'child')],
      }),
    );
    expect(report.figures.map(({ figure: id, verdict }) => [id, verdict])).toEqual([
      ['child', 'held'],
      ['man', 'holds'],
    ]);
    expect(report.figures[0]!.sentence).toBe('Held: nothing is under it, but together they hold.');
    expect(report.groups[0]!.mass).toBe(92);
  });

  it('tell a fall by the facing of the heavier one', () => {
    const a = figure('a', posed({ lean: 25 }));
    const b = figure('b', moved(turned(posed({ lean: 0 }), Math.PI), [0.4, 0, 0]), {
      body: { ...WOMAN, mass: 20 },
    });
    const report = assess(scene({ figures: [a, b], grips: [grip('g', 'a', 'b')] }));
    expect(report.groups[0]!.sentence).toMatch(
      /^Falls together forwards \(as a faces\): the plumb line is /,
    );
  });
});

describe('a load held by two', () => {
  const two = (load: Scene['loads'][number], grips: readonly Grip[]) =>
    assess(
      scene({
        figures: [figure('a', standing()), figure('b', moved(standing(), [0.8, 0, 0]))],
        loads: [load],
        grips,
      }),
    );

  it('counts by equal shares for each alone and once for the group', () => {
    const report = two(ball('crate', 10, held('a')), [onLoad('g', 'b', 'crate')]);
    expect(report.groups).toHaveLength(1);
    expect(report.groups[0]!.mass).toBe(134);
    for (const reading of report.figures) {
      expect(reading.carries).toEqual([{ load: 'crate', share: 0.5 }]);
      expect(reading.mass).toBe(67);
    }
  });

  it('hangs between them when it stands on nothing, and weighs on nobody when it stands', () => {
    const at = (y: number) =>
      ball('crate', 10, { kind: 'standing', position: [0.4, y, 0.2], rotation: IDENTITY });
    const grips = [onLoad('g', 'a', 'crate'), onLoad('h', 'b', 'crate')];
    expect(two(at(0.8), grips).figures.map(({ mass }) => mass)).toEqual([67, 67]);
    const standingLoad = two(at(0.1), grips);
    expect(standingLoad.figures.map(({ mass }) => mass)).toEqual([62, 62]);
    expect(standingLoad.groups[0]!.mass).toBe(134);
    expect(standingLoad.groups[0]!.support.contacts).toContain('crate');
  });

  it('is carried through another load that it is gripped to', () => {
    const report = assess(
      scene({
        figures: [figure('a', standing())],
        loads: [
          ball('pole', 4, held('a')),
          ball('bucket', 6, { kind: 'standing', position: [0, 0.6, 0.5], rotation: IDENTITY }),
        ],
        grips: [
          {
            id: 'g',
            a: { kind: 'load', load: 'pole' },
            b: { kind: 'load', load: 'bucket' },
            open: false,
          },
        ],
      }),
    );
    expect(report.groups[0]!.members).toEqual(['a', 'bucket', 'pole']);
    expect(report.figures[0]!.carries).toEqual([
      { load: 'bucket', share: 1 },
      { load: 'pole', share: 1 },
    ]);
    expect(report.figures[0]!.mass).toBe(72);
  });
});
