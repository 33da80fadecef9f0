import type { BufferGeometry } from 'three';
import type { Body, Segment, SegmentName } from '../../../core/body/types.ts';
import type { Vec3 } from '../../../core/geometry/types.ts';
import { footPart, handParts, toesPart } from './hands-and-feet.ts';
import { type Oval, ovalLoft } from './loft.ts';

/**
 * The skins of a body, each in its segment's own frame, metres. Widths come from the body's joints
 * and girths, so a stylised figure is drawn as it is weighed; the forms between them (calf, ribs,
 * jaw) are drawing practice, no source, and carry no mass.
 */
export function bodyParts(body: Body): Readonly<Record<SegmentName, readonly BufferGeometry[]>> {
  const { segments, patches } = body;
  const girdle = Math.abs(segments.upperArmL.offset[0]);
  const hips = Math.abs(segments.thighL.offset[0]) + segments.thighL.girth[0] * 0.95;
  return {
    pelvis: [pelvisSkin(segments.pelvis, hips)],
    abdomen: [abdomenSkin(segments.abdomen, hips, girdle)],
    chest: [chestSkin(segments.chest, segments.upperArmL.offset[1], girdle)],
    head: headSkins(segments.head),
    upperArmL: [limbSkin(segments.upperArmL, UPPER_ARM)],
    upperArmR: [limbSkin(segments.upperArmR, UPPER_ARM)],
    forearmL: [limbSkin(segments.forearmL, FOREARM)],
    forearmR: [limbSkin(segments.forearmR, FOREARM)],
    thighL: [limbSkin(segments.thighL, THIGH)],
    thighR: [limbSkin(segments.thighR, THIGH)],
    shankL: [limbSkin(segments.shankL, SHANK)],
    shankR: [limbSkin(segments.shankR, SHANK)],
    handL: handParts(segments.handL, patches.palmL, 'L'),
    handR: handParts(segments.handR, patches.palmR, 'R'),
    footL: [footPart(segments.footL, patches.soleL, segments.shankL.girth[1])],
    footR: [footPart(segments.footR, patches.soleR, segments.shankR.girth[1])],
    toesL: [toesPart(patches.toesL)],
    toesR: [toesPart(patches.toesR)],
  };
}

/**
 * A section of a limb: where along it (0 at its upper joint, 1 at its lower), and factors on the
 * radius there (which runs evenly from the upper girth to the lower one).
 */
interface Swell {
  readonly at: number;
  readonly side: number;
  readonly front: number;
  readonly back: number;
}

const THIGH: readonly Swell[] = [
  { at: 0, side: 0.96, front: 0.94, back: 1.0 },
  { at: 0.16, side: 1.0, front: 1.02, back: 1.02 },
  { at: 0.38, side: 0.99, front: 1.08, back: 0.98 },
  { at: 0.62, side: 0.94, front: 1.03, back: 0.92 },
  { at: 0.84, side: 0.94, front: 0.96, back: 0.92 },
  { at: 0.95, side: 1.0, front: 1.06, back: 0.92 },
  { at: 1, side: 0.98, front: 1.06, back: 0.88 },
];
const SHANK: readonly Swell[] = [
  { at: 0, side: 0.92, front: 0.96, back: 0.84 },
  { at: 0.08, side: 0.92, front: 0.94, back: 0.9 },
  { at: 0.2, side: 1.02, front: 0.86, back: 1.16 },
  { at: 0.33, side: 1.08, front: 0.86, back: 1.3 },
  { at: 0.5, side: 1.0, front: 0.86, back: 1.16 },
  { at: 0.7, side: 0.86, front: 0.86, back: 0.9 },
  { at: 0.87, side: 0.84, front: 0.9, back: 0.86 },
  { at: 1, side: 1.06, front: 0.96, back: 0.98 },
];
const UPPER_ARM: readonly Swell[] = [
  { at: 0, side: 1.04, front: 1.0, back: 1.0 },
  { at: 0.14, side: 1.06, front: 1.02, back: 1.0 },
  { at: 0.3, side: 0.96, front: 1.0, back: 0.98 },
  { at: 0.55, side: 0.92, front: 1.1, back: 1.04 },
  { at: 0.8, side: 0.92, front: 0.96, back: 0.96 },
  { at: 1, side: 1.0, front: 0.92, back: 0.98 },
];
const FOREARM: readonly Swell[] = [
  { at: 0, side: 0.96, front: 0.94, back: 0.96 },
  { at: 0.18, side: 1.12, front: 1.1, back: 1.02 },
  { at: 0.38, side: 1.08, front: 1.06, back: 1.0 },
  { at: 0.65, side: 0.94, front: 0.98, back: 0.94 },
  { at: 0.9, side: 0.84, front: 1.04, back: 1.04 },
  { at: 1, side: 0.82, front: 1.02, back: 1.02 },
];

