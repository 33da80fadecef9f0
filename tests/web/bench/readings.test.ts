import { describe, expect, it } from 'vitest';
import { assess, type GroupStudy, study } from '../../../core/balance/index.ts';
import type { Scene } from '../../../core/scene/index.ts';
import { stuckGate } from '../../../demo-data/shots/wal-0015.ts';
import {
  makersOf,
  type Shining,
  shareRows,
  shiningOf,
  stretchesOf,
} from '../../../web/bench/readings-rows.ts';
import {
  gripRows,
  lineRows,
  nearRows,
  pushTable,
  rangeWords,
} from '../../../web/bench/readings-words.ts';
import { saidText, sentencesOf } from '../../../web/bench/sentences.ts';
import { type Shown, show } from '../../../web/bench/shown.ts';
import { JOB_SCENES } from '../../core/balance/job-scenes.ts';
import { MEETING } from '../../core/balance/pairs.ts';

interface Studied {
  readonly shown: Shown;
  readonly group: GroupStudy;
}

function studied(scene: Scene): Studied {
  return { shown: show(scene, assess(scene)), group: study(scene).groups[0]! };
}

const job = (name: string): Studied => studied(JOB_SCENES[name]!);

describe('shares as the leaf shows them', () => {
  it('tell whole feet with heel and ball, what they stand on, and what statics leaves open', () => {
    const { shown, group } = job('one foot before the other');
    const rows = shareRows(shown, group);
    expect(rows.map(({ name, on }) => `${name} on ${on}`)).toEqual([
      'left foot on Floor',
      'right foot on Floor',
    ]);
    expect(rows.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
    for (const { share, parts, range, contacts } of rows) {
      expect(parts!.heel + parts!.ball).toBeCloseTo(share, 9);
      expect(range!.least).toBeLessThan(share);
      expect(range!.most).toBeGreaterThan(share);
      expect(contacts.length).toBeGreaterThan(0);
    }
  });

  it('have no range where statics decides', () => {
    const { shown, group } = job('on one foot, leaning over it');
    const [row, ...rest] = shareRows(shown, group);
    expect(rest).toEqual([]);
    expect(row).toMatchObject({ name: 'right foot', range: null });
    expect(row!.share).toBeCloseTo(1, 6);
  });

  it('name the seat, and owners where there are several', () => {
    const sitting = job('sitting on a chair');
    expect(shareRows(sitting.shown, sitting.group).map(({ name, on }) => [name, on])).toEqual([
      ['left foot', 'Floor'],
      ['right foot', 'Floor'],
      ['seat', 'Chair'],
    ]);
    const pair = studied(MEETING);
    expect(shareRows(pair.shown, pair.group).map(({ name }) => name)).toEqual([
      'left foot of he',
      'right foot of he',
      'left foot of she',
      'right foot of she',
    ]);
  });

  it('name what a contact rests on when that is a load or a figure', () => {
    const { scene, report } = job('on one foot, leaning over it').shown;
    const contact = report.contacts[0]!;
    const on = (surface: string, upon: object): string =>
      shareRows(
        {
          ...show(scene, {
            ...report,
            contacts: report.contacts.map((c) => ({ ...c, surface, upon }) as typeof contact),
          }),
        },
        job('on one foot, leaning over it').group,
      )[0]!.on;
    expect(on('ada/thighL', { kind: 'figure', figure: 'ada', segment: 'thighL' })).toBe(
      'left thigh of Ada',
    );
  });
});

describe('edges in stretches', () => {
  it('run once round the support, and each names what makes it', () => {
    const { shown, group } = job('a heavy pack, leaning forward');
    if (group.edges.kind !== 'told') throw new Error(group.edges.sentence);
    const stretches = stretchesOf(group.edges);
    stretches.forEach(({ points }, i) => {
      expect(points[0]).toEqual(stretches.at(i - 1)!.points.at(-1));
    });
    const count = stretches.reduce((sum, { points }) => sum + points.length - 1, 0);
    expect(count).toBe(group.edges.edges.length);
    const near = stretches.filter(({ nearest }) => nearest);
    expect(near.map((stretch) => `${stretch.side}: ${makersOf(shown, stretch)}`)).toEqual([
      'back: both heels',
    ]);
  });

  it('are one for each side where friction rounds the border off', () => {
    const { shown, group } = studied(stuckGate.drafts.at(-1)!.scene);
    if (group.edges.kind !== 'told') throw new Error(group.edges.sentence);
    const stretches = stretchesOf(group.edges);
    expect(group.edges.edges.length).toBeGreaterThan(10);
    const rubbed = stretches.filter(({ made }) => made === 'friction');
    expect(rubbed.length).toBeGreaterThan(2);
    expect(new Set(rubbed.map(({ side }) => side)).size).toBe(rubbed.length);
    const near = stretches.find(({ nearest }) => nearest)!;
    const { contacts } = group.edges.edges[group.edges.nearest!]!;
    expect(near.contacts).toEqual(contacts);
    expect(makersOf(shown, near)).toMatch(/back, by friction$/);
  });

  it('shine with their contacts, and contacts with their edges', () => {
    const { group } = job('a heavy pack, leaning forward');
    if (group.edges.kind !== 'told') throw new Error(group.edges.sentence);
    const stretches = stretchesOf(group.edges);
    const at = stretches.findIndex(({ nearest }) => nearest);
    const all = { groups: [group] };
    const edge = shiningOf({ kind: 'stretch', group: group.id, at }, all);
    expect([...edge.contacts].sort()).toEqual(['ada/soleL', 'ada/soleR']);
    expect([...edge.stretches]).toEqual([`${group.id}/${at}`]);
    const contact: Shining = shiningOf({ kind: 'contacts', contacts: ['ada/soleL'] }, all);
    expect([...contact.stretches]).toEqual(
      stretches.flatMap(({ contacts }, i) =>
        contacts.includes('ada/soleL') ? [`${group.id}/${i}`] : [],
      ),
    );
    expect(shiningOf(null, all)).toEqual({ contacts: new Set(), stretches: new Set() });
  });
});

describe('the other readings', () => {
  it('say how near to the end it is, over which contacts, and what friction it uses', () => {
    const { shown, group } = job('a heavy pack, leaning forward');
    // Closed forms of a rigid body over its edge (from memory): it tips at atan(d / h), its centre must
    // rise by hypot(d, h) - h, and a level push at height p tips it at m g d / p.
    const { centre, margin, mass } = shown.report.groups[0]!;
    const [h, d, weight] = [centre![1], margin!.distance, mass! * 9.81];
    const rise = Math.hypot(d, h) - h;
    const rows = nearRows(shown, group).map(
      ({ name, value, under }) => `${name} ${value}: ${under}`,
    );
    expect(rows).toEqual([
      `tips at a tilt of ${((Math.atan2(d, h) * 180) / Math.PI).toFixed(1)}°: backwards, over both heels; tips before it slides`,
      `energy to tip it over ${(weight * rise).toFixed(1)}\u00a0J: its centre must rise ${(rise * 1000).toFixed(1)}\u00a0mm`,
      'friction used 0\u00a0%: needs none; there is 0.80',
    ]);
    const [told] = group.pushes;
    if (told?.kind !== 'told') throw new Error('no pushes');
    const [first, ...others] = pushTable(told).map(({ name, value }) => `${name}: ${value}`);
    expect(first).toBe(
      `from the front: ${Math.round((weight * d) / told.at[1])}\u00a0N, then tips`,
    );
    expect(others.map((line) => line.replace(/\d+/, 'some'))).toEqual(
      ['behind', 'the left', 'the right'].map((side) => `from ${side}: some\u00a0N, then tips`),
    );
  });

  it('say what passes through each grip', () => {
    const { shown, group } = job('a child carried in arms, upright');
    expect(gripRows(shown, group)[0]).toMatchObject({
      name: 'Ben and Cato',
      value: 'likely 98\u00a0N',
    });
    expect(gripRows(shown, group)[0]!.under).toMatch(
      /^left hand, hips; .*; it must hold a turning moment of 39\u00a0N\u00a0m$/,
    );
  });

  it('say what must pass between two who lean on each other, and what each takes alone', () => {
    const { group } = studied(MEETING);
    const [row] = lineRows(group);
    const { passes_N } = group.pulls[0]!;
    expect(row!.value).toBe(
      `${Math.round(passes_N!.least!)} to ${Math.round(passes_N!.most!)}\u00a0N`,
    );
    expect(row!.under).toMatch(
      /^he holds with \d+ to \d+\u00a0N; she holds with \d+ to \d+\u00a0N$/,
    );
  });

  it('say ranges without an end in words', () => {
    expect(rangeWords({ least: 0.25, most: 0.75 })).toBe('25 to 75\u00a0%');
    expect(rangeWords({ least: 0.25, most: null })).toBe('25\u00a0% or more');
    expect(rangeWords({ least: null, most: 0.4 })).toBe('40\u00a0% at most');
    expect(rangeWords({ least: null, most: null })).toBe('without limit');
  });
});

describe('reading it out', () => {
  it('says every sentence of the study once, after the verdict', () => {
    const { shown, group } = studied(MEETING);
    const said = sentencesOf(shown, { groups: [group] });
    const [verdict, ...rest] = said;
    expect(verdict!.sentences[0]).toBe(shown.report.groups[0]!.sentence);
    expect(verdict!.sentences.slice(1)).toEqual(
      shown.report.figures.map(({ figure, sentence }) => `${figure} alone: ${sentence}`),
    );
    expect(rest.flatMap(({ sentences }) => sentences)).toEqual(
      group.sentences.map(({ text }) => text),
    );
    expect(saidText(said).split('\n')[1]).toBe(shown.report.groups[0]!.sentence);
  });
});
