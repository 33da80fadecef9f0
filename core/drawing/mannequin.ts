import type { Body, SegmentName } from '../body/types.ts';
import type { Vec3 } from '../geometry/types.ts';
import { extraPart } from './extra-parts.ts';

/**
 * The drawn shape of a body: a jointed mannequin built of balls. Each piece is the skin stretched
 * over its balls (their convex hull), a limb is a chain of pieces, so it tapers, swells at calf and
 * shoulder and bends without gaps. Seen from anywhere a ball is a disc, which keeps projecting cheap.
 * Shape only: no mass and no contact is taken from it.
 */
export interface Ball {
  readonly segment: SegmentName;
  /** In the segment's frame, metres. */
  readonly at: Vec3;
  /** Metres; 0 for a corner. */
  readonly radius: number;
}

/** A short line on the head, drawn where it faces the viewer. */
export interface FaceLine {
  readonly points: readonly Vec3[];
  /** Which way the face is there, in the head's frame. */
  readonly normal: Vec3;
}

export interface MannequinPart {
  readonly name: 'legL' | 'legR' | 'armL' | 'armR' | 'trunk' | 'head' | 'extra';
  /** Where it grows out of the trunk: no line is drawn across it there. */
  readonly root: Ball | null;
  readonly pieces: readonly (readonly Ball[])[];
  readonly lines: readonly FaceLine[];
}

const built = new WeakMap<Body, readonly MannequinPart[]>();

/** The mannequin of a body; built once per body. */
export function mannequinOf(body: Body): readonly MannequinPart[] {
  const known = built.get(body);
  if (known !== undefined) return known;
  const parts = [
    trunk(body),
    leg(body, 'L'),
    leg(body, 'R'),
    head(body),
    arm(body, 'L'),
    arm(body, 'R'),
    ...body.extras.map((extra) => extraPart(body, extra)),
  ];
  built.set(body, parts);
  return parts;
}

/** Consecutive ball groups joined into pieces. */
const chain = (...groups: readonly (readonly Ball[])[]): (readonly Ball[])[] =>
  groups.slice(1).map((group, i) => [...(groups[i] as readonly Ball[]), ...group]);

/**
 * Balls on a limb segment: `down` is the share of the way to its end, `wide` the radius over the
 * girth there, `fore` a shift forward over the girth.
 */
function limb(
  body: Body,
  segment: SegmentName,
  balls: readonly (readonly [down: number, wide: number, fore?: number])[],
): Ball[][] {
  const { end, girth } = body.segments[segment];
  return balls.map(([down, wide, fore = 0]) => {
    const round = girth[0] + (girth[1] - girth[0]) * down;
    const at: Vec3 = [end[0] * down, end[1] * down, end[2] * down + fore * round];
    return [{ segment, at, radius: wide * round }];
  });
}

const rootOf = (body: Body, segment: SegmentName, wide: number): Ball => ({
  segment,
  at: [0, 0, 0],
  radius: wide * body.segments[segment].girth[0],
});

function leg(body: Body, side: 'L' | 'R'): MannequinPart {
  const thigh: SegmentName = `thigh${side}`;
  const shank: SegmentName = `shank${side}`;
  return {
    name: `leg${side}`,
    root: rootOf(body, thigh, 1.5),
    pieces: [
      ...chain(
        ...limb(body, thigh, [
          [0, 0.96],
          [0.3, 1, 0.06],
          [0.75, 0.97, 0.05],
          [1, 0.98, 0.06],
        ]),
        ...limb(body, shank, [
          [0.06, 0.95, 0.04],
          [0.28, 1.16, -0.2],
          [0.6, 1, -0.12],
          [0.97, 1.02, -0.05],
        ]),
      ),
      ...foot(body, side),
    ],
    lines: [],
  };
}

/** The foot stands on the very outlines that carry weight: sole and toes, with an instep over them. */
function foot(body: Body, side: 'L' | 'R'): (readonly Ball[])[] {
  const ankle = body.segments[`shank${side}`].girth[1];
  const footName: SegmentName = `foot${side}`;
  const toesName: SegmentName = `toes${side}`;
  const sole = body.patches[`sole${side}`].outline;
  const toes = body.patches[`toes${side}`].outline;
  const depth = -(sole[0] as Vec3)[1];
  const corner = (segment: SegmentName, at: Vec3): Ball => ({ segment, at, radius: 0 });
  const raised = (points: readonly Vec3[], by: number, inward: number): Vec3[] => {
    const middle = points.reduce((sum, p) => sum + p[0], 0) / points.length;
    return points.map(([x, y, z]) => [middle + (x - middle) * inward, y + by, z]);
  };
  const front = Math.max(...sole.map((p) => p[2]));
  const back = Math.min(...sole.map((p) => p[2]));
  const heel: Ball = {
    segment: footName,
    at: [(sole[0] as Vec3)[0] * 0, -depth * 0.6, back + depth * 0.4],
    radius: depth * 0.4,
  };
  const ball = raised(
    sole.filter((p) => p[2] > front - 0.25 * (front - back)),
    depth * 0.5,
    0.8,
  );
  const tip = Math.max(...toes.map((p) => p[2]));
  const low = Math.min(...toes.map((p) => p[2]));
  return [
    [
      { segment: footName, at: [0, 0, 0], radius: ankle * 1.05 },
      heel,
      ...sole.map((p) => corner(footName, p)),
      ...ball.map((p) => corner(footName, p)),
    ],
    [
      ...ball.map((p) => corner(footName, p)),
      ...toes.map((p) => corner(toesName, p)),
      ...raised(toes, depth * 0.5, 0.8)
        .filter((p) => p[2] < low + 0.3 * (tip - low))
        .map((p) => corner(toesName, p)),
      ...raised(toes, depth * 0.28, 0.8).map((p) => corner(toesName, p)),
    ],
  ];
}

