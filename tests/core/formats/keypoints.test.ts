import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import { type BodySpec, buildBody } from '../../../core/body/index.ts';
import {
  judgedReport,
  KEYPOINTS,
  type KeypointClip,
  type KeypointOptions,
  type LineUp,
  readKeypoints,
} from '../../../core/formats/index.ts';
import { fromAxisAngle, multiply, rotate } from '../../../core/geometry/index.ts';
import { type Pose, poseFigure, poseFromAngles, restPose } from '../../../core/pose/index.ts';
import { pictured, type Shutter } from '../../helpers/keypoint-files.ts';

const spec: BodySpec = { table: 'deleva-female', stature: 1.68, mass: 62 };
const body = buildBody(spec);
const shutter: Shutter = { pixelsPerMetre: 400, origin: [900, 1500] };
const woman: KeypointOptions = {
  ...spec,
  lineUp: { scale: 1 / 400 },
};

/** The pose turned to its left by an angle, degrees: 90 faces the picture's right. */
function turned(pose: Pose, degrees: number): Pose {
  const turn = fromAxisAngle([0, 1, 0], (degrees * Math.PI) / 180);
  return {
    ...pose,
    position: rotate(turn, pose.position),
    rotation: multiply(turn, pose.rotation),
  };
}

const single = (keypoints: readonly number[]): string => JSON.stringify({ keypoints });
function must(text: string, options: KeypointOptions = woman): KeypointClip {
  const read = readKeypoints(text, options);
  if (!read.ok) throw new Error(read.message);
  return read.clip;
}
function refusal(data: unknown, options: KeypointOptions = woman): string {
  const text = typeof data === 'string' ? data : JSON.stringify(data);
  const read = readKeypoints(text, options);
  return read.ok ? 'it was read' : read.message;
}
const readingOf = (clip: KeypointClip, frame = 0) => {
  const group = assess(clip.sceneAt(frame)).groups[0];
  if (!group) throw new Error('nothing there');
  return group;
};

const squat = poseFromAngles(
  { lean: 0, trunk: 25, thigh: { flexion: 60 }, shank: { flexion: 80 }, foot: { flexion: 20 } },
  body,
);
const bow = poseFromAngles({ trunk: 60, upperArm: { flexion: 70 } }, body);
const apart = poseFromAngles(
  { thigh: { abduction: 15 }, upperArm: { abduction: 60 }, foot: { abduction: -15 } },
  body,
);

