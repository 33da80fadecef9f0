import { describe, expect, it } from 'vitest';
import { assess } from '../../core/balance/index.ts';
import { EVERY_NOTE } from '../../core/document/index.ts';
import { notesPath, parseRoute, shotPath } from '../../web/app/route.ts';
import {
  centimetres,
  centreText,
  marginText,
  percent,
  supportText,
} from '../../web/badge/words.ts';
import { sayWhen } from '../../web/styles/when.ts';
import { bentScene } from '../helpers/small-review.ts';

describe('readings in words', () => {
  it('give a decimal below ten centimetres only, and a true minus sign', () => {
    expect(centimetres(0.0624)).toBe('6.2\u00a0cm');
    expect(centimetres(-0.0998)).toBe('10\u00a0cm');
    expect(centimetres(0.94)).toBe('94\u00a0cm');
    expect(percent(-0.085)).toBe('\u22128\u00a0%');
  });

  it('say inside as room and outside as outside, with the way', () => {
    const [upright] = assess(bentScene(0)).groups;
    const [bent] = assess(bentScene(85)).groups;
    if (!upright || !bent) throw new Error('both scenes hold one group');
    expect(marginText(upright)).toMatch(/^8\.3\scm of room backwards, \d+\s% of a foot$/);
    expect(marginText(bent)).toMatch(/\scm outside, forwards, \d+\s% of a foot$/);
    expect(supportText(upright)).toMatch(/^\d+\scm², 4 contacts$/);
    expect(centreText(upright)).toMatch(/^\d+\scm up, line at \d+\s% of the foot$/);
  });

  it('say that nothing touches for a figure in the air', () => {
    const scene = bentScene(0);
    const [figure] = scene.figures;
    if (!figure) throw new Error('the scene holds a figure');
    const [x, y, z] = figure.pose.position;
    const pose = { ...figure.pose, position: [x, y + 1, z] as const };
    const [group] = assess({ ...scene, figures: [{ ...figure, pose }] }).groups;
    expect(group && supportText(group)).toBe('nothing touches');
    expect(group && marginText(group)).toBe('no support');
  });

  it('say that a figure braced between walls has no edge to fall over', () => {
    const [upright] = assess(bentScene(0)).groups;
    if (!upright) throw new Error('the scene holds a figure');
    const support = { ...upright.support, unbounded: true };
    expect(marginText({ ...upright, support, margin: null })).toBe('without limit: braced');
  });
});

describe('addresses', () => {
  it('come back as they were made', () => {
    const path = shotPath('demo', 'shot/1 é', { draft: 'd 2', frame: 0, note: 'n#1' });
    expect(parseRoute(new URL(path, 'http://x.example'))).toEqual({
      page: 'shot',
      review: 'demo',
      shot: 'shot/1 é',
      draft: 'd 2',
      frame: 0,
      note: 'n#1',
    });
    const query = { ...EVERY_NOTE, text: 'hips & heels', state: 'standing', to: 'ida' } as const;
    expect(parseRoute(new URL(notesPath('demo', query), 'http://x.example'))).toEqual({
      page: 'notes',
      review: 'demo',
      query,
    });
  });

  it('that mean nothing lead to the door or the board', () => {
    expect(parseRoute(new URL('http://x.example/elsewhere'))).toEqual({ page: 'door' });
    expect(parseRoute(new URL('http://x.example/r/a%ZZ'))).toEqual({
      page: 'board',
      review: 'a%ZZ',
    });
    expect(parseRoute(new URL('http://x.example/r/a/shot/b?frame=later'))).toMatchObject({
      shot: 'b',
      draft: null,
      frame: null,
    });
  });
});

describe('times', () => {
  const now = new Date(2026, 2, 10, 9, 0);
  it('are as short as they can be', () => {
    expect(sayWhen(new Date(2026, 2, 10, 8, 5).toISOString(), now)).not.toMatch(/yesterday|10/);
    expect(sayWhen(new Date(2026, 2, 9, 23, 59).toISOString(), now)).toMatch(/^yesterday /);
    expect(sayWhen(new Date(2025, 2, 9, 8, 0).toISOString(), now)).toMatch(/2025/);
    expect(sayWhen('nonsense', now)).toBe('');
  });
});