function arm(body: Body, side: 'L' | 'R'): MannequinPart {
  const out = side === 'L' ? 1 : -1;
  const hand: SegmentName = `hand${side}`;
  const { end, girth } = body.segments[hand];
  const length = Math.hypot(...end);
  const wrist = body.segments[`forearm${side}`].girth[1];
  // The palm faces the thigh at rest, so the hand is broad along z and thin along x.
  const breadth = Math.max(girth[0], wrist) * 0.95;
  const at = (down: number, fore: number, radius: number, inward = 0): Ball => ({
    segment: hand,
    at: [-out * inward, end[1] * down, fore],
    radius,
  });
  return {
    name: `arm${side}`,
    root: rootOf(body, `upperArm${side}`, 1.7),
    pieces: [
      ...chain(
        ...limb(body, `upperArm${side}`, [
          [0, 1.1],
          [0.4, 1.03, 0.08],
          [1, 0.95],
        ]),
        ...limb(body, `forearm${side}`, [
          [0.04, 0.98],
          [0.25, 1.08, 0.08],
          [1, 0.95],
        ]),
      ),
      [
        at(0.04, 0, wrist * 0.9),
        at(0.45, breadth, length * 0.075),
        at(0.45, -breadth, length * 0.075),
        at(0.72, breadth * 0.8, length * 0.065, length * 0.05),
        at(0.72, -breadth * 0.8, length * 0.06, length * 0.05),
        at(0.94, breadth * 0.1, length * 0.05, length * 0.14),
      ],
      [
        at(0.12, breadth * 0.6, wrist * 0.6),
        at(0.46, breadth * 1.25, length * 0.055, length * 0.14),
      ],
    ],
    lines: [],
  };
}

function trunk(body: Body): MannequinPart {
  const { pelvis, abdomen, chest, thighL, upperArmL } = body.segments;
  const hip = Math.abs(thighL.offset[0]);
  const shoulder = Math.abs(upperArmL.offset[0]);
  const level = upperArmL.offset[1];
  const thigh = thighL.girth[0];
  const round = upperArmL.girth[0];
  const pair = (segment: SegmentName, x: number, y: number, z: number, radius: number): Ball[] => [
    { segment, at: [x, y, z], radius },
    { segment, at: [-x, y, z], radius },
  ];
  const waist = abdomen.girth[0];
  const ribs = chest.girth[0];
  const neck = neckOf(body);
  const throat = body.segments.head.end[1] * 0.24;
  const nape: Ball[] = [{ segment: 'chest', at: [0, chest.end[1] * 0.98, 0], radius: neck * 0.9 }];
  return {
    name: 'trunk',
    root: null,
    pieces: [
      ...chain(
        pair('pelvis', hip * 0.8, thigh * 0.05, -thigh * 0.28, thigh * 1.06),
        pair('pelvis', hip * 0.72, pelvis.end[1] * 0.72, -thigh * 0.1, thigh * 0.92),
        pair('abdomen', hip * 0.48, abdomen.end[1] * 0.38, thigh * 0.1, waist * 0.66),
        pair('chest', hip * 0.56, chest.end[1] * 0.1, ribs * 0.1, ribs * 0.8),
        pair('chest', hip * 0.7, level * 0.68, ribs * 0.16, ribs * 0.84),
        pair('chest', shoulder - round * 0.5, level - round * 0.1, -round * 0.1, round * 1.02),
        nape,
      ),
      [...nape, { segment: 'head', at: [0, throat, throat * 0.45], radius: neck * 0.78 }],
    ],
    lines: [],
  };
}

/** Radius of the neck, metres: a stylised head may be smaller than its chest's neck. */
const neckOf = (body: Body): number =>
  Math.min(body.segments.head.girth[0], body.segments.head.end[1] * 0.26);

/** Points of the head are shares of its length from the base of the neck to the crown. */
function head(body: Body): MannequinPart {
  const length = body.segments.head.end[1];
  const ball = (y: number, z: number, radius: number, x = 0): Ball => ({
    segment: 'head',
    at: [x * length, y * length, z * length],
    radius: radius * length,
  });
  const brow = (from: number, to: number): FaceLine => {
    const points: Vec3[] = [];
    const turn = (degrees: number): readonly [number, number] => [
      Math.sin((degrees * Math.PI) / 180),
      Math.cos((degrees * Math.PI) / 180),
    ];
    for (let i = 0; i <= 4; i++) {
      const [sine, cosine] = turn(from + ((to - from) * i) / 4);
      points.push([0.3 * sine * length, 0.52 * length, (0.19 + 0.32 * cosine) * length]);
    }
    const [sine, cosine] = turn((from + to) / 2);
    return { points, normal: [sine, 0, cosine] };
  };
  return {
    name: 'head',
    root: null,
    pieces: [
      [
        ball(0.67, 0.2, 0.33),
        ball(0.66, 0.0, 0.335),
        ball(0.32, 0.26, 0.15, 0.12),
        ball(0.32, 0.26, 0.15, -0.12),
        ball(0.16, 0.38, 0.1, 0.07),
        ball(0.16, 0.38, 0.1, -0.07),
      ],
      [ball(0.58, 0.47, 0.05), ball(0.4, 0.6, 0.045), ball(0.34, 0.5, 0.04)],
    ],
    lines: [
      brow(14, 52),
      brow(-52, -14),
      {
        points: [
          [-0.1 * length, 0.22 * length, 0.46 * length],
          [0, 0.22 * length, 0.475 * length],
          [0.1 * length, 0.22 * length, 0.46 * length],
        ],
        normal: [0, 0, 1],
      },
    ],
  };
}