describe('a figure of ours, pictured and read back', () => {
  it.each([
    ['standing, from the front', restPose(body), 0],
    ['standing, from its left', restPose(body), 90],
    ['standing, from its right', restPose(body), -90],
    ['standing, from behind', restPose(body), 180],
    ['legs and arms apart, from the front', apart, 0],
    ['squatting, from its left', squat, 90],
    ['bowing, from its left', bow, 90],
    ['bowing, from its right', bow, -90],
  ] as const)('%s: joints and centre where they were in the picture', (_, pose, degrees) => {
    const known = poseFigure(body, turned(pose, degrees));
    const clip = must(single(pictured(spec, turned(pose, degrees), shutter)));
    const [figure] = clip.sceneAt(0).figures;
    const fitted = poseFigure(body, figure?.pose ?? pose);
    // The camera's origin is the world's, so x comes back with the picture's own zero.
    const shift = 900 / 400;
    for (const name of ['head', 'handL', 'handR', 'shankL', 'shankR', 'footL', 'footR'] as const) {
      const [a, b] = [known.segments[name].position, fitted.segments[name].position];
      expect(Math.abs(b[0] - shift - a[0]), `${name}, along`).toBeLessThan(0.02);
      expect(Math.abs(b[1] - a[1]), `${name}, up`).toBeLessThan(0.02);
    }
    expect(Math.abs(fitted.centre[0] - shift - known.centre[0])).toBeLessThan(0.01);
    expect(Math.abs(fitted.centre[1] - known.centre[1])).toBeLessThan(0.01);
    expect(clip.report.people[0]?.miss).toBeLessThan(0.01);
  });

  it('bends limbs that look short out of the picture, the way people bend', () => {
    const fitted = poseFigure(
      body,
      must(single(pictured(spec, squat, shutter))).sceneAt(0).figures[0]!.pose,
    );
    const known = poseFigure(body, squat);
    for (const side of ['L', 'R'] as const) {
      const ahead =
        fitted.segments[`shank${side}`].position[2] - fitted.segments[`thigh${side}`].position[2];
      const meant =
        known.segments[`shank${side}`].position[2] - known.segments[`thigh${side}`].position[2];
      expect(ahead).toBeGreaterThan(0.6 * meant);
      expect(fitted.segments[`foot${side}`].position[2]).toBeLessThan(
        fitted.segments[`shank${side}`].position[2],
      );
    }
  });

  it('takes the camera\u2019s roll off, by tilt or by horizon', () => {
    const tilt = (7 * Math.PI) / 180;
    const points = pictured(spec, turned(restPose(body), 90), { ...shutter, tilt });
    const upright = must(single(pictured(spec, turned(restPose(body), 90), shutter)));
    const along: readonly [number, number] = [Math.cos(tilt) * 800, Math.sin(tilt) * 800];
    for (const lineUp of [
      { scale: 1 / 400, tilt },
      {
        scale: 1 / 400,
        horizon: [
          [100, 900],
          [100 + along[0], 900 + along[1]],
        ] as const,
      },
    ]) {
      const clip = must(single(points), { ...woman, lineUp });
      const a = poseFigure(body, clip.sceneAt(0).figures[0]!.pose);
      const b = poseFigure(body, upright.sceneAt(0).figures[0]!.pose);
      expect(a.segments.head.position[1]).toBeCloseTo(b.segments.head.position[1], 3);
      expect(a.centre[0] - a.segments.footL.position[0]).toBeCloseTo(
        b.centre[0] - b.segments.footL.position[0],
        3,
      );
      expect(clip.report.sentences.join(' ')).toContain('True up leans 7.0\u00b0 to the right');
    }
  });

  it('finds the scale by the standing height, or by the bones that look longest', () => {
    const points = pictured(spec, squat, shutter);
    const standing = must(single(points), { ...woman, lineUp: { standing: 1.68 * 400 } });
    expect(standing.report.people[0]).toMatchObject({ scaleFrom: 'standing' });
    expect(standing.report.people[0]?.scale).toBeCloseTo(1 / 400, 6);
    const side = must(single(pictured(spec, turned(squat, 90), shutter)), { ...woman, lineUp: {} });
    expect(side.report.people[0]).toMatchObject({ scaleFrom: 'bones' });
    expect((side.report.people[0]?.scale ?? 0) * 400).toBeCloseTo(1, 1);
  });
});

describe('what one picture can say', () => {
  const toes = poseFromAngles({ lean: 20 }, body);

  it('falls along the picture are falls; all else cannot be told, with the reason', () => {
    // Leaning 20 degrees from the ankles the plumb line lands before the toes: seen from the side it shows.
    const side = must(single(pictured(spec, turned(toes, 90), shutter)));
    expect(
      assess({
        ...side.sceneAt(0),
        figures: [{ ...side.sceneAt(0).figures[0]!, pose: toes, contacts: {} }],
      }).groups[0]?.verdict,
    ).toBe('falls');
    expect(side.judge(readingOf(side))).toMatchObject({
      verdict: 'falls',
      sentence: expect.stringMatching(
        /^Falls to the picture's right: the plumb line lands \d+\.\d cm beyond the support, whatever the depth\. The base is a guess/,
      ),
    });
    const front = must(single(pictured(spec, toes, shutter)));
    expect(front.judge(readingOf(front))).toMatchObject({
      verdict: 'unknown',
      sentence: expect.stringMatching(
        /^Cannot tell: along the picture .* cm inside .* towards and away from the camera/,
      ),
    });
    expect(front.report.cannotTell.join(' ')).toMatch(
      /forward and backward balance cannot be told/,
    );
    expect(side.report.cannotTell.join(' ')).toMatch(
      /sideways balance cannot be told from a side picture/,
    );
    expect(side.report.people[0]?.view).toBe('side');
  });

  it('tells a whole report so: verdicts and sentences change, numbers stay', () => {
    const clip = must(single(pictured(spec, restPose(body), shutter)));
    const report = assess(clip.sceneAt(0));
    expect(report.groups[0]?.verdict).toBe('holds');
    const judged = judgedReport(report, (reading) => clip.judge(reading));
    expect(judged.groups[0]).toEqual({ ...report.groups[0], ...clip.judge(report.groups[0]!) });
    expect(judged.groups[0]?.verdict).toBe('unknown');
    expect(judged.figures[0]?.sentence).toContain('one picture does not show it');
    expect(judged.contacts).toBe(report.contacts);
  });

  it('the base is a guess until it is set; then exactly that carries', () => {
    const points = pictured(spec, turned(restPose(body), 90), shutter);
    const guessed = must(single(points));
    expect(guessed.sceneAt(0).figures[0]?.contacts).toMatchObject({
      soleL: 'planted',
      soleR: 'planted',
      palmL: 'lifted',
    });
    expect(guessed.report.cannotTell.join(' ')).toContain('set the base of Person 1');
    const set = must(single(points), {
      ...woman,
      people: { 'person-1': { base: ['soleL', 'toesL'] } },
    });
    expect(readingOf(set).support.contacts.every((id) => /L$/.test(id))).toBe(true);
    expect(set.judge(readingOf(set)).sentence).not.toContain('guess');
    expect(set.report.cannotTell.join(' ')).not.toContain('set the base');
    const none = must(single(points), { ...woman, people: { 'person-1': { base: [] } } });
    expect(none.judge(readingOf(none)).verdict).toBe('airborne');
  });

  it('a raised foot does not stand', () => {
    const one = poseFromAngles({ thighL: { flexion: 50 }, shankL: { flexion: 60 } }, body);
    const clip = must(single(pictured(spec, turned(one, 90), shutter)));
    expect(clip.sceneAt(0).figures[0]?.contacts).toMatchObject({
      soleL: 'lifted',
      soleR: 'planted',
    });
  });
});

