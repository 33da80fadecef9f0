import {
  add,
  dot,
  length,
  type PictureCamera,
  scale,
  subtract,
  type Vec2,
  type Vec3,
} from '../../core/geometry/index.ts';

/**
 * Which way the elevation looks: `front` and `side` are true elevations, `orbit` is free, `picture`
 * looks through the camera of the reference picture.
 */
export type View = 'front' | 'side' | 'orbit' | 'picture';

/**
 * The horizontal axis that elevation and plan share in the front and side view: one scale and one
 * centre, so that a point has one x in both drawings.
 */
export interface Axis {
  /** Width of both drawings, CSS pixels. */
  readonly width: number;
  /** CSS pixels a metre. */
  readonly scale: number;
  /** Horizontal world coordinate in the middle of the drawing, metres. */
  readonly centre: number;
  /** Height in the world at the bottom edge of the elevation, metres. */
  readonly low: number;
  /** World coordinate down the page in the middle of the plan, metres. */
  readonly planCentre: number;
}

/** World coordinate along the page: x seen from the front, z seen from the figure's right side. */
export const across = (view: View, point: Vec3): number => (view === 'side' ? point[2] : point[0]);

/** The same for a point of the plan (x, z). */
export const planAcross = (view: View, point: Vec2): number =>
  view === 'side' ? point[1] : point[0];

/** World coordinate down the page in the plan: what lies nearer to the viewer is lower. */
export const planDown = (view: View, point: Vec2): number =>
  view === 'side' ? -point[0] : point[1];

/** x in CSS pixels of a coordinate along the page. */
export const axisX = (axis: Axis, metres: number): number =>
  axis.width / 2 + (metres - axis.centre) * axis.scale;

/** Metres along the page at x CSS pixels. */
export const axisMetres = (axis: Axis, x: number): number =>
  axis.centre + (x - axis.width / 2) / axis.scale;

/** How the elevation is looked at. All lengths on the screen are CSS pixels, y down. */
export interface Eye {
  readonly view: View;
  /** Unit vectors of the page: to the right, up, and from the page towards the viewer. */
  readonly right: Vec3;
  readonly up: Vec3;
  readonly towards: Vec3;
  /** Where a point is drawn. `depth` grows away from the viewer. */
  project(point: Vec3): { readonly x: number; readonly y: number; readonly depth: number };
  /** The point under (x, y) in the plane through `through` that faces the viewer. */
  unproject(x: number, y: number, through: Vec3): Vec3;
  /** Pixels a metre at a point. */
  scaleAt(point: Vec3): number;
  /** What a perspective sees through; null in a true elevation. */
  readonly lens: Lens | null;
}

/** Focal length and place of the principal point on the sheet, CSS pixels. */
export interface Lens {
  readonly position: Vec3;
  readonly focal: number;
  readonly middle: Vec2;
}

const FACING = {
  front: { right: [1, 0, 0], up: [0, 1, 0], towards: [0, 0, 1] },
  side: { right: [0, 0, 1], up: [0, 1, 0], towards: [-1, 0, 0] },
} as const satisfies Record<string, Record<'right' | 'up' | 'towards', Vec3>>;

/** A true elevation on a shared axis. `height` is that of the elevation, CSS pixels. */
export function elevationEye(view: 'front' | 'side', axis: Axis, height: number): Eye {
  const { right, up, towards } = FACING[view];
  return {
    view,
    right,
    up,
    towards,
    project: (point) => ({
      x: axisX(axis, dot(point, right)),
      y: height - (point[1] - axis.low) * axis.scale,
      depth: -dot(point, towards),
    }),
    unproject: (x, y, through) => {
      const across = axisMetres(axis, x) - dot(through, right);
      const rise = axis.low + (height - y) / axis.scale - through[1];
      return add(add(through, scale(right, across)), scale(up, rise));
    },
    scaleAt: () => axis.scale,
    lens: null,
  };
}

/** A free camera that turns round a point. */
export interface Orbit {
  /** Radians about the vertical; 0 looks at the figure's front. */
  readonly yaw: number;
  /** Radians above the horizon. */
  readonly pitch: number;
  /** Metres from the point it turns round. */
  readonly distance: number;
  readonly target: Vec3;
}

/** Vertical field of view of the free camera, radians: narrow, so that limbs near it stay in measure. */
export const ORBIT_FIELD = (28 * Math.PI) / 180;

/** Where the free camera stands, metres. */
export function orbitPosition(orbit: Orbit): Vec3 {
  const level = Math.cos(orbit.pitch) * orbit.distance;
  return [
    orbit.target[0] + Math.sin(orbit.yaw) * level,
    orbit.target[1] + Math.sin(orbit.pitch) * orbit.distance,
    orbit.target[2] + Math.cos(orbit.yaw) * level,
  ];
}

