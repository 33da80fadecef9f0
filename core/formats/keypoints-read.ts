import { z } from 'zod';
import { issueMessage, pathText, syntaxMessage } from './json-faults.ts';

/**
 * The 17 points of the COCO person category, in their order (Lin et al. 2014, Microsoft COCO: Common
 * Objects in Context; the order as in its published category list). The last of each is their sight:
 * v = 0 not labelled, 1 labelled but hidden, 2 seen; detectors write a score from 0 to 1 in its place.
 */
export const KEYPOINTS = [
  ...['nose', 'left_eye', 'right_eye', 'left_ear', 'right_ear'],
  ...['left_shoulder', 'right_shoulder', 'left_elbow', 'right_elbow', 'left_wrist', 'right_wrist'],
  ...['left_hip', 'right_hip', 'left_knee', 'right_knee', 'left_ankle', 'right_ankle'],
] as const;

/** How far a point can be relied on. */
export type Sight = 'seen' | 'unsure' | 'missing';

export interface PicturePoint {
  /** Pixels from the picture's top left corner, y down. */
  readonly x: number;
  readonly y: number;
  readonly sight: Sight;
}

/** One person in one picture. */
export interface PicturePerson {
  /** Where it stands in the file: `annotations[3]`. */
  readonly place: string;
  /** The file's own number for the same person over pictures; null without. */
  readonly track: string | null;
  /** In the order of KEYPOINTS. */
  readonly points: readonly PicturePoint[];
}

export interface KeypointFile {
  /** People of each picture, pictures in order. */
  readonly frames: readonly (readonly PicturePerson[])[];
  /** What the third number of a point was taken for. */
  readonly sights: 'flags' | 'scores';
}

export type KeypointFileRead =
  | { readonly ok: true; readonly file: KeypointFile }
  | { readonly ok: false; readonly message: string };

/** What one file may hold; more is refused by name of the limit, so that no input can hang the reader. */
export const KEYPOINT_LIMITS = {
  characters: 200_000_000,
  people: 200_000,
  frames: 20_000,
  perPicture: 100,
} as const;

/** A score below this is no sight at all; own choice, as detectors give a place for every point. */
const NO_SIGHT = 0.05;

/** Pixels; no picture is larger, and beyond it lengths would run out of numbers. */
const FARTHEST = 1e7;

const id = z.union([z.number(), z.string()]);
const annotation = z.object({
  keypoints: z.array(z.number().min(-FARTHEST).max(FARTHEST)).length(3 * KEYPOINTS.length),
  image_id: id.optional(),
  track_id: id.optional(),
  num_keypoints: z.number().optional(),
  category_id: id.optional(),
});
const dataset = z.object({
  images: z.array(z.object({ id })).optional(),
  annotations: z.array(annotation),
  categories: z
    .array(z.object({ id: id.optional(), keypoints: z.array(z.string()).optional() }))
    .optional(),
});
type Annotation = z.infer<typeof annotation>;

/** Whether JSON text looks like keypoints rather than another file; broken text does not. */
export function isKeypointText(text: string): boolean {
  try {
    const data: unknown = JSON.parse(text);
    const has = (value: unknown, key: string): boolean =>
      typeof value === 'object' && value !== null && Object.hasOwn(value, key);
    if (Array.isArray(data)) return has(data[0], 'keypoints');
    return has(data, 'annotations') || has(data, 'keypoints');
  } catch {
    return false;
  }
}

/**
 * Reads COCO keypoints: a data set ({ images, annotations }), a list of results, or one annotation.
 * Never throws; a fault is told with its place ("annotations[2].keypoints: ...").
 * @param lowScore scores below this are `unsure`
 */
export function readKeypointFile(text: string, lowScore: number): KeypointFileRead {
  if (text.length > KEYPOINT_LIMITS.characters) {
    return fault(`the file: more than ${KEYPOINT_LIMITS.characters / 1e6} million characters`);
  }
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    return fault(syntaxMessage(text, 'a keypoints file'));
  }
  const isList = Array.isArray(data);
  const isOne = !isList && typeof data === 'object' && data !== null && 'keypoints' in data;
  const schema = isList ? z.array(annotation) : isOne ? annotation : dataset;
  const read = schema.safeParse(data);
  if (!read.success) {
    const [first] = read.error.issues;
    return fault(first ? issueMessage(first, data, 'the file') : 'the file: no keypoints');
  }
  const whole = read.data;
  if (Array.isArray(whole)) return inOrder(whole, null, (i) => `[${i}]`, lowScore);
  if ('keypoints' in whole) return inOrder([whole], null, () => 'the file', lowScore);
  const order = categoryFault(whole);
  if (order !== null) return fault(order);
  return inOrder(
    whole.annotations,
    whole.images ?? null,
    (i) => pathText(['annotations', i]),
    lowScore,
  );
}

