import type { PicturePerson, PicturePoint } from './keypoints-read.ts';

/** One person through the pictures; null where it is not seen. */
export interface TrackedPerson {
  readonly id: string;
  readonly frames: readonly (PicturePerson | null)[];
}

/** A step between pictures beyond this share of the person's size is another person; own choice. */
const FURTHEST_STEP = 0.6;

/** Different people of one file that are followed; whoever comes after them is left out. */
export const MOST_PEOPLE = 100;

/**
 * Who is who over the pictures: by the file's own track where every person has one, else each goes on
 * as the nearest of the picture before (by the mean distance of the points that both have). Ids are
 * `person-1` ... in the order in which they come in.
 */
export function trackPeople(
  frames: readonly (readonly PicturePerson[])[],
): readonly TrackedPerson[] {
  const tracked = frames.every((people) => people.every(({ track }) => track !== null));
  const found: { track: string | null; last: PicturePerson; frames: (PicturePerson | null)[] }[] =
    [];
  frames.forEach((people, frame) => {
    const free = new Set(people);
    const open = new Set(found);
    const give = (to: (typeof found)[number], person: PicturePerson): void => {
      // Two of one track in one picture: the second is someone else.
      if (!free.has(person) || !open.has(to)) return;
      to.frames[frame] = person;
      to.last = person;
      free.delete(person);
      open.delete(to);
    };
    if (tracked) {
      for (const person of people)
        for (const one of found) if (one.track === person.track) give(one, person);
    } else {
      const pairs = found.flatMap((one) =>
        people.map((person) => ({ one, person, way: stepBetween(one.last, person) })),
      );
      pairs.sort((a, b) => a.way - b.way);
      for (const { one, person, way } of pairs) if (way <= FURTHEST_STEP) give(one, person);
    }
    for (const person of free) {
      if (found.length >= MOST_PEOPLE) break;
      const before = Array.from({ length: frame }, () => null);
      found.push({ track: person.track, last: person, frames: [...before, person] });
    }
    for (const one of found) one.frames[frame] ??= null;
  });
  return found.map((one, i) => ({ id: `person-${i + 1}`, frames: one.frames }));
}

/** Mean distance of the points that both have, over the first one's size; Infinity without common points. */
function stepBetween(a: PicturePerson, b: PicturePerson): number {
  let sum = 0;
  let count = 0;
  a.points.forEach((from, i) => {
    const to = b.points[i] as PicturePoint;
    if (from.sight === 'missing' || to.sight === 'missing') return;
    sum += Math.hypot(to.x - from.x, to.y - from.y);
    count++;
  });
  const size = sizeOf(a);
  return count === 0 || size === 0 ? Number.POSITIVE_INFINITY : sum / count / size;
}

/** Diagonal of the box round a person's points, pixels. */
function sizeOf({ points }: PicturePerson): number {
  const there = points.filter(({ sight }) => sight !== 'missing');
  const span = (read: (point: PicturePoint) => number): number => {
    const values = there.map(read);
    return values.length === 0 ? 0 : Math.max(...values) - Math.min(...values);
  };
  return Math.hypot(
    span(({ x }) => x),
    span(({ y }) => y),
  );
}