/** The free camera on a drawing of width x height CSS pixels. */
export function orbitEye(orbit: Orbit, width: number, height: number): Eye {
  const position = orbitPosition(orbit);
  const [sinYaw, cosYaw] = [Math.sin(orbit.yaw), Math.cos(orbit.yaw)];
  const [sinPitch, cosPitch] = [Math.sin(orbit.pitch), Math.cos(orbit.pitch)];
  const towards: Vec3 = [sinYaw * cosPitch, sinPitch, cosYaw * cosPitch];
  const right: Vec3 = [cosYaw, 0, -sinYaw];
  const up: Vec3 = [-sinYaw * sinPitch, cosPitch, -cosYaw * sinPitch];
  const focal = height / 2 / Math.tan(ORBIT_FIELD / 2);
  return perspective(
    'orbit',
    { right, up, towards },
    { position, focal, middle: [width / 2, height / 2] },
  );
}

/** Where a picture lies on the sheet: its middle, and CSS pixels for one of its own. */
export interface PictureFrame {
  readonly middle: Vec2;
  readonly scale: number;
}

/** Through the camera of a picture that lies on the sheet. */
export const pictureEye = (camera: PictureCamera, { middle, scale: perPixel }: PictureFrame): Eye =>
  perspective('picture', camera, {
    position: camera.position,
    focal: camera.focal * perPixel,
    middle,
  });

function perspective(
  view: View,
  { right, up, towards }: Pick<Eye, 'right' | 'up' | 'towards'>,
  lens: Lens,
): Eye {
  const { position, focal, middle } = lens;
  const depthOf = (point: Vec3): number => -dot(subtract(point, position), towards);
  return {
    ...{ view, right, up, towards, lens },
    project: (point) => {
      const from = subtract(point, position);
      const depth = Math.max(depthOf(point), 0.01);
      return {
        x: middle[0] + (dot(from, right) / depth) * focal,
        y: middle[1] - (dot(from, up) / depth) * focal,
        depth,
      };
    },
    unproject: (x, y, through) => {
      const perMetre = focal / Math.max(depthOf(through), 0.01);
      const centre = add(position, scale(towards, -depthOf(through)));
      const moved = add(centre, scale(right, (x - middle[0]) / perMetre));
      return add(moved, scale(up, (middle[1] - y) / perMetre));
    },
    scaleAt: (point) => focal / Math.max(depthOf(point), 0.01),
  };
}

/** A rectangle of the plan, metres. */
export interface PlanBox {
  readonly from: Vec2;
  readonly to: Vec2;
}

export const planMiddle = ({ from, to }: PlanBox): Vec2 => [
  (from[0] + to[0]) / 2,
  (from[1] + to[1]) / 2,
];

/**
 * What must be seen: a box in the world, the rectangle that holds supports and plumb points, and the
 * mass centre of what is spoken of, metres.
 */
export interface Extent {
  readonly min: Vec3;
  readonly max: Vec3;
  readonly footing: PlanBox;
  readonly heart: Vec3;
}

/** Room kept round the drawn things, metres. */
const ROOM = 0.12;
/** Room round the support in the plan, for its number, metres. */
const PLAN_ROOM = 0.25;
/** For the plan's sake figures are drawn no smaller than this share of what the elevation could hold. */
const LEAST_SHARE = 0.7;
/** Heights kept for the ground below the floor line, and for a sentence at the top, CSS pixels. */
const GROUND = 34;
const SENTENCE = 22;

/** The widest scale at which everything fits into the elevation and the feet into the plan. */
export function fitAxis(
  view: View,
  extent: Extent,
  size: { readonly width: number; readonly elevation: number; readonly plan: number },
): Axis {
  const [from, to] = [across(view, extent.min), across(view, extent.max)];
  const low = Math.min(0, extent.min[1]);
  const wide = Math.max(to - from + 2 * ROOM, 0.9);
  const tall = Math.max(extent.max[1] - low + ROOM, 0.9);
  const { footing } = extent;
  const deep = Math.abs(planDown(view, footing.to) - planDown(view, footing.from));
  const elevation = Math.min(size.width / wide, (size.elevation - GROUND - SENTENCE) / tall);
  const plan = size.plan / Math.max(deep + PLAN_ROOM, 0.55);
  const perMetre = Math.max(20, Math.min(elevation, Math.max(plan, elevation * LEAST_SHARE)));
  return {
    width: size.width,
    scale: perMetre,
    centre: (from + to) / 2,
    low: low - GROUND / perMetre,
    planCentre: planDown(view, planMiddle(extent.footing)),
  };
}

/** A free camera that sees the whole extent. */
export function fitOrbit(extent: Extent): Orbit {
  const target: Vec3 = [
    (extent.min[0] + extent.max[0]) / 2,
    (extent.min[1] + extent.max[1]) / 2,
    (extent.min[2] + extent.max[2]) / 2,
  ];
  const radius = length(subtract(extent.max, extent.min)) / 2 + ROOM;
  return { yaw: 0.65, pitch: 0.2, distance: (0.86 * radius) / Math.sin(ORBIT_FIELD / 2), target };
}