/** A limb that hangs from its upper joint along -y, as all limbs do at rest. */
function limbSkin(segment: Segment, swells: readonly Swell[]): BufferGeometry {
  const length = Math.hypot(...segment.end);
  const [upper, lower] = segment.girth;
  const ovals = swells.map(({ at, side, front, back }): Oval => {
    const radius = upper + (lower - upper) * at;
    return { y: -length * at, side: side * radius, front: front * radius, back: back * radius };
  });
  return ovalLoft(ovals, { first: upper * 0.8, last: -lower * 0.9 });
}

function pelvisSkin(segment: Segment, w: number): BufferGeometry {
  const h = Math.hypot(...segment.end);
  return ovalLoft(
    [
      { y: -0.42 * h, side: 0.42 * w, front: 0.4 * w, back: 0.52 * w, z: -0.04 * w },
      { y: -0.2 * h, side: 0.74 * w, front: 0.52 * w, back: 0.66 * w },
      { y: 0.05 * h, side: 0.92 * w, front: 0.59 * w, back: 0.74 * w, square: 2.2 },
      { y: 0.35 * h, side: 0.98 * w, front: 0.61 * w, back: 0.7 * w, square: 2.2 },
      { y: 0.7 * h, side: 0.9 * w, front: 0.58 * w, back: 0.58 * w, square: 2.2 },
      { y: 1.0 * h, side: 0.8 * w, front: 0.54 * w, back: 0.5 * w },
    ],
    { first: -0.14 * h, last: 0.2 * h },
  );
}

function abdomenSkin(segment: Segment, hips: number, girdle: number): BufferGeometry {
  const h = Math.hypot(...segment.end);
  const [low, high] = [0.78 * hips, 0.74 * girdle];
  return ovalLoft(
    [
      { y: -0.08 * h, side: low * 1.02, front: low * 0.7, back: low * 0.64 },
      { y: 0.2 * h, side: low * 0.96, front: low * 0.7, back: low * 0.58 },
      { y: 0.5 * h, side: (low + high) * 0.47, front: low * 0.68, back: low * 0.56 },
      { y: 0.8 * h, side: high * 0.98, front: high * 0.72, back: high * 0.62 },
      { y: 1.05 * h, side: high * 1.02, front: high * 0.74, back: high * 0.68 },
    ],
    { first: -0.12 * h, last: 0.14 * h },
  );
}

function chestSkin(segment: Segment, shoulder: number, w: number): BufferGeometry {
  const top = Math.max(Math.hypot(...segment.end), shoulder + 0.2 * w);
  const rise = top - shoulder;
  return ovalLoft(
    [
      { y: -0.04 * shoulder, side: 0.74 * w, front: 0.54 * w, back: 0.5 * w },
      { y: 0.28 * shoulder, side: 0.83 * w, front: 0.61 * w, back: 0.57 * w, square: 2.2 },
      { y: 0.6 * shoulder, side: 0.9 * w, front: 0.63 * w, back: 0.62 * w, square: 2.4 },
      { y: 0.84 * shoulder, side: 0.98 * w, front: 0.52 * w, back: 0.6 * w, square: 2.4 },
      { y: shoulder, side: 1.0 * w, front: 0.38 * w, back: 0.48 * w, z: -0.03 * w },
      { y: shoulder + 0.3 * rise, side: 0.86 * w, front: 0.32 * w, back: 0.42 * w, z: -0.05 * w },
      { y: shoulder + 0.6 * rise, side: 0.6 * w, front: 0.3 * w, back: 0.36 * w, z: -0.05 * w },
      { y: shoulder + 0.85 * rise, side: 0.42 * w, front: 0.28 * w, back: 0.32 * w, z: -0.05 * w },
    ],
    { first: -0.12 * shoulder, last: 0.3 * rise },
  );
}