describe('points that are not sure', () => {
  const points = pictured(spec, restPose(body), shutter);
  const change = (name: string, v: number): number[] => {
    const at = KEYPOINTS.indexOf(name as (typeof KEYPOINTS)[number]);
    return points.map((value, i) => (i === 3 * at + 2 ? v : value));
  };

  it('are marked, whether flags or scores', () => {
    const hidden = must(single(change('left_wrist', 1)));
    expect(hidden.doubtsAt(0)).toEqual([
      { figure: 'person-1', point: 'left_wrist', sight: 'unsure' },
    ]);
    const gone = must(single(change('left_wrist', 0)));
    expect(gone.doubtsAt(0)[0]?.sight).toBe('missing');
    expect(gone.report.sentences.join(' ')).toContain('not sure of left wrist (missing)');
    const scores = points.map((value, i) => (i % 3 === 2 ? (i === 3 * 9 + 2 ? 0.2 : 0.9) : value));
    const scored = must(single(scores));
    expect(scored.report.sentences[0]).toContain('a score from 0 to 1');
    expect(scored.doubtsAt(0)).toEqual([
      { figure: 'person-1', point: 'left_wrist', sight: 'unsure' },
    ]);
    expect(must(single(scores), { ...woman, lowScore: 0.1 }).doubtsAt(0)).toEqual([]);
  });

  it('missing limbs hang as their parents do; without a trunk there is no figure', () => {
    const armless = points.map((value, i) =>
      [7, 8, 9, 10, 13, 14].includes(Math.floor(i / 3)) ? 0 : value,
    );
    const fitted = poseFigure(body, must(single(armless)).sceneAt(0).figures[0]!.pose);
    expect(fitted.segments.handL.position[1]).toBeLessThan(
      fitted.segments.upperArmL.position[1] - 0.4,
    );
    const trunkless = points.map((value, i) => ([5, 6].includes(Math.floor(i / 3)) ? 0 : value));
    expect(refusal({ keypoints: trunkless })).toBe(
      'the file.keypoints: no figure can be fitted: a hip and a shoulder with their points are needed',
    );
  });
});