const fault = (message: string): KeypointFileRead => ({ ok: false, message });

/** Points by other names, or in another order, would become another body. */
function categoryFault({ categories = [], annotations }: z.infer<typeof dataset>): string | null {
  const used = new Set(annotations.map(({ category_id }) => category_id));
  for (const [i, { id: own, keypoints }] of categories.entries()) {
    if (keypoints === undefined || (own !== undefined && !used.has(own))) continue;
    if (keypoints.join(' ') === KEYPOINTS.join(' ')) continue;
    const at = keypoints.findIndex((name, k) => name !== KEYPOINTS[k]);
    const place = at < 0 ? `categories[${i}].keypoints` : `categories[${i}].keypoints[${at}]`;
    const wanted = at < 0 ? `${KEYPOINTS.length} names` : `"${KEYPOINTS[at] ?? 'no more names'}"`;
    const got = at < 0 ? keypoints.length : JSON.stringify((keypoints[at] ?? '').slice(0, 40));
    return `${place}: expected ${wanted} as in the 17 COCO points, got ${got}`;
  }
  return null;
}

function inOrder(
  annotations: readonly Annotation[],
  images: readonly { readonly id: number | string }[] | null,
  placeOf: (i: number) => string,
  lowScore: number,
): KeypointFileRead {
  if (annotations.length === 0) return fault('the file: it holds no people');
  if (annotations.length > KEYPOINT_LIMITS.people) {
    return fault(
      `the file: ${annotations.length} people are more than can be read (${KEYPOINT_LIMITS.people})`,
    );
  }
  const sights = sightsOf(annotations);
  const frames: PicturePerson[][] = [];
  const frameOf = new Map<number | string, number>();
  const imageIds = images?.map((image) => image.id) ?? orderedIds(annotations);
  for (const image of imageIds) {
    if (frameOf.has(image)) continue;
    frameOf.set(image, frames.length);
    frames.push([]);
  }
  if (frames.length > KEYPOINT_LIMITS.frames) {
    return fault(
      `the file: ${frames.length} pictures are more than can be read (${KEYPOINT_LIMITS.frames})`,
    );
  }
  for (const [i, { keypoints, image_id = NO_IMAGE, track_id }] of annotations.entries()) {
    const frame = frames[frameOf.get(image_id) ?? -1];
    if (frame === undefined) {
      return fault(
        `${placeOf(i)}.image_id: there is no picture ${JSON.stringify(image_id)} in images`,
      );
    }
    if (frame.length >= KEYPOINT_LIMITS.perPicture) {
      return fault(
        `${placeOf(i)}: more than ${KEYPOINT_LIMITS.perPicture} people in one picture cannot be read`,
      );
    }
    frame.push({
      place: placeOf(i),
      track: track_id === undefined ? null : String(track_id),
      points: pointsOf(keypoints, sights, lowScore),
    });
  }
  return { ok: true, file: { frames, sights } };
}

/** Annotations without a picture's id are all of one picture. */
const NO_IMAGE = '';

/** Without a list of pictures: numbers in rising order, names as they come. */
function orderedIds(annotations: readonly Annotation[]): (number | string)[] {
  const ids = [...new Set(annotations.map(({ image_id = NO_IMAGE }) => image_id))];
  const numbers = ids.filter((one): one is number => typeof one === 'number');
  return numbers.length === ids.length ? numbers.sort((a, b) => a - b) : ids;
}

/**
 * Flags where one is 2, or where only 0 and 1 occur beside a count of labelled points, as people write
 * them; scores otherwise.
 */
function sightsOf(annotations: readonly Annotation[]): KeypointFile['sights'] {
  let most = 0;
  for (const { keypoints } of annotations) {
    for (let i = 2; i < keypoints.length; i += 3) {
      const value = keypoints[i] as number;
      if (value !== 0 && value !== 1 && value !== 2) return 'scores';
      most = Math.max(most, value);
    }
  }
  const counted = annotations.some((one) => one.num_keypoints !== undefined);
  return most === 2 || counted ? 'flags' : 'scores';
}

function pointsOf(
  keypoints: readonly number[],
  sights: KeypointFile['sights'],
  lowScore: number,
): PicturePoint[] {
  return KEYPOINTS.map((_, i) => {
    const [x, y, v] = keypoints.slice(3 * i, 3 * i + 3) as [number, number, number];
    const [unsure, seen] = sights === 'flags' ? [1, 2] : [NO_SIGHT, Math.max(NO_SIGHT, lowScore)];
    return { x, y, sight: v < unsure ? 'missing' : v < seen ? 'unsure' : 'seen' };
  });
}