/** Head with its neck, a nose and ears: enough to see where it looks. Measures are shares of it. */
function headSkins(segment: Segment): BufferGeometry[] {
  const h = Math.hypot(...segment.end);
  const scaled = (ovals: readonly Oval[]): Oval[] =>
    ovals.map((oval) => ({
      ...oval,
      y: oval.y * h,
      x: (oval.x ?? 0) * h,
      z: (oval.z ?? 0) * h,
      side: oval.side * h,
      front: oval.front * h,
      back: oval.back * h,
    }));
  const skull: Oval[] = [
    { y: 0.07, z: 0.24, side: 0.1, front: 0.1, back: 0.13 },
    { y: 0.14, z: 0.19, side: 0.17, front: 0.17, back: 0.22 },
    { y: 0.26, z: 0.1, side: 0.235, front: 0.275, back: 0.31 },
    { y: 0.42, z: 0.06, side: 0.27, front: 0.315, back: 0.37 },
    { y: 0.58, z: 0.05, side: 0.29, front: 0.32, back: 0.4 },
    { y: 0.74, z: 0.035, side: 0.282, front: 0.31, back: 0.385 },
    { y: 0.86, z: 0.015, side: 0.235, front: 0.25, back: 0.31 },
  ];
  const neck: Oval[] = [
    { y: -0.2, z: -0.02, side: 0.27, front: 0.23, back: 0.25 },
    { y: -0.06, z: 0.0, side: 0.215, front: 0.2, back: 0.2 },
    { y: 0.12, z: 0.02, side: 0.2, front: 0.19, back: 0.2 },
    { y: 0.34, z: 0.03, side: 0.2, front: 0.16, back: 0.2 },
  ];
  const nose: Oval[] = [
    { y: 0.3, z: 0.37, side: 0.055, front: 0.085, back: 0.06 },
    { y: 0.36, z: 0.37, side: 0.05, front: 0.1, back: 0.06 },
    { y: 0.46, z: 0.355, side: 0.034, front: 0.06, back: 0.05 },
  ];
  const ear = (side: 1 | -1): Oval[] => [
    { y: 0.32, x: side * 0.25, z: 0.02, side: 0.028, front: 0.04, back: 0.04 },
    { y: 0.4, x: side * 0.272, z: 0.01, side: 0.03, front: 0.055, back: 0.065 },
    { y: 0.47, x: side * 0.285, z: 0.0, side: 0.03, front: 0.055, back: 0.07 },
  ];
  return [
    ovalLoft(scaled(skull), { first: -0.05 * h, last: 0.14 * h }),
    ovalLoft(scaled(neck), { first: -0.06 * h, last: 0.06 * h }),
    ovalLoft(scaled(nose), { first: -0.025 * h, last: 0.06 * h }),
    ovalLoft(scaled(ear(1)), { first: -0.025 * h, last: 0.03 * h }),
    ovalLoft(scaled(ear(-1)), { first: -0.025 * h, last: 0.03 * h }),
  ];
}

/** The eye line and the middle line of the face, as figure drawings mark a head: pairs of points. */
export function faceLines(head: Segment): Vec3[] {
  const h = Math.hypot(...head.end);
  const at = (x: number, y: number, z: number): Vec3 => [x * h, y * h, z * h];
  const eyes = [-0.19, -0.13, -0.07, 0, 0.07, 0.13, 0.19].map((x) =>
    at(x, 0.5, 0.055 + 0.325 * Math.sqrt(1 - (x / 0.285) ** 2)),
  );
  const brow = [at(0, 0.57, 0.379), at(0, 0.65, 0.372), at(0, 0.73, 0.354), at(0, 0.8, 0.322)];
  const line = (points: readonly Vec3[]): Vec3[] =>
    points.slice(1).flatMap((point, i) => [points[i]!, point]);
  return [...line(eyes), ...line(brow)];
}