describe('many people, many pictures', () => {
  const at = (x: number, pixelsPerMetre = 400, y = 1500): number[] =>
    pictured(spec, restPose(body), { pixelsPerMetre, origin: [x, y] });

  it('follows people by nearness, or by the file\u2019s own tracks', () => {
    const images = [{ id: 7 }, { id: 3 }, { id: 5 }];
    const annotations = [
      { image_id: 7, keypoints: at(500) },
      { image_id: 7, keypoints: at(1500) },
      // The other way round, a little moved.
      { image_id: 3, keypoints: at(1480) },
      { image_id: 3, keypoints: at(520) },
      { image_id: 5, keypoints: at(1470) },
    ];
    const clip = must(JSON.stringify({ images, annotations }));
    expect(clip.frameCount).toBe(3);
    const xs = (frame: number) =>
      clip.sceneAt(frame).figures.map(({ id, pose }) => [id, Math.round(pose.position[0] * 100)]);
    expect(xs(0)).toEqual([
      ['person-1', 125],
      ['person-2', 375],
    ]);
    expect(xs(1)).toEqual([
      ['person-1', 130],
      ['person-2', 370],
    ]);
    expect(xs(2)).toEqual([['person-2', 368]]);
    const tracked = annotations.map((one, i) => ({ ...one, track_id: [4, 9, 4, 9, 4][i] }));
    const byTrack = must(JSON.stringify({ images, annotations: tracked }));
    expect(
      byTrack.sceneAt(1).figures.map(({ pose }) => Math.round(pose.position[0] * 100)),
    ).toEqual([370, 130]);
  });

  it('a person further away gets the scale of its feet under the horizon', () => {
    // Camera at 1.6 m: near feet at 400 px a metre are 640 px under the horizon, far ones at 200 are 320.
    const near = at(500, 400, 1140);
    const far = at(1500, 200, 820);
    const clip = must(
      JSON.stringify([
        { image_id: 1, keypoints: near },
        { image_id: 1, keypoints: far },
      ]),
      {
        ...woman,
        lineUp: {
          scale: 1 / 400,
          horizon: [
            [0, 500],
            [1000, 500],
          ],
        },
      },
    );
    expect(clip.report.people[1]?.scaleFrom).toBe('horizon');
    // The ankle is what the drop is taken to: 7 cm above the floor.
    expect((clip.report.people[1]?.scale ?? 0) * 200).toBeCloseTo(1, 1);
    expect(clip.sceneAt(0).figures).toHaveLength(2);
  });

  it('takes its scale from a person that the picture is lined up with, near or far', () => {
    // The same camera at 1.6 m. Lined up with a man of 1.80 m who stands where a metre is 300 pixels.
    const horizon = [
      [0, 500],
      [1000, 500],
    ] as const;
    const person = { feet: [700, 980], head: [700, 440], stature: 1.8 } as const;
    const scaleOf = (points: readonly number[], lineUp: LineUp) => {
      const { people } = must(JSON.stringify([{ keypoints: points }]), { ...woman, lineUp }).report;
      return people[0]!;
    };
    for (const [pixels, floor] of [
      [400, 1140],
      [200, 820],
    ] as const) {
      const found = scaleOf(at(500, pixels, floor), { horizon, person });
      expect(found.scaleFrom).toBe('person');
      // Ankles are 7 cm above the floor that the person's feet are on.
      expect(Math.abs(found.scale * pixels - 1)).toBeLessThan(0.06);
    }
    // Without a horizon the person's own scale holds for everyone.
    expect(scaleOf(at(500, 400, 1140), { person }).scale).toBeCloseTo(1 / 300, 12);
    // What is given by hand goes before it, and marks without height say nothing.
    expect(scaleOf(at(500), { scale: 0.002, person }).scaleFrom).toBe('given');
    const flat = { ...person, head: person.feet };
    expect(scaleOf(at(500), { person: flat }).scaleFrom).toBe('bones');
  });

  it('gives everyone the stature and mass that were set for them', () => {
    const clip = must(JSON.stringify([{ keypoints: at(500) }, { keypoints: at(1500) }]), {
      ...woman,
      people: { 'person-2': { name: 'Child', stature: 1.2, mass: 25 } },
    });
    expect(
      clip.sceneAt(0).figures.map(({ name, body: own }) => [name, own.stature, own.mass]),
    ).toEqual([
      ['Person 1', 1.68, 62],
      ['Child', 1.2, 25],
    ]);
  });

  it('keeps one floor over the pictures: a leap is in the air', () => {
    const annotations = Array.from({ length: 12 }, (_, i) => ({
      image_id: i,
      keypoints: at(500, 400, 1500 - (i > 4 && i < 8 ? 120 : 0)),
    }));
    const clip = must(JSON.stringify(annotations));
    expect(clip.sceneAt(0).figures[0]?.contacts.soleL).toBe('planted');
    expect(clip.sceneAt(6).figures[0]?.contacts.soleL).toBe('lifted');
    expect(clip.report.sentences.join(' ')).toContain('24 pictures a second taken');
  });
});
