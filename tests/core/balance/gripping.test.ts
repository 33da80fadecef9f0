import { describe, expect, it } from 'vitest';
import { assess, lettingGo, study } from '../../../core/balance/index.ts';
import { buildBody } from '../../../core/body/index.ts';
import { distance, type Vec3 } from '../../../core/geometry/index.ts';
import { palmCentre, poseFigure } from '../../../core/pose/index.ts';
import { poseAt, type Scene, START_POSES, surfacesAt } from '../../../core/scene/index.ts';
import { atRail } from './at-rail.ts';
import { figure, scene, WOMAN } from './scenes.ts';

/** What a closed hand bears any way, in body weights (design value of core/balance/pushes.ts). */
const HAND = 0.5;

const groupOf = (of: Scene) => assess(of).groups[0]!;

describe('leaning back at a rail', () => {
  it('falls with hands that only lie on it, holds with hands that have closed round it', () => {
    const lying = groupOf(atRail(14, 'planted'));
    expect(lying.verdict).toBe('falls');
    const { verdict, support } = groupOf(atRail(14, 'gripping'));
    expect(verdict).toBe('holds');
    expect(support.basis).toBe('region');
    expect(groupOf(atRail(14, 'gripping')).sentence).toMatch(
      /Counted with what the left palm and the right palm can pull\.$/,
    );
  });

  it('goes back as far as the moment of both hands about the heels (closed form)', () => {
    const of = atRail(14, 'gripping');
    const { contacts } = assess(of);
    const hands = contacts.filter(({ patch }) => /^palm/.test(patch));
    expect(hands.map(({ setting }) => setting)).toEqual(['gripping', 'gripping']);
    const soles = contacts.filter(({ patch }) => /^sole/.test(patch));
    const heel = Math.min(...soles.flatMap(({ outline }) => outline.map(([, , z]) => z)));
    // Every corner pulls square to its arm about the heels; the feet do not slip at that.
    let moment = 0;
    for (const { outline } of hands)
      for (const [, y, z] of outline) moment += (HAND / outline.length) * Math.hypot(y, z - heel);
    const back = Math.min(...groupOf(of).support.polygon.map(([, z]) => z));
    expect(back).toBeCloseTo(heel - moment, 3);
  });

  it('tells what becomes of her if her hands let go: backwards with both, held by the other with one', () => {
    const of = atRail(14, 'gripping');
    const told = study(of).groups[0]!.letGo;
    expect(told.map(({ what }) => what)).toEqual([
      { kind: 'hands', hands: ['a/palmL', 'a/palmR'] },
      { kind: 'hands', hands: ['a/palmL'] },
      { kind: 'hands', hands: ['a/palmR'] },
    ]);
    const [both, left] = told;
    const alone = groupOf(atRail(14, 'lifted'));
    expect(both!.parts[0]!.verdict).toBe('falls');
    expect(both!.parts[0]!.heading).toBe('backwards');
    expect(both!.parts[0]!.margin_m).toBe(alone.margin!.distance);
    expect(both!.sentence).toMatch(
      /^When a lets go of rail: a falls backwards, \d+\.\d cm out: 20 /,
    );
    expect(left!.sentence).toMatch(/^When the left hand of a lets go of rail: a \w+/);
    expect(lettingGo(of, ['a/palmL', 'a/palmR'])).toEqual(both!.parts);
    expect(lettingGo(atRail(14, 'planted'), ['a/palmL'])).toBeNull();
  });

  it('tells what pulls: both hands ahead, as hard as the feet push back', () => {
    const group = study(atRail(14, 'gripping')).groups[0]!;
    if (group.loads.kind !== 'told') throw new Error(group.loads.sentence);
    const pulls = group.loads.contacts
      .filter(({ patch }) => /^palm/.test(patch))
      .map(({ arrow }) => arrow!.force_N[2]);
    expect(pulls).toHaveLength(2);
    for (const pull of pulls) expect(pull).toBeGreaterThan(10);
    // All pushes and pulls together are level: what the hands pull the feet push back.
    const level = group.loads.contacts.reduce(
      (sum, { arrow }) => sum + (arrow?.force_N[2] ?? 0),
      0,
    );
    expect(level).toBeCloseTo(0, 6);
  });

  it('only pushes on what is too wide to close a hand round', () => {
    const wide = atRail(14, 'gripping', 0.6);
    const palms = assess(wide).contacts.filter(({ patch }) => /^palm/.test(patch));
    expect(palms.map(({ setting }) => setting)).not.toContain('gripping');
  });
});

describe('hanging from a bar', () => {
  const hang = START_POSES.find(({ id }) => id === 'hang')!;
  const made = hang.make(buildBody(WOMAN));
  const spot = { ground: [0, 0, 0], heading: [0, 0, 0, 1] } as const;
  const hanging = (contacts = made.contacts): Scene =>
    scene({
      surfaces: surfacesAt(made, spot, () => 'bar'),
      figures: [figure('a', poseAt(made, spot), { contacts })],
    });

  it('swings under the other hand where one lets go, for it hangs, and drops where both do', () => {
    const [both, left, right] = study(hanging()).groups[0]!.letGo;
    expect(both!.parts[0]!.verdict).toBe('airborne');
    expect(both!.sentence).toMatch(/: a drops, and nothing lies beneath\.$/);
    for (const { parts, sentence } of [left!, right!]) {
      expect(parts[0]).toMatchObject({ verdict: 'falls', swings: true, topple: null });
      expect(sentence).toMatch(
        /: a swings to the (left|right) under what still holds, \d+\.\d cm aside\.$/,
      );
    }
    expect(study(atRail(14, 'gripping')).groups[0]!.letGo[0]!.parts[0]!.swings).toBe(false);
  });

  it('holds by two hands that bear half of her each', () => {
    const of = hanging();
    expect(groupOf(of).verdict).toBe('holds');
    const { loads } = study(of).groups[0]!;
    if (loads.kind !== 'told') throw new Error(loads.sentence);
    const shares = loads.contacts.map(({ likelyShare }) => likelyShare);
    expect(shares).toHaveLength(2);
    for (const share of shares) expect(share).toBeCloseTo(0.5, 2);
  });

  it('does not hold by one hand beside her middle, and is nowhere without hands', () => {
    expect(groupOf(hanging({ ...made.contacts, palmL: 'lifted' })).verdict).toBe('falls');
    expect(groupOf(hanging({ palmL: 'lifted', palmR: 'lifted' })).verdict).toBe('airborne');
  });

  it('can be hung from with the palms turned to her: a hand that closes has no side', () => {
    const body = buildBody(WOMAN);
    const at = poseFigure(body, poseAt(made, spot));
    const bar = surfacesAt(made, spot, () => 'bar')[0]!;
    for (const side of ['L', 'R'] as const)
      expect(distance(palmCentre(at, side), bar.position)).toBeLessThan(0.35);
    const turned = {
      ...bar,
      position: [bar.position[0], bar.position[1] + 0.08, bar.position[2]] as Vec3,
    };
    const from = scene({ surfaces: [turned], figures: hanging().figures });
    expect(groupOf(from).verdict).toBe('holds');
  });
});
